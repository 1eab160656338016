import { describe, expect, it } from 'vitest';
import { logBesselI0 } from '../../src/dsp/index.js';

/** Σ (x/2)²ᵏ / k!², Abramowitz and Stegun, Handbook of Mathematical Functions, 9.6.12. */
function series(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-18 * sum; k++) {
    term *= (x / 2 / k) ** 2;
    sum += term;
  }
  return Math.log(sum);
}

/** x − ½ ln 2πx + ln(1 + 1/8x + 9/128x² + 225/3072x³ + …), Abramowitz and Stegun 9.7.1. */
function asymptote(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k < 8; k++) {
    term *= (2 * k - 1) ** 2 / (k * 8 * x);
    sum += term;
  }
  return x - 0.5 * Math.log(2 * Math.PI * x) + Math.log(sum);
}

describe('ln I₀', () => {
  it('agrees with its power series from 0 to 300', () => {
    for (let x = 0; x <= 300; x += x < 10 ? 0.05 : 1.7) {
      expect(Math.abs(logBesselI0(x) - series(x))).toBeLessThan(5e-7);
    }
  });

  it('agrees with its asymptotic series up to 10⁶', () => {
    for (const x of [100, 1e3, 1e4, 1e6]) {
      expect(Math.abs(logBesselI0(x) - asymptote(x))).toBeLessThan(5e-7);
    }
  });

  it.each([
    // I₀ at 1, 2.5, 5 and 10 by standard tables (Abramowitz and Stegun, Table 9.8).
    [0, 1],
    [1, 1.2660658777520084],
    [2.5, 3.2898391440501231],
    [5, 27.239871823604442],
    [10, 2815.7166284662544],
  ])('has the tabulated value at %f', (x, value) => {
    expect(logBesselI0(x)).toBeCloseTo(Math.log(value), 6);
  });
});
