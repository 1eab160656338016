/**
 * Whether sound that goes out of the chosen output comes back at the chosen input: a test tone, and what is heard of it.
 */
import { openCapture } from './capture.js';
import { playHeld } from './player.js';

/** Between the tones of DSC. */
const TONE_HZ = 1700;
const TONE_SECONDS = 1;
const BEFORE_SECONDS = 0.5;
const AFTER_SECONDS = 1;
const RATE = 48_000;
/** The tone has come back where it stands so far above what was there before, and is no quieter than the other, dB. */
const ABOVE_DB = 12;
const QUIETEST_DB = -75;

export interface LoopResult {
  readonly isThere: boolean;
  /** The tone as it came back, dB of full scale. */
  readonly levelDb: number;
  /** The highest amplitude that came in, 0 to 1. */
  readonly peak: number;
}

/** The test tone with soft edges. */
export function testTone(amplitude: number, seconds = TONE_SECONDS): Float32Array<ArrayBuffer> {
  const edge = 0.02 * RATE;
  const length = Math.round(seconds * RATE);
  return Float32Array.from({ length }, (_, n) => {
    const gain = Math.min(1, n / edge, (length - n) / edge);
    return amplitude * gain * Math.sin((2 * Math.PI * TONE_HZ * n) / RATE);
  });
}

function toneDb(samples: Float32Array, sampleRate: number): number {
  let re = 0;
  let im = 0;
  const turn = (2 * Math.PI * TONE_HZ) / sampleRate;
  for (let n = 0; n < samples.length; n++) {
    re += samples[n] * Math.cos(turn * n);
    im += samples[n] * Math.sin(turn * n);
  }
  return 10 * Math.log10((4 * (re * re + im * im)) / samples.length ** 2 + 1e-12);
}

const pause = (seconds: number) =>
  new Promise((resolve) => {
    setTimeout(resolve, 1000 * seconds);
  });

/**
 * Plays the test tone and listens for it.
 *
 * @throws where the input or the output cannot be opened
 */
export async function checkLoop(inputId: string | undefined, amplitude: number): Promise<LoopResult> {
  const before: number[] = [];
  const during: number[] = [];
  let isSounding = false;
  let peak = 0;
  let rate = RATE;
  const capture = await openCapture(inputId, (samples) => {
    (isSounding ? during : before).push(toneDb(samples, rate));
    if (isSounding) for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
  });
  rate = capture.sampleRate;
  try {
    await pause(BEFORE_SECONDS);
    isSounding = true;
    const playing = await playHeld(testTone(amplitude), RATE);
    await playing.over;
    await pause(AFTER_SECONDS);
  } finally {
    capture.close();
  }
  // The tone lasts a good many blocks: one click is none.
  const loudest = [...during].sort((a, b) => b - a);
  const levelDb = loudest.at(4) ?? -120;
  const quiet = Math.max(-120, ...before);
  return { isThere: levelDb > quiet + ABOVE_DB && levelDb > QUIETEST_DB, levelDb, peak };
}
