/**
 * A candidate who never listens: from many papers with their keys it learns what the sheets give away, and then answers
 * new ones.
 */
import { createHash } from 'node:crypto';
import { parsePaperPlan, type KeyQuestion, type Level } from '../../src/exam/index.js';
import { keysOf } from '../../src/exam/keys.js';
import { setQuestions, setWritten, type SetQuestions } from '../../src/exam/paper.js';

/** Papers that it learns from, and papers that it answers. */
export const LEARNT = Number(process.env.BLIND_PAPERS ?? 100);
export const ANSWERED = Math.round(LEARNT * 0.6);
/** Exercises of a paper here. */
const EXERCISES = 2;
/** Its gain beyond chance may be no more. */
export const MARGIN = 0.03;

/** Exercises as a candidate sees them: of another version of the paper perhaps the answers too. */
interface Sheet extends SetQuestions {
  /** The exercise of version A that this one has taken the place of. */
  readonly before?: SetQuestions | undefined;
}

/** What somebody notices about one choice of a question: each a text whose history is counted. */
type Clues = (exercise: Sheet, question: KeyQuestion, choice: number) => readonly string[];

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

/** What it may notice on a sheet. */
export const STRATEGIES: Readonly<Record<string, Clues>> = {
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

/** The same question of version A, whose key is known. */
const sameBefore = ({ before }: Sheet, { topic, call }: KeyQuestion) =>
  before?.questions.find((other) => other.topic === topic && other.call === call);

/** What the key of another version might tell. */
export const VERSION_STRATEGIES: Readonly<Record<string, Clues>> = {
  'letter of the other version': (exercise, question, i) => [
    `${question.topic} ${sameBefore(exercise, question)?.answer ?? ''} ${i}`,
  ],
  'answers of the other version': (exercise, question, i) => {
    const before = sameBefore(exercise, question);
    const own = textsOf(question)[i];
    const right = before?.choices.find(({ letter }) => letter === before.answer)?.text;
    return [
      `${question.topic} right ${own === right}`,
      `${question.topic} offered ${before?.choices.some(({ text }) => text === own) ?? false}`,
      `${question.topic} ${right ?? ''} then ${own}`,
    ];
  },
};

interface Tally {
  seen: number;
  right: number;
}

/** Counts for each clue how often the choice was right. */
class Candidate {
  private readonly tallies = new Map<string, Tally>();

  constructor(private readonly clues: Clues) {}

  learn(exercise: Sheet): void {
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
  private score(exercise: Sheet, question: KeyQuestion, i: number): number {
    const chance = 1 / question.choices.length;
    return this.clues(exercise, question, i).reduce((sum, clue) => {
      const { seen, right } = this.tallies.get(clue) ?? { seen: 0, right: 0 };
      return sum + Math.log((right + 2 * chance) / (seen + 2) / chance);
    }, 0);
  }

  answer(exercise: Sheet, question: KeyQuestion): string {
    const scores = question.choices.map((_, i) => this.score(exercise, question, i));
    return question.choices[scores.indexOf(Math.max(...scores))].letter;
  }
}

/** The share of questions that a candidate has right beyond what guessing gives. */
export function gain(candidate: Candidate, exercises: readonly Sheet[]): number {
  const marks = exercises.flatMap((exercise) =>
    exercise.questions.map(
      (question) =>
        Number(candidate.answer(exercise, question) === question.answer) - 1 / question.choices.length,
    ),
  );
  return marks.reduce((sum, mark) => sum + mark, 0) / marks.length;
}

/** A candidate that has learnt from exercises with their keys. */
export function taught(clues: Clues, exercises: readonly Sheet[]): Candidate {
  const candidate = new Candidate(clues);
  for (const exercise of exercises) candidate.learn(exercise);
  return candidate;
}

const keyNumber = (text: string) => new Uint8Array(createHash('sha256').update(text).digest());

/** The question sheets and keys of a paper, from a key as a secret gives it. */
export function sheetsOf(level: Level, number: number): Sheet[] {
  const plan = parsePaperPlan({ level, exercises: EXERCISES, secret: 'not used: keys follow' });
  return setQuestions(plan, keysOf(keyNumber(`blind ${level} ${number}`), 'A', 'calls'));
}

/** The same of the second version of a paper, for one who has the first with its answers. */
export function secondSheetsOf(level: Level, number: number): Sheet[] {
  const [first, second] = ['A', 'B'].map((version) => {
    const plan = { level, exercises: EXERCISES, versions: 2, version, secret: 'not used: keys follow' };
    const key = keyNumber(`blind ${level} ${number} in versions`);
    return setQuestions(parsePaperPlan(plan), keysOf(key, version, 'calls'));
  });
  return second.map((exercise) => ({
    ...exercise,
    before: first.find(({ index }) => index === exercise.index),
  }));
}

/**
 * The written questions of a paper, for one who never reads what is asked: whoever learns which answer belongs to which
 * situation has learnt the rule.
 */
export function writtenOf(number: number): Sheet[] {
  const plan = parsePaperPlan({ exercises: 1, written: 6, secret: 'not used: keys follow' });
  const keys = keysOf(keyNumber(`blind written ${number}`), 'A', 'calls');
  const [exercise] = setQuestions(plan, keys);
  const questions = (setWritten(plan, keys)?.questions ?? []).map((each) => ({ ...each, text: each.topic }));
  return [{ ...exercise, situation: [], questions }];
}

/** What a candidate gets beyond chance on fresh papers, by the best of its ways, which it finds on half of the others. */
export function bestGain(
  strategies: readonly Clues[],
  learnt: readonly Sheet[],
  fresh: readonly Sheet[],
): number {
  const half = learnt.length / 2;
  const trials = strategies.map((clues) => ({
    clues,
    gain: gain(taught(clues, learnt.slice(0, half)), learnt.slice(half)),
  }));
  const best = trials.reduce((a, b) => (b.gain > a.gain ? b : a));
  return gain(taught(best.clues, learnt), fresh);
}
