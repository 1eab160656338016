/** A candidate who never listens, but has version A of the paper with its answers: thousands of papers. */
import { describe, expect, it } from 'vitest';
import { LEVELS, type Level } from '../../src/exam/index.js';
import { LEARNT, MARGIN, STRATEGIES, VERSION_STRATEGIES, bestGain, secondSheetsOf } from './candidate.js';

describe('a candidate who never listens', () => {
  it.each(Object.keys(LEVELS).map((level) => Number(level) as Level))(
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
