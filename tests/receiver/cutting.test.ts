import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { encodeCall, type DistressAlert } from '../../src/calls/index.js';
import {
  createReceiver,
  receiveCalls,
  type ReceivedCall,
  type ReceiverOptions,
} from '../../src/receiver/index.js';
import { createWorkingStream } from '../../src/receiver/workingstream.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, mix, spelled, transmit } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 8000;
const choices = createChoices(71);
const alert = randomCall(choices, 'distressAlert') as DistressAlert;

function receiveCut(
  audio: Float32Array,
  options: ReceiverOptions,
  lengths: readonly number[],
): ReceivedCall[] {
  const receiver = createReceiver(options);
  const calls: ReceivedCall[] = [];
  for (let at = 0, i = 0; at < audio.length; at += lengths[i % lengths.length], i++)
    calls.push(...receiver.push(audio.subarray(at, at + lengths[i % lengths.length])));
  return [...calls, ...receiver.flush()];
}

describe('one long push', () => {
  const options = { sampleRate, bands: ['mf-hf'], centreHz: 1700 } as const;

  it.each(sized([180], [120, 180]))('of %d s holds every call', (seconds) => {
    const starts = [10, seconds / 2, seconds - 10];
    const audio = impair(
      mix(sampleRate, [
        { audio: new Float32Array(seconds * sampleRate) },
        ...starts.map((at) => ({
          audio: transmit(encodeCall(alert).symbols, { sampleRate, before: 0 }),
          at,
        })),
      ]),
      sampleRate,
      5,
      [{ kind: 'noise', snrDb: 10 }],
    );
    const calls = receiveCalls(audio, options);
    expect(spelled(calls)).toEqual(starts.map(() => encodeCall(alert).symbols.join(' ')));
    // 200 dots at 100 Bd stand before the phasing.
    calls.forEach(({ start }, i) => {
      expect(start).toBeCloseTo(starts[i] + 2, 2);
    });
    expect(receiveCut(audio, options, [1024])).toEqual(calls);
  });
});

describe('any cutting of the same audio', () => {
  const vhf = (kind: Parameters<typeof randomCall>[1], gain: number, at: number) => ({
    audio: transmit(encodeCall(randomCall(choices, kind)).symbols, {
      sampleRate,
      band: 'vhf',
      before: 0,
      after: 0,
    }),
    gain,
    at,
  });
  const options: ReceiverOptions = { sampleRate };
  const audio = impair(
    mix(sampleRate, [
      { audio: new Float32Array(13 * sampleRate) },
      // Weak, then strong, within a second; then one that reaches into the next.
      vhf('distressAlert', 0.3, 0.1),
      vhf('testCall', 1, 0.7),
      vhf('distressAlert', 0.5, 12),
      {
        audio: transmit(encodeCall({ ...alert, expansions: [{ kind: 'personsOnBoard', value: 5 }] }), {
          sampleRate,
          dots: 20,
          before: 0,
        }),
        at: 2,
      },
      {
        audio: transmit(encodeCall(alert).symbols, { sampleRate, dots: 20, before: 0, centreHz: 900 }),
        gain: 0.3,
        at: 2.05,
      },
    ]),
    sampleRate,
    9,
    [{ kind: 'noise', snrDb: 20 }],
  );

  it('into pushes gives the same calls in the same order', { timeout: 60_000 }, () => {
    const whole = receiveCalls(audio, options);
    expect(whole.length).toBeGreaterThanOrEqual(5);
    expect(whole.some(({ expansions }) => expansions.length > 0)).toBe(true);
    const lengths = fc.array(fc.oneof(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 60_000 })), {
      minLength: 1,
      maxLength: 12,
    });
    fc.assert(
      fc.property(lengths, (cut) => {
        expect(receiveCut(audio, options, cut)).toEqual(whole);
      }),
      { seed: 17, numRuns: 8 },
    );
  });
});

describe('the working stream', () => {
  it('gives the same samples however its input is cut, faults of the source among them', () => {
    const draws = createChoices(72);
    const faults = [NaN, -Infinity, 1e20, 700];
    const input = Float32Array.from({ length: 3000 }, () =>
      draws.uniform(0, 1) < 0.01 ? draws.pick(faults) : draws.uniform(-0.8, 1),
    );
    const whole = createWorkingStream(sampleRate).push(input).slice();
    expect(whole.every((sample) => Math.abs(sample) < 200)).toBe(true);
    const lengths = fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(lengths, (cut) => {
        const stream = createWorkingStream(sampleRate);
        const pieces: number[] = [];
        let at = 0;
        for (const length of [...cut, input.length]) {
          pieces.push(...stream.push(input.subarray(at, at + length)));
          at += length;
        }
        expect(Float32Array.from(pieces)).toEqual(whole);
      }),
      { seed: 18, numRuns: 20 },
    );
  });

  it('gives zeros before its beginning and refuses what it keeps no longer', () => {
    const stream = createWorkingStream(sampleRate);
    for (let second = 0; second < 80; second++) stream.push(new Float32Array(sampleRate));
    expect(() => stream.slice(0, 10)).toThrow('sample 0 of the stream is gone');
    expect(stream.slice(-10, 0)).toEqual(new Float32Array(10));
    expect(stream.slice(stream.length - 7200, stream.length)).toHaveLength(7200);
  });
});
