/** Sensitivity over paths that fade and in several bursts of noise; `npm run bench` measures it whole. */
import { describe, expect, it } from 'vitest';
import type { ChannelName } from '../scenes/channels.js';
import { judge, runDecodeJob } from '../scenes/decode.js';
import { sized } from '../size.js';
import { right, send } from './alerts.js';

describe('sensitivity', () => {
  // Nine in ten are required at these ratios; where the share is exactly that, fewer than 13 of 20 come once in 400
  // runs, fewer than 3 of 6 once in 800.
  it.each<[ChannelName, number, number, number]>(
    sized(
      [
        ['moderate', -2.5, 6, 3],
        ['disturbed', -4, 6, 3],
        ['five', -13, 2, 1],
      ],
      [
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
