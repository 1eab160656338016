/**
 * The questions of an exercise. It has four versions, one of which is sent: each question offers what the four of them
 * answer, so that the sheet says nothing about which of them it is.
 */
import { encodeCall } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { fieldsOf, lostCharacters } from '../damage.js';
import { createDraw, type Draw } from '../draw/draw.js';
import type { TimedCallPlan } from '../schedule.js';
import type { WrittenAsk, WrittenSubject } from '../written/index.js';
import { typedText, withTolerance, type Tolerances, type TypedAnswer } from '../typed.js';
import { answersOf, choicesOf, topicsOf } from './answers.js';
import { QUESTION_TEXT, UNREADABLE, type Answer, type HeardContext } from './ask.js';
import type { Topic, Wanted } from './topics.js';

export { TOPICS, type Topic, type Wanted } from './topics.js';

/** One of the answers to choose from. */
export interface PaperChoice {
  /** `a`, `b` and so on. */
  readonly letter: string;
  readonly text: string;
}

/** A question of a paper. */
export interface Question {
  /** Such as `Q3.2`: exercise 3, question 2. */
  readonly id: string;
  /** The exercise's number, from 1. */
  readonly exercise: number;
  /** Number of the call that it is about among those that can be read, from 1; absent where it is about all. */
  readonly call?: number;
  readonly topic: Topic | WrittenSubject;
  readonly text: string;
  /** None where the answer is to be typed. */
  readonly choices: readonly PaperChoice[];
}

/** A question with its answer. */
export interface KeyQuestion extends Question {
  /** Letter of the right choice; what is to be typed where there are none. */
  readonly answer: string;
  /** What is right where the answer is to be typed. */
  readonly typed?: TypedAnswer;
  /** Why it is right. */
  readonly because: string;
}

const LETTERS = 'abcdefgh';
/** Questions about each call where a recording has several. */
const QUESTIONS_OF_SEVERAL = 4;
/** Topics that are asked in any case. */
const ALWAYS: readonly Topic[] = ['kind', 'lost'];

/** A call of an exercise that can be read, at least in part. */
export interface AskedCall {
  readonly plan: TimedCallPlan;
  readonly context: HeardContext;
}

/** The calls of an exercise that can be read, in the order in which they begin. */
export function askedCalls(calls: readonly TimedCallPlan[], frequencyHz: number): AskedCall[] {
  return calls
    .filter(({ readable = true }) => readable)
    .sort((a, b) => a.startSeconds - b.startSeconds)
    .map((plan) => {
      const { call } = plan;
      const symbols = encodeCall(call).symbols;
      const context = { call, symbols, fields: fieldsOf(symbols), unread: lostCharacters(plan), frequencyHz };
      return { plan, context };
    });
}

function countAnswer(calls: readonly TimedCallPlan[]): Answer {
  const readable = calls.filter((call) => call.readable ?? true);
  const damaged = readable.filter((call) => (call.damaged ?? []).length > 0).length;
  const hidden = calls.length - readable.length;
  const reasons = [
    `${calls.length} calls were sent`,
    ...(damaged > 0
      ? [`${damaged} of them ${damaged === 1 ? 'lacks' : 'lack'} characters in both sendings`]
      : []),
    ...(hidden > 0 ? [`${hidden} ${hidden === 1 ? 'is' : 'are'} covered by stronger calls`] : []),
  ];
  return {
    text: String(readable.length - damaged),
    because: `${reasons.join('; ')} (a call reads whole where each character reads in one of its two sendings, or all but one and the error check: ITU-R M.493 Annex 1 §1.4 and §10, from memory).`,
  };
}

/** Some of the topics in their order: those that are always asked, and others by lot. */
function choose(topics: readonly Topic[], count: number, draw: Draw): Topic[] {
  const others = draw.shuffle(topics.filter((topic) => !ALWAYS.includes(topic)));
  const due = topics.filter((topic) => ALWAYS.includes(topic));
  const chosen = [...due, ...others].slice(0, Math.max(count, due.length));
  return topics.filter((topic) => chosen.includes(topic));
}

/** A question before it has its number; the answer of the version that is sent stands first. */
interface Ask {
  readonly topic: Topic;
  readonly call: number | undefined;
  readonly answers: readonly Answer[];
}

/** The choices in the order in which they are printed: numbers by size, what cannot be read last. */
function arrange({ topic, answers }: Ask, draw: Draw): string[] {
  const texts = answers.map(({ text }) => text);
  if (topic === 'count') return texts.sort((a, b) => Number(a) - Number(b));
  const mixed = draw.shuffle(texts);
  return [...mixed.filter((text) => text !== UNREADABLE), ...mixed.filter((text) => text === UNREADABLE)];
}

/** What the questions are made of: the calls that are sent, and what might have been sent instead. */
export interface Versions {
  readonly frequencyHz: number;
  readonly calls: readonly TimedCallPlan[];
  readonly instead: readonly (readonly TimedCallPlan[])[];
}

/** Whether a question is among those that are wanted. */
const isWanted = (wanted: readonly Wanted[], { topic, call }: Pick<Ask, 'topic' | 'call'>) =>
  wanted.some((each) => each.topic === topic && (each.call === undefined || each.call === (call ?? 1)));

/**
 * What can be asked of an exercise.
 *
 * @param wanted - only these; where they are left out, some by lot where a recording has several calls
 */
function asksOf(
  { frequencyHz, calls, instead }: Versions,
  draw: Draw,
  wanted: readonly Wanted[] | undefined,
): Ask[] {
  const versions = [calls, ...instead];
  const asked = versions.map((version) => askedCalls(version, frequencyHz));
  const isSingle = versions.every((version) => version.length === 1);
  const common = Math.min(...asked.map((version) => version.length));
  const counts = versions.map(countAnswer);
  const isCounted = new Set(counts.map(({ text }) => text)).size === counts.length;
  const asks: Ask[] = [
    ...(isCounted ? [{ topic: 'count' as const, call: undefined, answers: counts }] : []),
    ...Array.from({ length: common }, (_, i) => {
      const answers = asked.map((version) => answersOf(version[i].context));
      const topics = topicsOf(answers);
      const chosen = isSingle || wanted ? topics : choose(topics, QUESTIONS_OF_SEVERAL, draw);
      return chosen.map((topic) => ({
        topic,
        call: isSingle ? undefined : i + 1,
        answers: choicesOf(answers, topic) ?? [],
      }));
    }).flat(),
  ];
  return wanted ? asks.filter((ask) => isWanted(wanted, ask)) : asks;
}

/** How questions are put. */
interface Putting {
  /** What is asked; default everything that can be, and some by lot where a recording has several calls. */
  readonly wanted?: readonly Wanted[] | undefined;
  /** How far off answers may be that are typed; undefined where all are to be chosen. */
  readonly typed?: Tolerances | undefined;
}

/** The answer of a question, with its choices in the order in which they are printed. */
function withChoices(texts: readonly string[], right: string): Pick<KeyQuestion, 'choices' | 'answer'> {
  return {
    choices: texts.map((text, n) => ({ letter: LETTERS[n], text })),
    answer: LETTERS[texts.indexOf(right)],
  };
}

/** The answer of a question to be typed. */
function typing(
  answer: TypedAnswer,
  tolerances: Tolerances,
): Pick<KeyQuestion, 'choices' | 'answer' | 'typed'> {
  const typed = withTolerance(answer, tolerances);
  return { choices: [], answer: typedText(typed), typed };
}

/** What can be asked of an exercise. */
export function wantedOf(
  key: Uint8Array,
  exercise: number,
  versions: Versions,
  given?: readonly Wanted[],
): Wanted[] {
  return asksOf(versions, createDraw(key, `questions of exercise ${exercise}`), given).map(
    ({ topic, call }) => ({ topic, ...(call !== undefined && { call }) }),
  );
}

/**
 * The questions of an exercise.
 *
 * @param key - the paper's
 * @param exercise - the exercise's number, from 1
 * @throws DotphaseError where the versions differ in nothing that can be asked
 */
export function questionsFor(
  key: Uint8Array,
  exercise: number,
  versions: Versions,
  { wanted, typed }: Putting = {},
): KeyQuestion[] {
  const asks = asksOf(versions, createDraw(key, `questions of exercise ${exercise}`), wanted);
  // Of a stream of its own, so that the same questions get the same letters whether they are wanted or came by lot.
  const letters = createDraw(key, `letters of exercise ${exercise}`);
  if (asks.length === 0) {
    throw new DotphaseError(
      `exercises[${exercise - 1}].calls`,
      versions.calls[0].call.kind,
      'a call that can be asked about',
    );
  }
  return asks.map((ask, i) => {
    const texts = arrange(ask, letters);
    const [right] = ask.answers;
    // Nothing is told by what is to be typed: whichever version is sent, its answer can be.
    const isTyped = typed !== undefined && ask.answers.every((answer) => answer.typed !== undefined);
    return {
      id: `Q${exercise}.${i + 1}`,
      exercise,
      ...(ask.call !== undefined && { call: ask.call }),
      topic: ask.topic,
      text: QUESTION_TEXT[ask.topic],
      ...(isTyped && right.typed ? typing(right.typed, typed) : withChoices(texts, right.text)),
      because: right.because,
    };
  });
}

/** The written questions of a paper. */
export function writtenQuestions(
  draw: Draw,
  exercise: number,
  asks: readonly WrittenAsk[],
  typed: Tolerances | undefined,
): KeyQuestion[] {
  return asks.map(({ subject, text, line, answers }, i) => ({
    id: `Q${exercise}.${i + 1}`,
    exercise,
    topic: subject,
    text,
    ...(typed && line.typed ? typing(line.typed, typed) : withChoices(draw.shuffle(answers), line.answer)),
    because: line.because,
  }));
}
