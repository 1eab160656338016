/**
 * Papers: exercises with their recordings, questions and answers.
 */
import { describeCall } from '../calls/index.js';
import { drawPicture } from '../pictures/index.js';
import { formatFrequency, maritimeBand } from '../frequencies/index.js';
import { describeStage } from './conditions.js';
import { parsePaperPlan, type CheckedPlan, type ExercisePlan, type PaperPlan } from './plan.js';
import { askedCalls, questionsFor, type KeyQuestion } from './questions/index.js';
import { lostText } from './questions/content.js';
import { makeRecording, type Recording } from './recording.js';
import { keyOfSecret, numberOfKey } from './secret.js';
import { setCalls, type SetCalls } from './setting.js';
import type { HeardCall } from './verify.js';

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

/** A paper. */
export interface Paper {
  readonly title: string;
  /** What its sheets show: made one way from the secret, twelve digits such as `4821 0937 5512`. */
  readonly number: string;
  /** What it was made from: whoever has it can make the answers. */
  readonly secret: string;
  /** Whether the question sheet prints the characters as received. */
  readonly characters: boolean;
  readonly exercises: readonly PaperExercise[];
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
  readonly set: SetCalls;
  readonly situation: readonly string[];
  readonly questions: readonly KeyQuestion[];
}

/**
 * Sets the calls of an exercise and its questions, without making audio.
 *
 * @param key - the paper's, from its secret
 * @param index - of the exercise in the plan, from 0
 */
export function setQuestions(plan: CheckedPlan, key: Uint8Array, index: number): SetQuestions {
  const set = setCalls(plan, key, index);
  return { set, situation: situationOf(set), questions: questionsFor(key, index + 1, set) };
}

function makeExercise(
  plan: CheckedPlan,
  key: Uint8Array,
  index: number,
): { exercise: PaperExercise; plan: ExercisePlan } {
  const { set, situation, questions } = setQuestions(plan, key, index);
  const recording = makeRecording(plan, key, index, set);
  const { exercise, wav, samples, heard } = recording;
  const { frequencyHz } = set;
  const number = index + 1;
  return {
    plan: exercise,
    exercise: {
      number,
      file: `${String(number).padStart(2, '0')}.wav`,
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
 * Makes a paper: each recording is received again and read as planned before it counts. The same plan gives the same
 * paper to the byte, where it has a secret; without one, a secret is drawn.
 *
 * @param plan - as given by the examiner
 * @param onExercise - told of each exercise when it is done
 * @throws DotphaseError that names the place in the plan that is wrong or cannot be had
 */
export function makePaper(plan: PaperPlan, onExercise?: (exercise: PaperExercise) => void): Paper {
  const checked = parsePaperPlan(plan);
  const { title, secret, characters } = checked;
  const key = keyOfSecret(secret);
  const made = checked.exercises.map((_, index) => {
    const result = makeExercise(checked, key, index);
    onExercise?.(result.exercise);
    return result;
  });
  return {
    title,
    number: numberOfKey(key),
    secret,
    characters,
    exercises: made.map(({ exercise }) => exercise),
    plan: parsePaperPlan({ ...checked, exercises: made.map((each) => each.plan) }),
  };
}
