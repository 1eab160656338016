/** All calls of a slice at once: where they lie, what is none of them, and what they tell of the receiver. */
import { describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import {
  createSliceReceiver,
  dscChannelsIn,
  oscillatorErrorOf,
  type SliceReceiverOptions,
  type IqBlock,
} from '../../src/radio/index.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice } from '../scenes/slice.js';

function receive(options: SliceReceiverOptions, { i, q }: IqBlock) {
  const receiver = createSliceReceiver(options);
  const calls: ReturnType<typeof receiver.flush> = [];
  for (let at = 0; at < i.length; at += 50_000)
    calls.push(...receiver.push(i.subarray(at, at + 50_000), q.subarray(at, at + 50_000)));
  return [...calls, ...receiver.flush()];
}

const choices = createChoices(21);
const testCall = (self = '299123456'): Call => ({ kind: 'testCall', to: { station: '002991234' }, self });
const symbolsOf = (call: Call) => encodeCall(call).symbols;

describe('the channels of a slice', () => {
  it('are the DSC frequencies in it (Radio Regulations Appendices 15 and 17; from memory)', () => {
    const slice = { sampleRate: 96_000, tunedHz: 8_430_000 };
    expect(dscChannelsIn(slice).map(({ hz }) => hz)).toEqual(
      [8414.5, 8415, 8415.5, 8416, 8436.5, 8437, 8437.5].map((khz) => khz * 1000),
    );
    expect(dscChannelsIn(slice, ['vhf'])).toEqual([]);
    expect(dscChannelsIn({ sampleRate: 240_000, tunedHz: 156_500_000 })).toEqual([
      { hz: 156_525_000, mode: 'fm' },
    ]);
  });
});

describe('the image of a strong call', () => {
  // 8437.5 lies as far above the middle as 8414.5 lies below it.
  const slice = { sampleRate: 96_000, tunedHz: 8_426_000 };
  const call = { symbols: symbolsOf(testCall()), hz: 8_414_500, at: 0.3, amplitude: 0.3 };
  /** Q is 1 dB too strong and 5° late: an image of −22 dB, before anything is known of it. */
  const uneven = ({ i, q }: IqBlock): IqBlock => ({
    i,
    q: q.map((sample, n) => 1.122 * (sample * Math.cos(0.087) + i[n] * Math.sin(0.087))),
  });

  it('is told as no call on another channel', () => {
    const calls = receive(slice, uneven(createSlice({ ...slice, seconds: 8 }, [call], -80, 5)));
    expect(calls.map(({ frequencyHz, inverted }) => [frequencyHz, inverted])).toEqual([[8_414_500, false]]);
  });

  it('hides no other call there', () => {
    const other = { symbols: symbolsOf(testCall('299000111')), hz: 8_437_500, at: 0.9, amplitude: 0.01 };
    const calls = receive(slice, uneven(createSlice({ ...slice, seconds: 9 }, [call, other], -80, 5)));
    const own = calls.filter(({ quality }) => quality !== 'doubtful');
    expect(own.map(({ frequencyHz, symbols }) => [frequencyHz, symbols])).toEqual([
      [8_414_500, call.symbols],
      [8_437_500, other.symbols],
    ]);
  });
});

describe('between the DSC frequencies', () => {
  const slice = { sampleRate: 48_000, tunedHz: 8_420_000 };
  const at = (hz: number, amplitude: number, begin: number) => ({
    symbols: symbolsOf(randomCall(choices, 'testCall')),
    hz,
    at: begin,
    amplitude,
  });
  const sent = [
    at(8_414_500, 0.2, 0.3),
    // On the seam of two cells, near the slice's edges, and 50 dB below a neighbour.
    at(8_400_123, 0.01, 0.5),
    at(8_439_900, 0.01, 0.7),
    at(8_420_003, 0.01, 0.4),
    at(8_428_777, 0.002, 1.1),
  ];
  const samples = createSlice({ ...slice, seconds: 9 }, sent, -75, 3);

  it('calls are found wherever they lie, each once, with its frequency to 10 Hz', () => {
    const calls = receive({ ...slice, anywhere: true }, samples);
    const found = calls.sort((a, b) => a.frequencyHz - b.frequencyHz);
    expect(found.map(({ frequencyHz }) => frequencyHz)).toEqual([
      8_400_120, 8_414_500, 8_420_000, 8_428_780, 8_439_900,
    ]);
    for (const { symbols, measuredHz } of found) {
      const one = sent.find((other) => other.symbols.join() === symbols.join());
      expect(Math.abs(measuredHz - (one?.hz ?? 0))).toBeLessThanOrEqual(2);
    }
    const calm = receive(slice, samples);
    expect(calm.map(({ frequencyHz }) => frequencyHz)).toEqual([8_414_500]);
  });
});

describe('an attempt between the DSC frequencies', () => {
  it('has one frequency, however its sendings are measured', () => {
    const slice = { sampleRate: 16_000, tunedHz: 8_420_000 };
    // A set that drifts by 4 Hz from one sending to the next, over where the tens of hertz are rounded.
    const sent = [0, 1].map((n) => ({
      symbols: symbolsOf(testCall()),
      hz: 8_421_703 + 4 * n,
      at: 0.3 + 8.4 * n,
      amplitude: 0.1,
    }));
    const calls = receive({ ...slice, anywhere: true }, createSlice({ ...slice, seconds: 17 }, sent, -80, 4));
    expect(calls.map(({ attempt }) => attempt.sending)).toEqual([1, 2]);
    expect(new Set(calls.map(({ measuredHz }) => Math.round(measuredHz / 10))).size).toBe(2);
    expect(new Set(calls.map(({ frequencyHz }) => frequencyHz))).toEqual(new Set([8_421_700]));
  });
});

describe('the oscillator of a receiver', () => {
  const placed = (self: string, offset: number, frequencyHz = 8_414_500) => ({
    call: { ...testCall(self), kind: 'testCall' } as never,
    frequencyHz,
    measuredHz: frequencyHz + offset,
  });

  it('is told by calls of several stations, each counted once', () => {
    // Tuned 2 ppm too high at 8.4 MHz, everything lies 16.8 Hz too low.
    const calls = [
      placed('299000001', -16.8 + 4),
      placed('299000002', -16.8 - 4),
      placed('299000003', -16.8),
      placed('299000003', -16.8),
    ];
    const error = oscillatorErrorOf(calls, 8_400_000);
    expect(error?.ppm).toBeCloseTo(2, 6);
    expect(error).toMatchObject({ calls: 4, stations: 3 });
    // Sets are off by 10 Hz at most: 5.8 Hz, of three stations 3.3 Hz, 0.4 ppm.
    expect(error?.uncertaintyPpm).toBeCloseTo(10 / 3 / 8.4, 3);
  });

  it('is not told by fewer', () => {
    expect(
      oscillatorErrorOf([placed('299000001', -17), placed('299000002', -17)], 8_400_000),
    ).toBeUndefined();
  });
});
