/** That the candidate who never listens would learn what sheets give away; that they don't: blind.long.test.ts. */
import { describe, expect, it } from 'vitest';
import { STRATEGIES, gain, sheetsOf, taught } from './candidate.js';

describe('a candidate who never listens', () => {
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
