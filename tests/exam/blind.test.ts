/**
 * A candidate who never listens: from many papers with their keys it learns what the sheets give away, and then answers
 * new ones. It may get no more than chance and 3 marks in a hundred, at any level. `BLIND_PAPERS=500` makes it learn
 * from 500 papers and answer 300, which takes minutes for each level.
 */
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { LEVELS, parsePaperPlan, type KeyQuestion, type Level } from '../../src/exam/index.js';
import { setQuestions, type SetQuestions } from '../../src/exam/paper.js';

const LEARNT = Number(process.env.BLIND_PAPERS ?? 100);
const ANSWERED = Math.round(LEARNT * 0.6);
/** Exercises of a paper here. */
const EXERCISES = 2;
const MARGIN = 0.03;

/** What somebody notices about one choice of a question: each a text whose history is counted. */
type Clues = (exercise: SetQuestions, question: KeyQuestion, choice: number) => readonly string[];

const textsOf = ({ choices }: KeyQuestion) => choices.map(({ text }) => text);

/** Where a choice stands among the others by some measure. */
const rank = (values: readonly (string | number)[], own: number) =>
  values.filter((value) => value < values[own]).length;

/** How often the other questions of the exercise offer the same, or speak of it. */
const echoes = ({ questions }: SetQuestions, question: KeyQuestion, text: string) =>
  questions
    .filter((other) => other !== question)
    .map((other) => `${other.topic}${other.call ?? ''}${textsOf(other).includes(text) ? '=' : ''}`)
    .filter((word) => word.endsWith('='));

/** What is printed above the questions. */
const heading = ({ set, situation, questions }: SetQuestions) =>
  `${situation.join(' ')} ${(set.seconds ?? 0).toFixed(1)} ${questions.length} ${questions.map(({ topic }) => topic).join()}`;

const STRATEGIES: Readonly<Record<string, Clues>> = {
  'place on the sheet': (_, { id }, i) => [`${id} ${i}`],
  'letter of a question': (_, { text, call }, i) => [`${text} ${call} ${i}`],
  'text of a choice': (_, { text, choices }, i) => [`${text} ${choices[i].text}`],
  'a choice among others': (_, question, i) =>
    textsOf(question)
      .filter((__, n) => n !== i)
      .map((other) => `${textsOf(question)[i]} not ${other}`),
  'all choices': (_, question, i) => [`${textsOf(question).sort().join()} ${textsOf(question)[i]}`],
  'form of a choice': (_, question, i) => {
    const texts = textsOf(question);
    const digits = texts.map((text) => text.replace(/\D/g, ''));
    return [
      `${question.topic} length ${rank(
        texts.map(({ length }) => length),
        i,
      )}`,
      `${question.topic} order ${rank(texts, i)}`,
      `${question.topic} digits ${rank(digits, i)}`,
    ];
  },
  'words of a choice': (_, { topic, choices }, i) =>
    choices[i].text.split(/[\s:,;]+/).map((word) => `${topic} ${word}`),
  'kinship of choices': (_, question, i) => {
    // How alike a choice is to the others: the one that was there first may stand in their middle.
    const texts = textsOf(question);
    const shared = texts.map((text) =>
      texts.reduce((sum, other) => sum + Array.from(text).filter((c, n) => c === other[n]).length, 0),
    );
    return [`${question.topic} kin ${rank(shared, i)}`];
  },
  'echo in other questions': (exercise, question, i) => {
    const heard = echoes(exercise, question, textsOf(question)[i]);
    return [`${question.topic} ${heard.length}`, `${question.topic} ${heard.join()}`];
  },
  'heading and letter': (exercise, { topic, call }, i) => [`${heading(exercise)} ${topic} ${call} ${i}`],
  'heading and text': (exercise, { topic, choices }, i) => [
    `${heading(exercise)} ${topic} ${choices[i].text}`,
    `${exercise.questions.length} ${topic} ${choices[i].text}`,
    `${exercise.situation.join()} ${topic} ${choices[i].text}`,
    `${exercise.set.seconds} ${topic} ${choices[i].text}`,
  ],
  'choices of other questions': (exercise, question, i) =>
    exercise.questions
      .filter((other) => other !== question && other.call === question.call)
      .flatMap((other) =>
        textsOf(other).map((text) => `${question.topic} ${textsOf(question)[i]} beside ${text}`),
      ),
};

interface Tally {
  seen: number;
  right: number;
}

/** Counts for each clue how often the choice was right. */
class Candidate {
  private readonly tallies = new Map<string, Tally>();

  constructor(private readonly clues: Clues) {}

  learn(exercise: SetQuestions): void {
    for (const question of exercise.questions) {
      question.choices.forEach(({ letter }, i) => {
        for (const clue of this.clues(exercise, question, i)) {
          const tally = this.tallies.get(clue) ?? { seen: 0, right: 0 };
          tally.seen++;
          if (letter === question.answer) tally.right++;
          this.tallies.set(clue, tally);
        }
      });
    }
  }

  /** How likely a choice is: the odds of its clues against chance, multiplied. */
  private score(exercise: SetQuestions, question: KeyQuestion, i: number): number {
    const chance = 1 / question.choices.length;
    return this.clues(exercise, question, i).reduce((sum, clue) => {
      const { seen, right } = this.tallies.get(clue) ?? { seen: 0, right: 0 };
      return sum + Math.log((right + 2 * chance) / (seen + 2) / chance);
    }, 0);
  }

  answer(exercise: SetQuestions, question: KeyQuestion): string {
    const scores = question.choices.map((_, i) => this.score(exercise, question, i));
    return question.choices[scores.indexOf(Math.max(...scores))].letter;
  }
}

/** The share of questions that a candidate has right beyond what guessing gives. */
function gain(candidate: Candidate, exercises: readonly SetQuestions[]): number {
  const marks = exercises.flatMap((exercise) =>
    exercise.questions.map(
      (question) =>
        Number(candidate.answer(exercise, question) === question.answer) - 1 / question.choices.length,
    ),
  );
  return marks.reduce((sum, mark) => sum + mark, 0) / marks.length;
}

/** A candidate that has learnt from exercises with their keys. */
function taught(clues: Clues, exercises: readonly SetQuestions[]): Candidate {
  const candidate = new Candidate(clues);
  for (const exercise of exercises) candidate.learn(exercise);
  return candidate;
}

/** The question sheets and keys of a paper, from a key as a secret gives it. */
function sheetsOf(level: Level, number: number): SetQuestions[] {
  const plan = parsePaperPlan({ level, exercises: EXERCISES, secret: 'not used: keys follow' });
  const key = new Uint8Array(createHash('sha256').update(`blind ${level} ${number}`).digest());
  return Array.from({ length: EXERCISES }, (_, i) => setQuestions(plan, key, i));
}

describe('a candidate who never listens', () => {
  it.each(Object.keys(LEVELS).map((level) => Number(level) as Level))(
    'learns nothing from papers of level %d',
    (level) => {
      const papers = Array.from({ length: LEARNT + ANSWERED }, (_, i) => sheetsOf(level, i));
      const learnt = papers.slice(0, LEARNT).flat();
      const fresh = papers.slice(LEARNT).flat();
      // Which way is best it can only find out from the papers with keys: it keeps half of them to try.
      const half = learnt.length / 2;
      const trials = Object.values(STRATEGIES).map((clues) => ({
        clues,
        gain: gain(taught(clues, learnt.slice(0, half)), learnt.slice(half)),
      }));
      const best = trials.reduce((a, b) => (b.gain > a.gain ? b : a));
      expect(gain(taught(best.clues, learnt), fresh)).toBeLessThanOrEqual(MARGIN);
    },
  );

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
