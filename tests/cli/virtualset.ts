/** A sound port whose other end is a virtual set: the hard-bit textbook receiver, 2 s to acknowledge. */
import { encodeCall } from '../../src/calls/index.js';
import type { WalkPlan } from '../../src/cli/sensitivity/walk.js';
import type { SoundPort } from '../../src/cli/sound/port.js';
import { dotPatternLength } from '../../src/frames/index.js';
import type { Ladder } from '../../src/measure/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { readByTextbook } from '../scenes/textbook.js';

const sampleRate = 8000;
export const SHIP = '299123456';
const call = { kind: 'testCall', to: { station: SHIP }, self: '002991234' } as const;
const { symbols } = encodeCall(call);
const DOTS = dotPatternLength(symbols, 'mf-hf');

/** A set at the other end, on the clock of the samples. */
export function virtualSet(): SoundPort & { heard: number } {
  let time = 0;
  let playing: { until: number; onEnd: (isWhole: boolean) => void } | undefined;
  let answer: { audio: Float32Array; at: number } | undefined;
  const acknowledgement = callToAudio(
    { kind: 'testAcknowledgement', to: { station: call.self }, self: SHIP },
    { band: 'mf-hf', sampleRate },
  );
  return {
    sampleRate,
    kind: 'file',
    isSoundCard: false,
    inputName: 'a virtual set',
    heard: 0,
    now: () => (1000 * time) / sampleRate,
    async *blocks() {
      const length = sampleRate / 2;
      for (;;) {
        const block = new Float32Array(length);
        if (answer) for (let n = 0; n < length; n++) block[n] = answer.audio[time + n - answer.at] ?? 0;
        time += length;
        if (playing && time >= playing.until) {
          playing.onEnd(true);
          playing = undefined;
        }
        yield await Promise.resolve(block);
      }
    },
    play(audio, onEnd) {
      this.heard++;
      playing = { until: time + audio.length, onEnd };
      // A second of noise lies before the call.
      const start = 1 + DOTS / 100;
      const bits = 20 * (symbols.length + 9);
      const read = readByTextbook(audio, { sampleRate, start, baud: 100, centreHz: 1700, bits });
      const isRead = read.some((one) => one.join() === symbols.join());
      answer = isRead ? { audio: acknowledgement, at: time + audio.length + 2 * sampleRate } : undefined;
    },
    cut: () => undefined,
    close: () => undefined,
  };
}

/** Ratios that a ladder may step, and what it is walked through. */
export const RANGE = { lowest: -15, highest: 25 };
export const AIR = { band: 'mf-hf', step: 'ratio', ...RANGE } as const;

/** How a ladder is walked here. */
export function plan(ladder: Ladder, more: Partial<WalkPlan> = {}): WalkPlan {
  return {
    ladder,
    call,
    air: AIR,
    levelDb: -6,
    waitSeconds: 12,
    pauseSeconds: 1,
    seed: 5,
    onTrial: () => undefined,
    isStopped: () => false,
    ...more,
  };
}
