import { describe, expect, it } from 'vitest';
import { judge, runDecodeJob, type DecodeJob, type Outcome } from '../scenes/decode.js';
import type { ChannelName } from '../scenes/channels.js';
import { crossing, fskErrorRate, orthogonalErrorRate, textbookDecodeRate } from '../scenes/theory.js';
import { sized } from '../size.js';

function send(
  channel: ChannelName,
  snrDb: number,
  count: number,
  options: Partial<DecodeJob> = {},
): Outcome[] {
  return runDecodeJob({ channel, snrDb, count, calls: 'alerts', seed: 4000, textbook: false, ...options });
}

const right = (outcomes: readonly Outcome[]) => outcomes.filter((outcome) => judge(outcome).right).length;

describe('sensitivity', { timeout: 300_000 }, () => {
  // Nine in ten are required at these ratios; where the share is exactly that, fewer than 13 of 20 come once in 400
  // runs, fewer than 3 of 6 once in 800.
  it.each<[ChannelName, number, number, number]>(
    sized(
      [
        ['white', -8.5, 6, 4],
        ['moderate', -2.5, 6, 3],
        ['disturbed', -4, 6, 3],
        ['five', -13, 2, 1],
      ],
      [
        ['white', -8.5, 20, 15],
        ['moderate', -2.5, 20, 13],
        ['disturbed', -4, 20, 13],
        ['five', -13, 4, 2],
      ],
    ),
  )('%s noise at %f dB: of %i alerts at least %i are read, none wrong', (channel, snrDb, count, least) => {
    const outcomes = send(channel, snrDb, count);
    expect(outcomes.filter((outcome) => judge(outcome).wrong)).toEqual([]);
    expect(right(outcomes)).toBeGreaterThanOrEqual(least);
  });

  it('calls of all kinds, many too weak to be read, are never read wrong', () => {
    const outcomes = runDecodeJob({
      channel: 'disturbed',
      snrDb: [-14, -4],
      count: sized(10, 30),
      calls: 'all',
      seed: 9000,
      textbook: false,
    });
    expect(outcomes.filter((outcome) => judge(outcome).wrong)).toEqual([]);
    expect(right(outcomes)).toBeGreaterThan(2);
    expect(right(outcomes)).toBeLessThan(outcomes.length);
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
