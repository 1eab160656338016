/**
 * A candidate who never listens may get no more than chance and 3 marks in a hundred, at any level. `BLIND_PAPERS=500`
 * makes it learn from 500 papers and answer 300, which takes minutes for each level. One who has another version of the
 * paper with its answers is tried by `npm run test:long`.
 */
import { describe, expect, it } from 'vitest';
import { LEVELS, type Level } from '../../src/exam/index.js';
import {
  ANSWERED,
  LEARNT,
  MARGIN,
  STRATEGIES,
  bestGain,
  gain,
  sheetsOf,
  taught,
  writtenOf,
} from './candidate.js';

describe('a candidate who never listens', () => {
  it.each(Object.keys(LEVELS).map((level) => Number(level) as Level))(
    'learns nothing from papers of level %d',
    (level) => {
      const papers = Array.from({ length: LEARNT + ANSWERED }, (_, i) => sheetsOf(level, i));
      const learnt = papers.slice(0, LEARNT).flat();
      const fresh = papers.slice(LEARNT).flat();
      expect(bestGain(Object.values(STRATEGIES), learnt, fresh)).toBeLessThanOrEqual(MARGIN);
    },
  );

  it('learns nothing from the answers of written questions without what is asked', () => {
    const papers = Array.from({ length: 5 * (LEARNT + ANSWERED) }, (_, i) => writtenOf(i));
    const learnt = papers.slice(0, 5 * LEARNT).flat();
    const fresh = papers.slice(5 * LEARNT).flat();
    expect(bestGain(Object.values(STRATEGIES), learnt, fresh)).toBeLessThanOrEqual(MARGIN);
  });

  it('would find what a sheet gives away', () => {
    // The same sheets with a flaw: whatever offers the number 3 is right there.
    const flawed = Array.from({ length: 60 }, (_, i) => sheetsOf(4, i))
      .flat()
      .map((exercise) => ({
        ...exercise,
        questions: exercise.questions.map((question) =>
          question.topic === 'count' ? { ...question, answer: 'b' } : question,
        ),
      }));
    const candidate = taught(STRATEGIES['text of a choice'], flawed.slice(0, 60));
    const counts = flawed.slice(60).map((exercise) => ({
      ...exercise,
      questions: exercise.questions.filter(({ topic }) => topic === 'count'),
    }));
    expect(gain(candidate, counts)).toBeGreaterThan(0.5);
  });
});
