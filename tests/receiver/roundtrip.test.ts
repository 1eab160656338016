import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import type { Band } from '../../src/symbols/index.js';
import { describeReceived, receiveCalls } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { spell, spelled, transmit } from '../scenes/transmission.js';
import { sized } from '../size.js';

const RATES = [8000, 11_025, 12_000, 16_000, 22_050, 44_100, 48_000];

/** Every how many kinds each rate is tried with: every kind comes at some rate. */
const STEP = sized({ 'mf-hf': 7, vhf: 3 }, { 'mf-hf': 3, vhf: 1 });

describe('calls through audio without noise', () => {
  describe.each<[Band, readonly number[]]>([
    ['mf-hf', RATES],
    ['vhf', RATES],
  ])('%s', (band, rates) => {
    it.each(rates)('every kind of call is clean at %i Hz', (sampleRate) => {
      const choices = createChoices(sampleRate);
      for (const kind of KINDS.filter((_, i) => i % STEP[band] === RATES.indexOf(sampleRate) % STEP[band])) {
        const call = randomCall(choices, kind);
        const symbols = encodeCall(call).symbols;
        const audio = transmit(symbols, { sampleRate, band, dots: 20, before: 0.1, after: 0.6 });
        const received = receiveCalls(audio, { sampleRate, bands: [band] });
        expect(spelled(received), kind).toEqual([spell(call)]);
        const [{ quality, errorProbability, baud, inverted, expansions, sendings }] = received;
        expect({ quality, baud, inverted, expansions, sendings }).toEqual({
          quality: 'clean',
          baud: band === 'vhf' ? 1200 : 100,
          inverted: false,
          expansions: [],
          sendings: 1,
        });
        expect(errorProbability).toBeLessThan(1e-6);
        expect(received[0].call).toEqual(call);
      }
    });
  });

  it('says where, when and how strong a call was', () => {
    const sampleRate = 12_000;
    const symbols = encodeCall(randomCall(createChoices(1), 'distressAlert')).symbols;
    const audio = transmit(symbols, { sampleRate, centreHz: 1234.5, before: 1.5 });
    const [call] = receiveCalls(audio, { sampleRate });
    // 200 dots, then 26 slot pairs of 20 bits, at 100 Bd (M.493 §3.1, Table A1-4.1).
    expect(call.start).toBeCloseTo(1.5 + 2, 2);
    expect(call.end).toBeCloseTo(1.5 + 2 + 5.2, 2);
    expect(Math.abs(call.centreHz - 1234.5)).toBeLessThan(0.5);
    expect(call.snrDb).toBeGreaterThan(20);
    expect(describeReceived(call)).toContain('Distress alert');
    expect(call.characters).toHaveLength(symbols.length + 3);
    for (const { dx, symbol } of call.characters) expect(dx).toBe(symbol);
  });
});
