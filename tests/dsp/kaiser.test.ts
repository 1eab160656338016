import { describe, expect, it } from 'vitest';
import { designLowPass } from '../../src/dsp/filterdesign.js';
import { type LowPass } from '../../src/dsp/index.js';

/** Gain at a frequency in cycles per sample, the response sampled at the instants `shift` + whole numbers. */
function gain(filter: LowPass, frequency: number, shift = 0): number {
  let re = 0;
  let im = 0;
  for (let n = -Math.ceil(filter.reach) - 1; n <= filter.reach + 1; n++) {
    const value = filter.at(n + shift);
    re += value * Math.cos(2 * Math.PI * frequency * (n + shift));
    im += value * Math.sin(2 * Math.PI * frequency * (n + shift));
  }
  return Math.hypot(re, im);
}

const decibel = (value: number) => 20 * Math.log10(value);

/** The design promises the same ripple δ = 10^(−A/20) in both bands (Oppenheim and Schafer §7.6); the formula for the length is an approximation, 2 dB are left to it. */
describe('Kaiser low-pass filter', () => {
  describe.each([
    [0.1, 0.05, 45],
    [0.044, 0.029, 45],
    [0.2, 0.1, 50],
    [0.07, 0.02, 60],
    [0.25, 0.05, 80],
    [0.1, 0.05, 30],
  ])('cut-off %f, transition %f, %i dB', (cutoff, transition, attenuation) => {
    const filter = designLowPass(cutoff, transition, attenuation);
    const ripple = 10 ** (-(attenuation - 2) / 20);

    it('passes what lies below the transition', () => {
      for (let f = 0; f <= cutoff - transition / 2; f += 0.001) {
        expect(Math.abs(gain(filter, f) - 1)).toBeLessThan(ripple);
      }
    });

    it('stops what lies above the transition', () => {
      for (let f = cutoff + transition / 2; f <= 0.5; f += 0.001) {
        expect(decibel(gain(filter, f))).toBeLessThan(2 - attenuation);
      }
    });

    it('is 6 dB down in the middle of the transition', () => {
      expect(Math.abs(gain(filter, cutoff) - 0.5)).toBeLessThan(ripple);
    });

    it('does the same between the samples', () => {
      for (const f of [0, 0.5 * (cutoff - transition / 2), 0.45]) {
        expect(Math.abs(gain(filter, f, 0.37) - gain(filter, f))).toBeLessThan(2 * ripple);
      }
    });
  });

  it('is zero beyond its reach and symmetrical', () => {
    const filter = designLowPass(0.1, 0.05, 50);
    expect(filter.at(filter.reach)).toBe(0);
    expect(filter.at(-filter.reach - 1)).toBe(0);
    expect(filter.at(2.3)).toBeCloseTo(filter.at(-2.3), 15);
  });
});
