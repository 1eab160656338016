import { describe, expect, it } from 'vitest';
import { judge } from '../scenes/decode.js';
import { crossing, fskErrorRate, orthogonalErrorRate, textbookDecodeRate } from '../scenes/theory.js';
import { sized } from '../size.js';
import { right, send } from './alerts.js';

describe('sensitivity', { timeout: 300_000 }, () => {
  // Nine in ten are required at this ratio; where the share is exactly that, fewer than 15 of 20 come once in 90 runs,
  // fewer than 4 of 6 once in 60. Over paths that fade and of all kinds of calls:
  // sensitivity.long.test.ts.
  it('of alerts in white noise at −8.5 dB most are read, none wrong', () => {
    const [count, least] = sized([6, 4], [20, 15]);
    const outcomes = send('white', -8.5, count);
    expect(outcomes.filter((outcome) => judge(outcome).wrong)).toEqual([]);
    expect(right(outcomes)).toBeGreaterThanOrEqual(least);
  });
});

describe('the measure', () => {
  it('has a textbook receiver that reads what theory says', () => {
    const outcomes = send('white', -6, sized(8, 30), { textbook: true, seed: 100 });
    const share = outcomes.filter(({ textbook }) => textbook?.right).length / outcomes.length;
    expect(Math.abs(share - textbookDecodeRate(-6, 18))).toBeLessThan(0.3);
  });

  it('has closed forms that agree with each other and with tables', () => {
    // Tones a multiple of the bit rate apart are orthogonal.
    expect(fskErrorRate(8, 2)).toBeCloseTo(orthogonalErrorRate(8), 4);
    // ½·exp(−5) at 10 dB; at 1.7 bit rates apart a little more.
    expect(orthogonalErrorRate(10)).toBeCloseTo(0.003369, 6);
    expect(fskErrorRate(10, 1.7)).toBeGreaterThan(orthogonalErrorRate(10));
  });

  it('finds where a share is reached', () => {
    const points = [0.1, 0.5, 0.95, 0.99].map((share, i) => ({ snrDb: i, share }));
    expect(crossing(points, 0.5)).toBe(1);
    expect(crossing(points, 0.9)).toBeCloseTo(1 + 0.4 / 0.45, 9);
    expect(crossing(points, 0.999)).toBeNaN();
  });
});
