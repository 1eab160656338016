/**
 * The textbook receiver, to compare sets with: timing, rate and centre known, the stronger tone of each bit, the
 * ten-unit check, DX else RX, the error check.
 */
import { readSequences } from '../frames/index.js';
import { toneOutput } from './bitoutputs.js';

/** What the textbook receiver is told. */
interface KnownSignal {
  readonly sampleRate: number;
  /** Seconds to the first phasing character. */
  readonly start: number;
  readonly baud: number;
  readonly centreHz: number;
  readonly shiftHz: number;
  /** Bits of the sequence. */
  readonly bits: number;
}

/** The characters of every call in the audio whose error check agrees. */
export function readByTextbook(audio: Float32Array, known: KnownSignal): number[][] {
  const { sampleRate, start, baud, centreHz, shiftHz } = known;
  const edge = (bit: number) =>
    Math.max(0, Math.min(audio.length, Math.round((start + bit / baud) * sampleRate)));
  const strength = (bit: number, hz: number) => {
    const [first, end] = [edge(bit), edge(bit + 1)];
    if (end - first < 2) return 0;
    return Math.hypot(...toneOutput(audio, first, end, 0, (2 * Math.PI * hz) / sampleRate));
  };
  const bits = Uint8Array.from({ length: known.bits }, (_, bit) =>
    strength(bit, centreHz - shiftHz / 2) > strength(bit, centreHz + shiftHz / 2) ? 1 : 0,
  );
  return readSequences(bits).flatMap(({ checked, symbols }) => (checked && symbols ? [[...symbols]] : []));
}
