/** Samples that are no audio, and streams used beyond their end. */
import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { createReceiver, receiveCalls } from '../../src/receiver/index.js';
import { spelled, transmit } from '../scenes/transmission.js';

const sampleRate = 8000;
const options = { sampleRate, bands: ['mf-hf'], centreHz: 1700 } as const;
const symbols = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' }).symbols;
const one = transmit(symbols, { sampleRate, dots: 20 });
const twice = new Float32Array(2 * one.length);
twice.set(one);
twice.set(one, one.length);
const SENT = symbols.join(' ');
const [, CLEAN] = receiveCalls(twice, options);

describe('samples', () => {
  it.each([1e38, -1e38, 3e38, Infinity, -Infinity, NaN, 1e9, 1e6, 30_000])(
    'of %f before and within calls lose none of them and leave the levels as they are',
    (fault) => {
      const audio = twice.slice();
      for (const at of [10, 3000, Math.round(0.5 * one.length)]) audio[at] = fault;
      const calls = receiveCalls(audio, options);
      expect(spelled(calls)).toEqual([SENT, SENT]);
      expect(calls[1].snrDb).toBeCloseTo(CLEAN.snrDb, 0);
    },
  );

  it.each([32_767, 2_147_483_647, 1e-4])('of a scale of %f decode', (scale) => {
    const calls = receiveCalls(
      twice.map((sample) => sample * 2 * scale),
      options,
    );
    expect(spelled(calls)).toEqual([SENT, SENT]);
    expect(calls.map(({ quality }) => quality)).toEqual(['clean', 'clean']);
  });

  it('are left as they are in the array of the caller', () => {
    const audio = Float32Array.of(NaN, 3e38, 7, ...new Array<number>(100).fill(0));
    const before = audio.slice();
    createReceiver(options).push(audio);
    expect(audio).toEqual(before);
  });
});

describe('a receiver that was flushed', () => {
  const receiver = createReceiver(options);
  receiver.push(one);
  receiver.flush();

  it('refuses more', () => {
    expect(() => receiver.push(one)).toThrow(
      'push: got "a block", expected a new receiver, for this one was flushed',
    );
  });

  it('gives nothing when it is flushed again', () => {
    expect(receiver.flush()).toEqual([]);
  });
});
