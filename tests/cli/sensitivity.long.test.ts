/** A whole ladder through sound: up to 60 calls of eight seconds and their acknowledgements. */
import { expect, it } from 'vitest';
import { walkLadder } from '../../src/cli/sensitivity/walk.js';
import { createLadder } from '../../src/measure/index.js';
import { RANGE, plan, virtualSet } from './virtualset.js';

/** The ratio at which the textbook receiver reads half of such calls: see tests/measure/ladder.test.ts. */
const HALF_DB = -6.73;

it('the ladder through sound finds where half of the calls are acknowledged, to 0.3 dB with 60 calls at most', async () => {
  const ladder = createLadder(RANGE);
  const set = virtualSet();
  await walkLadder(set, plan(ladder));
  expect(set.heard).toBeLessThanOrEqual(60);
  expect(Math.abs(ladder.estimate().half.value - HALF_DB)).toBeLessThan(0.3);
});
