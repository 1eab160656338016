/**
 * Papers: exercises with their recordings, questions and answers.
 */
import { describeCall } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { drawPicture } from '../pictures/index.js';
import { formatFrequency, maritimeBand } from '../frequencies/index.js';
import { describeStage } from './conditions.js';
import { createDraw } from './draw/draw.js';
import { VERSION_LETTERS, keysOf, keysOfSecret, type PaperKeys } from './keys.js';
import { parsePaperPlan, type CheckedPlan, type ExercisePlan, type PaperPlan } from './plan.js';
import {
  askedCalls,
  questionsFor,
  wantedOf,
  writtenQuestions,
  type KeyQuestion,
  type Topic,
  type Wanted,
} from './questions/index.js';
import { lostText } from './questions/content.js';
import { makeRecording, type Recording } from './recording.js';
import { numberOfKey } from './secret.js';
import { setCalls, type SetCalls } from './setting.js';
import type { HeardCall } from './verify.js';
import { drawWritten } from './written/index.js';

/** A call of an exercise, for the answer sheet. */
export interface KeyCall {
  /** Its number among the calls that can be read, as the questions have it; absent for one that cannot. */
  readonly number?: number;
  /** When its first dot begins, seconds. */
  readonly startSeconds: number;
  /** What was sent, in a sentence. */
  readonly text: string;
  /** Its characters as sent, from one format specifier through the error check. */
  readonly symbols: readonly number[];
  /** How a receiver reads it. */
  readonly reading: 'whole' | 'damaged' | 'covered';
  /** The fields that cannot be read, where some cannot. */
  readonly lost?: string;
  /** Its characters as received: each information character in its first and its second sending, null where it fails its check. */
  readonly received?: readonly (readonly [dx: number | null, rx: number | null])[];
}

/** An exercise of a paper. */
export interface PaperExercise {
  /** From 1. */
  readonly number: number;
  /** Name of its WAV file. */
  readonly file: string;
  readonly wav: Uint8Array;
  readonly seconds: number;
  /** The DSC frequency it was heard on, hertz. */
  readonly frequencyHz: number;
  /** Where it was heard, for people: `2187.5 kHz (MF)`. */
  readonly heardOn: string;
  /** Sentences for the candidate about the situation. */
  readonly situation: readonly string[];
  readonly calls: readonly KeyCall[];
  readonly questions: readonly KeyQuestion[];
  /** A spectrogram, SVG, where the plan wants one. */
  readonly picture?: string;
  /** What lay between the senders and the receiver, in words. */
  readonly conditions: readonly string[];
}

/** The written questions of a paper: those without a recording. */
export interface WrittenPart {
  /** Behind the exercises, as if they were one more. */
  readonly number: number;
  readonly questions: readonly KeyQuestion[];
}

/** A paper. */
export interface Paper {
  readonly title: string;
  /** Its letter, where there are several versions. */
  readonly version?: string;
  /** What its sheets show: made one way from the secret, twelve digits such as `4821 0937 5512`. */
  readonly number: string;
  /** What it was made from: whoever has it can make the answers. */
  readonly secret: string;
  /** Of its recordings, samples per second. */
  readonly sampleRate: number;
  /** Whether the question sheet prints the characters as received. */
  readonly characters: boolean;
  /** Whether answers are typed where they can be. */
  readonly typed: boolean;
  readonly exercises: readonly PaperExercise[];
  readonly written?: WrittenPart;
  /** A plan in which nothing is left to draw: it gives this very paper again. */
  readonly plan: PaperPlan;
}

const MF_BANDS = ['0.5 MHz', '2 MHz'];

function heardOn(frequencyHz: number): string {
  const band = maritimeBand(frequencyHz);
  if (band === 'VHF') return `VHF channel 70 (${formatFrequency(frequencyHz)})`;
  return `${formatFrequency(frequencyHz)} (${band !== undefined && MF_BANDS.includes(band) ? 'MF' : 'HF'})`;
}

/** What the candidate has to know beforehand. */
function situationOf({ calls, frequencyHz, situation }: SetCalls): string[] {
  const isOne = calls.length === 1;
  return [
    `${isOne ? 'One call was' : 'Several calls were'} heard on ${heardOn(frequencyHz)}${isOne ? '' : '; the pauses between them are not those of the air'}.`,
    ...(situation === undefined ? [] : [situation]),
  ];
}

function keyCalls(heard: readonly HeardCall[], frequencyHz: number): KeyCall[] {
  const asked = askedCalls(
    heard.map(({ sent }) => sent.plan),
    frequencyHz,
  );
  return [...heard]
    .sort((a, b) => a.sent.plan.startSeconds - b.sent.plan.startSeconds)
    .map(({ sent, received }): KeyCall => {
      const number = asked.findIndex(({ plan }) => plan === sent.plan) + 1;
      const lost = number === 0 ? undefined : lostText(asked[number - 1].context);
      return {
        ...(number > 0 && { number }),
        startSeconds: sent.plan.startSeconds,
        text: describeCall(sent.plan.call),
        symbols: sent.symbols,
        reading: !received ? 'covered' : sent.lost.length > 0 ? 'damaged' : 'whole',
        ...(lost !== undefined && { lost }),
        ...(received && {
          received: received.characters.map(({ dx, rx }) => [dx ?? null, rx ?? null] as const),
        }),
      };
    });
}

function conditionsText({ exercise }: Recording): string[] {
  const paths = exercise.calls.map(({ path = [], levelDb = 0 }, i) => {
    const words = [...path.map(describeStage), ...(levelDb === 0 ? [] : [`${levelDb} dB`.replace('-', '−')])];
    return words.length === 0 ? [] : [`${i + 1}. call sent: ${words.join(', ')}`];
  });
  return [...paths.flat(), `heard by all: ${exercise.conditions.map(describeStage).join(', ')}`];
}

/** An exercise as its sheets have it, before there is a recording: questions and answers follow from its calls alone. */
export interface SetQuestions {
  /** Its index in the plan, from 0. */
  readonly index: number;
  readonly set: SetCalls;
  readonly situation: readonly string[];
  readonly questions: readonly KeyQuestion[];
}

/** Drawings of the calls of an exercise that are tried until they can be asked about as wanted. */
const MOST_DRAWINGS = 48;

/** Calls that can be asked about as wanted, or the drawing that comes nearest to it. */
function drawCalls(
  plan: CheckedPlan,
  keys: PaperKeys,
  index: number,
  wanted: readonly Wanted[] | undefined,
): { set: SetCalls; found: Wanted[] } {
  const find = (drawing: number) => {
    const set = setCalls(plan, keys, index, drawing);
    return { set, found: wantedOf(keys.calls, index + 1, set, wanted) };
  };
  let best = find(1);
  const isGiven = plan.exercises[index].calls !== undefined;
  for (let drawing = 2; wanted && !isGiven && drawing <= MOST_DRAWINGS; drawing++) {
    if (best.found.length >= wanted.length) break;
    const next = find(drawing);
    if (next.found.length > best.found.length) best = next;
  }
  return best;
}

const sameQuestion = (a: Wanted) => (b: Wanted) => a.topic === b.topic && a.call === b.call;

/** The calls of an exercise in a version, and what is asked about them: the same in every version of the paper. */
function setExercise(
  plan: CheckedPlan,
  keys: PaperKeys,
  index: number,
): { set: SetCalls; wanted: readonly Wanted[] | undefined } {
  const { ask } = plan.exercises[index];
  const { versions, vary } = plan;
  if (ask) {
    const { set, found } = drawCalls(plan, keys, index, ask);
    const missing = ask.filter((each) => !found.some(({ topic }) => topic === each.topic));
    if (missing.length === 0) return { set, wanted: ask };
    throw new DotphaseError(
      `exercises[${index}].ask`,
      missing.map(({ topic }) => topic).join(', '),
      'what calls of this exercise can be asked about together',
    );
  }
  if (versions === 1) return { set: setCalls(plan, keys, index), wanted: undefined };
  if (vary === 'letters') {
    const { set, found } = drawCalls(plan, keys, index, undefined);
    return { set, wanted: found };
  }
  const letters = Array.from(VERSION_LETTERS.slice(0, versions));
  const first = drawCalls(plan, keysOf(keys.shared, letters[0], vary), index, undefined);
  const all = letters.map((letter) => drawCalls(plan, keysOf(keys.shared, letter, vary), index, first.found));
  const wanted = first.found.filter((each) => all.every(({ found }) => found.some(sameQuestion(each))));
  return { set: all[letters.indexOf(plan.version)].set, wanted };
}

/**
 * Sets the calls of the exercises of a version and their questions, in the order in which it has them, without making
 * audio.
 */
export function setQuestions(plan: CheckedPlan, keys: PaperKeys): SetQuestions[] {
  const indices = plan.exercises.map((_, index) => index);
  const isFirst = plan.version === VERSION_LETTERS[0];
  const order =
    plan.versions === 1 || plan.vary === 'letters' || isFirst
      ? indices
      : createDraw(keys.own, 'order of the exercises').shuffle(indices);
  const typed = plan.typed ? plan.tolerance : undefined;
  return order.map((index, place) => {
    const { set, wanted } = setExercise(plan, keys, index);
    const questions = questionsFor(keys.own, place + 1, set, { wanted, typed });
    return { index, set, situation: situationOf(set), questions };
  });
}

/** The written questions of a paper, behind its exercises; undefined where it has none. */
export function setWritten(plan: CheckedPlan, keys: PaperKeys): WrittenPart | undefined {
  if (plan.written.length === 0) return undefined;
  const number = plan.exercises.length + 1;
  const asked = new Set<string>();
  const asks = plan.written.flatMap(({ questions, about }, i) =>
    drawWritten(
      createDraw(keys.shared, `written subjects, list ${i + 1}`),
      createDraw(keys.calls, `written questions, list ${i + 1}`),
      about,
      questions,
      asked,
    ),
  );
  const letters = createDraw(keys.own, 'letters of written questions');
  const typed = plan.typed ? plan.tolerance : undefined;
  return { number, questions: writtenQuestions(letters, number, asks, typed) };
}

/** Every question of a paper in its order. */
export function questionsOf({ exercises, written }: Pick<Paper, 'exercises' | 'written'>): KeyQuestion[] {
  return [...exercises.flatMap(({ questions }) => questions), ...(written?.questions ?? [])];
}

/** How a paper names the file of an exercise. */
const fileOf = (number: number) => `${String(number).padStart(2, '0')}.wav`;

function makeExercise(
  plan: CheckedPlan,
  keys: PaperKeys,
  number: number,
  { index, set, situation, questions }: SetQuestions,
): { exercise: PaperExercise; plan: ExercisePlan } {
  const recording = makeRecording(plan, keys, index, set);
  const { exercise, wav, samples, heard } = recording;
  const { frequencyHz } = set;
  return {
    plan: {
      ...exercise,
      ask: questions.map(({ topic, call }) => ({
        topic: topic as Topic,
        ...(call !== undefined && { call }),
      })),
    },
    exercise: {
      number,
      file: fileOf(number),
      wav,
      seconds: samples.length / plan.sampleRate,
      frequencyHz,
      heardOn: heardOn(frequencyHz),
      situation,
      calls: keyCalls(heard, frequencyHz),
      questions,
      conditions: conditionsText(recording),
      // Without the structure of the calls: how many were read is for the candidate to find.
      ...(plan.pictures && {
        picture: drawPicture(samples, { sampleRate: plan.sampleRate, calls: [], show: 'overview' }),
      }),
    },
  };
}

/**
 * Makes a paper, of several versions the one that the plan names: each recording is received again and read as planned
 * before it counts. The same plan gives the same paper to the byte on the same JavaScript engine, where it has a secret;
 * without one, a secret is drawn. Engines may differ in the last bit of sines and logarithms, so that the samples of
 * recordings, and which drawing of the noise is taken, can differ between them; questions and answers cannot.
 *
 * @param plan - as given by the examiner
 * @param onExercise - told of each exercise when it is done
 * @throws DotphaseError that names the place in the plan that is wrong or cannot be had
 */
export function makePaper(plan: PaperPlan, onExercise?: (exercise: PaperExercise) => void): Paper {
  const checked = parsePaperPlan(plan);
  const { title, secret, characters, sampleRate, version, versions, vary, typed } = checked;
  const keys = keysOfSecret(secret, version, vary);
  const written = setWritten(checked, keys);
  const made = setQuestions(checked, keys).map((set, i) => {
    const result = makeExercise(checked, keys, i + 1, set);
    onExercise?.(result.exercise);
    return result;
  });
  return {
    title,
    number: numberOfKey(keys.own),
    ...((versions > 1 || version !== VERSION_LETTERS[0]) && { version }),
    secret,
    sampleRate,
    characters,
    typed,
    exercises: made.map(({ exercise }) => exercise),
    ...(written && { written }),
    plan: parsePaperPlan({ ...checked, versions: 1, exercises: made.map((each) => each.plan) }),
  };
}

/**
 * Makes every version of a paper, the first of them as {@link makePaper} makes it: as many questions about the same,
 * with other calls, in another order and with other letters.
 *
 * @param plan - with `versions`
 * @param onExercise - told of each exercise when it is done, and of the letter of its version
 * @throws DotphaseError as {@link makePaper} does
 */
export function makeVersions(
  plan: PaperPlan,
  onExercise?: (exercise: PaperExercise, version: string) => void,
): Paper[] {
  const { secret, versions } = parsePaperPlan(plan);
  return Array.from(VERSION_LETTERS.slice(0, versions), (version) =>
    makePaper({ ...plan, secret, version }, (exercise) => onExercise?.(exercise, version)),
  );
}
