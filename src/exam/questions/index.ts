/**
 * The questions of an exercise: what its calls carry, in an order and with choices drawn by the paper's seed.
 */
import { DotphaseError } from '../../errors.js';
import { createDraw, type Draw } from '../draw/draw.js';
import { unreadCharacters, type HeardCall } from '../verify.js';
import type { Ask, HeardContext, Topic } from './ask.js';
import { askFacts, fieldsOf } from './facts.js';
import { askFollow } from './follow.js';
import { askProcedure } from './procedure.js';

export type { Topic } from './ask.js';

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
  readonly topic: Topic;
  readonly text: string;
  readonly choices: readonly PaperChoice[];
}

/** A question with its answer. */
export interface KeyQuestion extends Question {
  /** Letter of the right choice. */
  readonly answer: string;
  /** Why it is right. */
  readonly because: string;
}

/** A call that can be read, at least in part. */
export interface AskedCall {
  readonly heard: HeardCall;
  readonly context: HeardContext;
}

const LETTERS = 'abcdefgh';
const WRONG_CHOICES = 3;
const UNREADABLE = 'It cannot be read in this recording';
/** Questions about each call where a recording has several. */
const QUESTIONS_OF_SEVERAL = 4;
/** Topics that are asked in any case. */
const ALWAYS: readonly Topic[] = ['kind', 'lost'];
/** Topics with an answer that could be unreadable. */
const READ: readonly Topic[] = [
  'kind',
  'from',
  'to',
  'casualty',
  'nature',
  'position',
  'time',
  'follow',
  'reason',
];

/** The calls of an exercise that can be read, in the order in which they begin. */
export function askedCalls(heard: readonly HeardCall[], frequencyHz: number, draw: Draw): AskedCall[] {
  return heard
    .filter(({ received }) => received !== undefined)
    .sort((a, b) => a.sent.phasingSeconds - b.sent.phasingSeconds)
    .map((call) => ({
      heard: call,
      context: {
        call: call.sent.plan.call,
        symbols: call.sent.symbols,
        unread: call.received ? unreadCharacters(call.received) : [],
        frequencyHz,
        draw,
      },
    }));
}

/** All that can be asked about a call; nothing that hangs on what was lost. */
function asksAbout(context: HeardContext): Ask[] {
  const lost = fieldsOf(context.symbols)
    .filter(({ characters }) => characters.some((each) => context.unread.includes(each)))
    .map(({ field }) => field);
  const isModeLost = lost.includes('followOn') || lost.includes('message');
  const isAddressLost = lost.includes('to');
  return [
    ...askFacts(context),
    ...(isModeLost ? [] : [askFollow(context)]),
    ...(isModeLost || isAddressLost ? [] : askProcedure(context)),
  ];
}

/** Some of the questions about a call, in their order: those that are always asked, those about what was lost, and others by lot. */
function choose(asks: readonly Ask[], count: number, draw: Draw): Ask[] {
  const isDue = ({ topic, right }: Ask) => ALWAYS.includes(topic) || right === undefined;
  const others = draw.shuffle(asks.filter((ask) => !isDue(ask)));
  const chosen = [...asks.filter(isDue), ...others].slice(0, Math.max(count, asks.filter(isDue).length));
  return asks.filter((ask) => chosen.includes(ask));
}

function askCount(calls: readonly AskedCall[], sent: number): Ask {
  const whole = calls.filter(({ context }) => context.unread.length === 0).length;
  const numbers = Array.from({ length: sent + 2 }, (_, i) => i).filter((i) => i !== whole);
  const near = numbers.sort((a, b) => Math.abs(a - whole) - Math.abs(b - whole));
  const damaged = calls.length - whole;
  const hidden = sent - calls.length;
  const reasons = [
    `${sent} calls were sent`,
    ...(damaged > 0
      ? [`${damaged} of them ${damaged === 1 ? 'lacks' : 'lack'} characters in both sendings`]
      : []),
    ...(hidden > 0 ? [`${hidden} ${hidden === 1 ? 'is' : 'are'} covered by stronger calls`] : []),
  ];
  return {
    topic: 'count',
    text: 'How many calls can be read whole in this recording?',
    right: String(whole),
    wrong: near.map(String),
    because: `${reasons.join('; ')}.`,
  };
}

/** Puts the choices of a question in order. */
function arrange(
  ask: Ask,
  draw: Draw,
  offersUnreadable: boolean,
  place: Pick<Question, 'id' | 'exercise' | 'call'>,
): KeyQuestion {
  const { topic, text, right, because } = ask;
  // As many choices where the answer is that it cannot be read, so that their number gives nothing away.
  const count = right === undefined ? WRONG_CHOICES + 1 : WRONG_CHOICES;
  const wrong = [...new Set(ask.wrong)].filter((other) => other !== right).slice(0, count);
  if (wrong.length < count) {
    throw new DotphaseError(`question ${place.id}`, wrong, `${count} wrong choices that differ`);
  }
  const mixed =
    topic === 'count'
      ? [...wrong, right ?? ''].sort((a, b) => Number(a) - Number(b))
      : draw.shuffle([...wrong, ...(right === undefined ? [] : [right])]);
  const isUnreadableOffered = right === undefined || (offersUnreadable && READ.includes(topic));
  const texts = [...mixed, ...(isUnreadableOffered ? [UNREADABLE] : [])];
  return {
    ...place,
    topic,
    text,
    choices: texts.map((choice, i) => ({ letter: LETTERS[i], text: choice })),
    answer: LETTERS[texts.indexOf(right ?? UNREADABLE)],
    because,
  };
}

/**
 * The questions of an exercise.
 *
 * @param seed - the paper's
 * @param exercise - the exercise's number, from 1
 * @param heard - the calls that were sent, and how they were received
 */
export function questionsFor(
  seed: number,
  exercise: number,
  heard: readonly HeardCall[],
  frequencyHz: number,
): KeyQuestion[] {
  const draw = createDraw(seed, `questions of exercise ${exercise}`);
  const calls = askedCalls(heard, frequencyHz, draw);
  const isSingle = heard.length === 1;
  const offersUnreadable = calls.some(({ context }) => context.unread.length > 0);
  const asked = [
    ...(isSingle ? [] : [{ ask: askCount(calls, heard.length), call: undefined }]),
    ...calls.flatMap(({ context }, i) => {
      const asks = asksAbout(context);
      const chosen = isSingle ? asks : choose(asks, QUESTIONS_OF_SEVERAL, draw);
      return chosen.map((ask) => ({ ask, call: isSingle ? undefined : i + 1 }));
    }),
  ];
  return asked.map(({ ask, call }, i) =>
    arrange(ask, draw, offersUnreadable, {
      id: `Q${exercise}.${i + 1}`,
      exercise,
      ...(call !== undefined && { call }),
    }),
  );
}
