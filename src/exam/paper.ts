/**
 * Papers: exercises with their recordings, questions and answers.
 */
import { describeCall, type Call } from '../calls/index.js';
import { drawPicture } from '../pictures/index.js';
import { formatFrequency, maritimeBand } from '../frequencies/index.js';
import { describeStage } from './conditions.js';
import { calledStation } from './draw/calls.js';
import { createDraw } from './draw/draw.js';
import { parsePaperPlan, type CheckedPlan, type ExercisePlan, type PaperPlan } from './plan.js';
import { askedCalls, questionsFor, type KeyQuestion } from './questions/index.js';
import { lostText } from './questions/facts.js';
import { makeRecording, type Recording } from './recording.js';
import { OWN_SHIP } from './scenario.js';
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
  /** A spectrogram with the structure of its calls, SVG, where the plan wants one. */
  readonly picture?: string;
  /** What lay between the senders and the receiver, in words. */
  readonly conditions: readonly string[];
}

/** A paper. */
export interface Paper {
  readonly title: string;
  readonly seed: number;
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

/** Whether a call acknowledges one that the candidate's ship must have sent. */
function isAnswerToOwn(call: Call): boolean {
  const isAnswer =
    /(Acknowledgement|Report|Reply)$/.test(call.kind) && call.kind !== 'distressAcknowledgement';
  return isAnswer && calledStation(call) === OWN_SHIP.identity;
}

/** What the candidate has to know beforehand. */
function situationOf({ exercise, heard }: Recording): string[] {
  const own = heard
    .filter(({ sent, received }) => received !== undefined && isAnswerToOwn(sent.plan.call))
    .map(({ sent }) => sent.plan.call);
  const count = heard.length === 1 ? 'One call was' : 'Several calls were';
  return [
    `${count} heard on ${heardOn(exercise.frequencyHz)}${heard.length > 1 ? '; the pauses between them are shortened' : ''}.`,
    ...(own.length > 0 ? ['A minute before, you had called the station that acknowledges your call.'] : []),
    ...(exercise.situation === undefined ? [] : [exercise.situation]),
  ];
}

function keyCalls(heard: readonly HeardCall[], frequencyHz: number): KeyCall[] {
  const asked = askedCalls(heard, frequencyHz, createDraw(0, 'none'));
  return [...heard]
    .sort((a, b) => a.sent.plan.startSeconds - b.sent.plan.startSeconds)
    .map((call): KeyCall => {
      const { sent, received } = call;
      const number = asked.findIndex((candidate) => candidate.heard === call) + 1;
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

/**
 * Makes one exercise: its recording is received again and read as planned before it counts.
 *
 * @param plan - from {@link parsePaperPlan}
 * @param index - of the exercise in the plan, from 0
 * @returns the exercise, and its plan with nothing left to draw
 * @throws DotphaseError that names the exercise, when no drawing of what was left open reads as planned
 */
export function makeExercise(
  plan: CheckedPlan,
  index: number,
): { exercise: PaperExercise; set: ExercisePlan } {
  const recording = makeRecording(plan, index);
  const { exercise: set, wav, samples, heard } = recording;
  const { frequencyHz } = set;
  const number = index + 1;
  const file = `${String(number).padStart(2, '0')}.wav`;
  const calls = heard.flatMap(({ received }) => received ?? []).sort((a, b) => a.start - b.start);
  return {
    set,
    exercise: {
      number,
      file,
      wav,
      seconds: samples.length / plan.sampleRate,
      frequencyHz,
      heardOn: heardOn(frequencyHz),
      situation: situationOf(recording),
      calls: keyCalls(heard, frequencyHz),
      questions: questionsFor(plan.seed, number, heard, frequencyHz),
      conditions: conditionsText(recording),
      ...(plan.pictures && {
        picture: drawPicture(samples, { sampleRate: plan.sampleRate, calls, show: 'overview' }),
      }),
    },
  };
}

/**
 * Makes a paper. The same plan gives the same paper to the byte.
 *
 * @param plan - as given by the examiner
 * @param onExercise - told of each exercise when it is done
 * @throws DotphaseError that names the place in the plan that is wrong or cannot be had
 */
export function makePaper(plan: PaperPlan, onExercise?: (exercise: PaperExercise) => void): Paper {
  const checked = parsePaperPlan(plan);
  const { title, seed, characters } = checked;
  const made = checked.exercises.map((_, index) => {
    const result = makeExercise(checked, index);
    onExercise?.(result.exercise);
    return result;
  });
  return {
    title,
    seed,
    characters,
    exercises: made.map(({ exercise }) => exercise),
    plan: parsePaperPlan({ ...checked, exercises: made.map(({ set }) => set) }),
  };
}
