import { describe, expect, it } from 'vitest';
import { WINDOWS_PER_BIT, createToneBank } from '../../src/modem/internal.js';
import { createSummingBank, createTransformBank, type ToneBank } from '../../src/modem/tonebank.js';
import { createChoices } from '../scenes/random.js';

const TONES = Array.from({ length: 60 }, (_, i) => 10 + i);
const OPTIONS = { bitSamples: 72, period: 256, tones: TONES };

function powersOf(bank: ToneBank, samples: Float32Array, tones: readonly number[] = TONES): Float32Array[] {
  const rows: Float32Array[] = [];
  for (let at = 0; at + bank.hop <= samples.length; at += bank.hop) {
    const powers = new Float32Array(tones.length + 2).fill(-1);
    bank.steps(samples, at, 1, powers, 1);
    expect([powers[0], powers[tones.length + 1]]).toEqual([-1, -1]);
    rows.push(powers.subarray(1, tones.length + 1));
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

  it('gives nearly the same powers of few tones close together, which it sums in groups of samples', () => {
    const tones = [56, 57, 58, 59, 62, 63, 64, 65];
    const choices = createChoices(8);
    const samples = Float32Array.from({ length: 5000 }, () => choices.uniform(-1, 1));
    const sums = powersOf(createSummingBank({ ...OPTIONS, tones }), samples, tones);
    let error = 0;
    let whole = 0;
    sums.slice(WINDOWS_PER_BIT).forEach((row, i) => {
      const end = (i + WINDOWS_PER_BIT + 1) * 24;
      row.forEach((power, tone) => {
        let re = 0;
        let im = 0;
        for (let n = end - OPTIONS.bitSamples; n < end; n++) {
          const angle = (2 * Math.PI * tones[tone] * n) / OPTIONS.period;
          re += samples[n] * Math.cos(angle);
          im -= samples[n] * Math.sin(angle);
        }
        error += (Math.sqrt(power) - Math.hypot(re, im)) ** 2;
        whole += re ** 2 + im ** 2;
      });
    });
    // What aliases from 1800 Hz off comes through sinc(1 − 126/1800), 22 dB down, and half of it turns the phase only.
    expect(10 * Math.log10(error / whole)).toBeLessThan(-20);
  });

  it('sums an odd number of tones too', () => {
    const tones = [10, 11, 12];
    const samples = Float32Array.from({ length: 500 }, (_, n) => Math.cos((2 * Math.PI * 11 * n) / 256));
    const rows = powersOf(createSummingBank({ ...OPTIONS, tones }), samples, tones);
    for (const row of rows.slice(WINDOWS_PER_BIT)) {
      expect(Math.sqrt(row[1]) / (OPTIONS.bitSamples / 2)).toBeCloseTo(1, 1);
    }
  });

  it('refuses to sum tones that do not lie alike about their middle', () => {
    expect(() => createSummingBank({ ...OPTIONS, tones: [10, 11, 13] })).toThrow(/tones.*middle/);
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
