import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import type { Band } from '../../src/symbols/index.js';
import {
  createReceiver,
  receiveCalls,
  type ReceivedCall,
  type ReceiverEvent,
} from '../../src/receiver/index.js';
import { LOOK_ALIKES } from '../scenes/lookalikes.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, mix, transmit } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 11_025;
const choices = createChoices(42);
const calls = ['distressAlert', 'testCall', 'positionReport'] as const;
const sent = calls.map((kind) => encodeCall(randomCall(choices, kind)).symbols);

const audio = impair(
  mix(sampleRate, [
    { audio: transmit(sent[0], { sampleRate, dots: 20 }) },
    { audio: transmit(sent[1], { sampleRate, centreHz: 1000, dots: 20 }), at: 1 },
    { audio: transmit(sent[2], { sampleRate, band: 'vhf' }), at: 8 },
  ]),
  sampleRate,
  3,
  [{ kind: 'noise', snrDb: 12 }],
);

function push(length: () => number): ReceivedCall[] {
  const receiver = createReceiver({ sampleRate });
  const received: ReceivedCall[] = [];
  for (let at = 0; at < audio.length;) {
    const block = audio.slice(at, at + length());
    received.push(...receiver.push(block));
    // The receiver must not keep what is the caller's.
    block.fill(NaN);
    at += block.length;
  }
  return [...received, ...receiver.flush()];
}

describe('a stream', () => {
  const whole = receiveCalls(audio, { sampleRate });

  it('holds the calls that were sent', () => {
    expect(whole.map(({ symbols }) => symbols).sort()).toEqual([...sent].sort());
  });

  it.each([
    ['one sample at a time', () => 1],
    ['1000 samples at a time', () => 1000],
    ['a second at a time', () => sampleRate],
  ])('gives the same calls %s', (_, length) => {
    expect(push(length)).toEqual(whole);
  });

  it('gives the same calls in blocks of any length, empty ones too', () => {
    const lengths = createChoices(8);
    expect(push(() => lengths.pick([0, 1, lengths.integer(2, 5000)]))).toEqual(whole);
  });

  it('gives each call once, when it has ended, and nothing more at the end', () => {
    const receiver = createReceiver({ sampleRate });
    const pushed = receiver.push(audio);
    expect(pushed).toEqual(whole);
    expect(receiver.flush()).toEqual([]);
  });

  it('tells of a call as it begins', () => {
    const events: ReceiverEvent[] = [];
    receiveCalls(transmit(sent[0], { sampleRate }), { sampleRate, onEvent: (event) => events.push(event) });
    const phasing = events.find(({ type }) => type === 'phasing');
    expect(phasing?.time).toBeCloseTo(2.5, 1);
    expect(phasing?.centreHz).toBeCloseTo(1700, -1);
    expect(phasing?.baud).toBe(100);
  });

  it('gives up what carriers seem to begin once the shortest call would be over', () => {
    const { create, sampleRate } = LOOK_ALIKES.carriers;
    const carriers = create(1)(sized(22, 30));
    let now = 0;
    const begun: number[] = [];
    const waits: number[] = [];
    const receiver = createReceiver({
      sampleRate,
      onEvent: ({ type, time }) => {
        if (type === 'phasing') begun.push(time);
        if (type === 'lost') waits.push(now - time);
      },
    });
    for (let at = 0; at < carriers.length; at += sampleRate / 5) {
      now = at / sampleRate + 0.2;
      expect(receiver.push(carriers.subarray(at, at + sampleRate / 5))).toEqual([]);
    }
    // The shortest calls take 6 + 20 pairs of slots from their phasing on: 5.2 s, and the filters a little. What is given
    // up is told when no candidate is open that could explain it: one that begins up to 3.6 s later (8 pairs of slots of
    // phasing, 200 dots).
    const latest = 3.6 + 5.6;
    const over = begun.filter((time) => time < now - latest);
    expect(over.length).toBeGreaterThan(0);
    expect(waits.length).toBeGreaterThanOrEqual(over.length);
    expect(Math.max(...waits)).toBeLessThan(latest);
  });

  describe('of a call that breaks off', () => {
    /** Half a second of silence, 2 s of dots, 1.6 s of phasing, then characters: the first so many seconds of it. */
    function broken(seconds: number) {
      const events: ReceiverEvent[] = [];
      const begun = transmit(sent[0], { sampleRate }).slice(0, seconds * sampleRate);
      const audio = mix(sampleRate, [{ audio: begun }, { audio: new Float32Array(12 * sampleRate) }]);
      const noisy = impair(audio, sampleRate, 1, [{ kind: 'noise', snrDb: 10 }]);
      const calls = receiveCalls(noisy, { sampleRate, onEvent: (event) => events.push(event) });
      return { calls, lost: events.filter((event) => event.type === 'lost') };
    }

    it('gives what was read, in doubt', () => {
      const { calls } = broken(5);
      expect(calls.map(({ quality }) => quality)).toEqual(['doubtful']);
      // Until 5.0 s, 4.5 characters of DX: format, format, and half of the self-identification.
      expect(calls[0].symbols.slice(0, 3)).toEqual(sent[0].slice(0, 3));
      expect(Math.max(...calls[0].certainty.slice(12))).toBeLessThan(0.9);
    });

    it('says why nothing comes of its phasing alone', () => {
      const { calls, lost } = broken(4);
      expect(calls).toEqual([]);
      const own = lost.filter(({ centreHz }) => Math.abs(centreHz - 1700) < 5);
      expect(own).toMatchObject([{ time: expect.closeTo(2.5, 1) as number, baud: 100 }]);
      expect(own.map((event) => event.reason)).toEqual([expect.stringMatching(/noise/)]);
    });
  });

  it.each<[Band, number]>([
    ['mf-hf', 0.5],
    ['vhf', 0.5],
  ])('gives a %s call within %f s after its last bit', (band, most) => {
    const random = createChoices(17);
    for (const kind of KINDS.filter((_, i) => i % 5 === 0)) {
      const symbols = encodeCall(randomCall(random, kind)).symbols;
      const own = impair(
        transmit(symbols, { sampleRate, band, dots: 20, before: 0.3, after: 1.5 }),
        sampleRate,
        1,
        [{ kind: 'noise', snrDb: band === 'vhf' ? 15 : 3 }],
      );
      const end = own.length - 1.5 * sampleRate;
      const receiver = createReceiver({ sampleRate });
      let reported = NaN;
      for (let at = 0; at < own.length && Number.isNaN(reported); at += 50) {
        if (receiver.push(own.subarray(at, at + 50)).length > 0) reported = at + 50;
      }
      expect(reported - end, kind).toBeLessThan(most * sampleRate);
      expect(reported - end, kind).toBeGreaterThan(-0.05 * sampleRate);
    }
  });
});

describe('options', () => {
  it.each<[string, Record<string, unknown>]>([
    ['sampleRate', { sampleRate: 7999 }],
    ['sampleRate', { sampleRate: 192_001 }],
    ['sampleRate', { sampleRate: NaN }],
    ['sampleRate', { sampleRate: '8000' }],
    ['sampleRate', {}],
    ['bands', { sampleRate, bands: [] }],
    ['bands', { sampleRate, bands: ['hf'] }],
    ['bands', { sampleRate, bands: 'vhf' }],
    ['bands', { sampleRate, bands: ['toString'] }],
    ['centreHz', { sampleRate, centreHz: 0 }],
    ['centreHz', { sampleRate, centreHz: NaN }],
    ['centreHz', { sampleRate, centreHz: 1e6 }],
    ['centreHz', { sampleRate, centreHz: '1700' }],
    ['searchHz', { sampleRate, centreHz: 1700, searchHz: -1 }],
    ['searchHz', { sampleRate, centreHz: 1700, searchHz: NaN }],
    ['searchHz', { sampleRate, centreHz: 1700, searchHz: Infinity }],
  ])('%s is refused by name in %j', (name, options) => {
    let thrown: unknown;
    try {
      createReceiver(options as never);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toMatchObject({ name: 'DotphaseError', field: expect.stringContaining(name) as string });
  });

  it('samples of another realm are taken', () => {
    const foreign = runInNewContext('new Float32Array(800)') as Float32Array;
    expect(foreign instanceof Float32Array).toBe(false);
    expect(createReceiver({ sampleRate }).push(foreign)).toEqual([]);
  });

  it('samples that are none are refused', () => {
    const receiver = createReceiver({ sampleRate });
    for (const samples of [undefined, null, 'audio', {}, [0, 0, 0], new Int16Array(3), new Float64Array(3)]) {
      expect(() => receiver.push(samples as never)).toThrow(/samples/);
    }
  });
});
