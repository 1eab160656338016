/**
 * Recordings of exercises: composed, written as WAV, read back and received, until they read as planned.
 */
import type { TableKind } from '../calls/index.js';
import type { ChannelStage } from '../channel/index.js';
import { DotphaseError } from '../errors.js';
import { receiveCalls } from '../receiver/index.js';
import { radioOf } from '../procedures/index.js';
import { readWav, writeWav } from '../wav/index.js';
import { compose } from './compose.js';
import { createDraw } from './draw/draw.js';
import { drawExercise } from './draw/exercise.js';
import { LEVELS, type Level } from './levels.js';
import type { CheckedPlan, ExercisePlan } from './plan.js';
import { schedule, type TimedCallPlan } from './schedule.js';
import { verify, type HeardCall } from './verify.js';

/** An exercise with nothing left to draw. */
export interface SetExercise extends ExercisePlan {
  readonly level: Level;
  readonly frequencyHz: number;
  readonly calls: readonly TimedCallPlan[];
  readonly conditions: readonly ChannelStage[];
  readonly seed: number;
}

/** An exercise that reads as planned. */
export interface Recording {
  readonly exercise: SetExercise;
  /** The WAV file. */
  readonly wav: Uint8Array;
  /** Its samples, as a receiver of the file has them. */
  readonly samples: Float32Array;
  readonly heard: readonly HeardCall[];
}

/** Drawings that are tried before an exercise is given up. */
const MOST_DRAWINGS = 24;
const HIGHEST_SEED = 2 ** 31 - 1;
/** What is heard beside calls that a plan gives without conditions. */
const CLEAR: readonly ChannelStage[] = [{ kind: 'noise', snrDb: 30 }, { kind: 'passband' }];

/** The kinds that the exercises of a level open with: each once before any comes again, distress first. */
function openingKind(plan: CheckedPlan, number: number, level: Level): TableKind[] {
  const { kinds } = LEVELS[level];
  const others = createDraw(plan.seed, `kinds of level ${level}`).shuffle(kinds.slice(1));
  return [[kinds[0], ...others][number % kinds.length]];
}

function setExercise(plan: CheckedPlan, number: number, drawing: number): SetExercise {
  const given = plan.exercises[number];
  const level = given.level ?? plan.level;
  const draw = createDraw(plan.seed, `exercise ${number + 1}, drawing ${drawing}`);
  const drawn = draw.integer(0, HIGHEST_SEED);
  const { calls, frequencyHz, conditions } =
    given.calls && given.frequencyHz !== undefined
      ? { calls: given.calls, frequencyHz: given.frequencyHz, conditions: CLEAR }
      : drawExercise(draw, level, given.kinds ?? openingKind(plan, number, level), given.frequencyHz);
  return {
    ...(given.situation !== undefined && { situation: given.situation }),
    level,
    frequencyHz,
    calls: schedule(calls, radioOf(frequencyHz)),
    conditions: given.conditions ?? conditions,
    seed: given.seed ?? drawn,
  };
}

/**
 * Makes the recording of an exercise, drawing again what the plan left open until a receiver reads it as planned.
 *
 * @param number - the exercise's index in the plan
 * @throws DotphaseError that names the exercise when no drawing does
 */
export function makeRecording(plan: CheckedPlan, number: number): Recording {
  const place = `exercises[${number}]`;
  const { sampleRate } = plan;
  const drawings = plan.exercises[number].seed === undefined ? MOST_DRAWINGS : 1;
  let last = '';
  for (let drawing = 1; drawing <= drawings; drawing++) {
    const exercise = setExercise(plan, number, drawing);
    const { calls, conditions, seed, frequencyHz } = exercise;
    const scene = { band: radioOf(frequencyHz), sampleRate, seed, calls, conditions };
    const { samples: composed, sent } = compose(scene, place);
    const wav = writeWav({ sampleRate, channels: [composed] });
    const [samples] = readWav(wav).channels;
    const { heard, problem } = verify(sent, receiveCalls(samples, { sampleRate }));
    if (problem === undefined) return { exercise, wav, samples, heard };
    last = problem;
  }
  throw new DotphaseError(
    place,
    `${drawings} ${drawings === 1 ? 'drawing' : 'drawings'}`,
    `conditions under which a receiver reads what the plan says; the last time, ${last}`,
  );
}
