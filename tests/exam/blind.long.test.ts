/**
 * A candidate who never listens may get no more than chance and 3 marks in a hundred, at any level, also where it has
 * version A of the paper with its answers. `BLIND_PAPERS=500` makes it learn from 500 papers and answer 300, which takes
 * minutes for each level.
 */
import { describe, expect, it } from 'vitest';
import { LEVELS, type Level } from '../../src/exam/index.js';
import {
  ANSWERED,
  LEARNT,
  MARGIN,
  STRATEGIES,
  VERSION_STRATEGIES,
  bestGain,
  secondSheetsOf,
  sheetsOf,
  writtenOf,
} from './candidate.js';

const ALL = Object.keys(LEVELS).map((level) => Number(level) as Level);

describe('a candidate who never listens', () => {
  it.each(ALL)('learns nothing from papers of level %d', (level) => {
    const papers = Array.from({ length: LEARNT + ANSWERED }, (_, i) => sheetsOf(level, i));
    const learnt = papers.slice(0, LEARNT).flat();
    const fresh = papers.slice(LEARNT).flat();
    expect(bestGain(Object.values(STRATEGIES), learnt, fresh)).toBeLessThanOrEqual(MARGIN);
  });

  it('learns nothing from the answers of written questions without what is asked', () => {
    const papers = Array.from({ length: 5 * (LEARNT + ANSWERED) }, (_, i) => writtenOf(i));
    const learnt = papers.slice(0, 5 * LEARNT).flat();
    const fresh = papers.slice(5 * LEARNT).flat();
    expect(bestGain(Object.values(STRATEGIES), learnt, fresh)).toBeLessThanOrEqual(MARGIN);
  });

  it.each(ALL)(
    'learns nothing for version B from the answers of version A, nor from papers before, at level %d',
    (level) => {
      // Papers of several calls have three times as many questions.
      const learnt = Math.round(LEARNT / (level > 3 ? 4 : 2));
      const papers = Array.from({ length: level > 3 ? 3 * learnt : 5 * learnt }, (_, i) =>
        secondSheetsOf(level, i),
      );
      const strategies = Object.values({ ...STRATEGIES, ...VERSION_STRATEGIES });
      expect(
        bestGain(strategies, papers.slice(0, learnt).flat(), papers.slice(learnt).flat()),
      ).toBeLessThanOrEqual(MARGIN);
    },
    240_000,
  );
});
