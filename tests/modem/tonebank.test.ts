import { describe, expect, it } from 'vitest';
import {
  WINDOWS_PER_BIT,
  createSummingBank,
  createToneBank,
  createTransformBank,
  type ToneBank,
} from '../../src/modem/index.js';
import { createChoices } from '../scenes/random.js';

const TONES = Array.from({ length: 60 }, (_, i) => 10 + i);
const OPTIONS = { bitSamples: 72, period: 256, tones: TONES };

function powersOf(bank: ToneBank, samples: Float32Array): Float32Array[] {
  const rows: Float32Array[] = [];
  for (let at = 0; at + bank.hop <= samples.length; at += bank.hop) {
    const powers = new Float32Array(TONES.length + 2).fill(-1);
    bank.steps(samples, at, 1, powers, 1);
    expect([powers[0], powers[TONES.length + 1]]).toEqual([-1, -1]);
    rows.push(powers.subarray(1, TONES.length + 1));
  }
  return rows;
}

describe('tone bank', () => {
  it('gives the same powers by sums and by transforms', () => {
    const choices = createChoices(7);
    const samples = Float32Array.from({ length: 5000 }, () => choices.uniform(-1, 1));
    const sums = powersOf(createSummingBank(OPTIONS), samples);
    const transforms = powersOf(createTransformBank(OPTIONS), samples);
    const mean = sums.flatMap((row) => [...row]).reduce((a, b) => a + b) / (sums.length * TONES.length);
    sums.forEach((row, i) => {
      row.forEach((power, tone) => {
        expect(Math.abs(power - transforms[i][tone])).toBeLessThan(1e-4 * mean);
      });
    });
  });

  // A tone of amplitude 1 adds up to half the window, in amplitude, whatever its phase.
  it.each([createSummingBank, createTransformBank])('measures a tone at its place (%o)', (create) => {
    const rate = 7200;
    const tone = 33;
    const frequency = (TONES[tone] * rate) / OPTIONS.period;
    const samples = Float32Array.from({ length: 2000 }, (_, n) =>
      Math.cos((2 * Math.PI * frequency * n) / rate + 1),
    );
    const rows = powersOf(create(OPTIONS), samples).slice(WINDOWS_PER_BIT);
    for (const row of rows) {
      expect(row.indexOf(Math.max(...row))).toBe(tone);
      // The tone's negative image leaks a little into a window that does not hold whole periods.
      expect(Math.sqrt(row[tone]) / (OPTIONS.bitSamples / 2)).toBeCloseTo(1, 1);
    }
  });

  it('takes a third of a bit at a time', () => {
    expect(createToneBank(OPTIONS).hop).toBe(24);
    expect(createToneBank({ ...OPTIONS, bitSamples: 6, period: 54, tones: [10, 11, 15, 16] }).hop).toBe(2);
  });
});
