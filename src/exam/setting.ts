/**
 * Exercises with nothing left to draw. What is asked and what its answer is depends on the calls alone, and they are
 * drawn once; the conditions are drawn anew until a receiver reads the calls as planned.
 */
import type { TableKind } from '../calls/index.js';
import type { ChannelStage } from '../channel/index.js';
import { maritimeBand } from '../frequencies/index.js';
import { radioOf } from '../procedures/index.js';
import { frequencyFor, makeCall, variantsOf } from './draw/calls.js';
import { createDraw, type Draw } from './draw/draw.js';
import { drawConditions, drawExercise, drawPath } from './draw/exercise.js';
import { drawContents } from './draw/contents.js';
import { versionsOf } from './draw/lineup.js';
import type { PaperKeys } from './keys.js';
import { LEVELS, type Level } from './levels.js';
import type { CallPlan, CheckedPlan, ExercisePlan } from './plan.js';
import { schedule, type TimedCallPlan } from './schedule.js';

/** An exercise whose calls are set: the question sheet and the answers follow from it. */
export interface SetCalls extends ExercisePlan {
  readonly level: Level;
  readonly frequencyHz: number;
  readonly calls: readonly TimedCallPlan[];
  readonly instead: readonly (readonly TimedCallPlan[])[];
}

/** An exercise with nothing left to draw. */
export interface SetExercise extends SetCalls {
  readonly conditions: readonly ChannelStage[];
  readonly seed: number;
}

const HIGHEST_SEED = 2 ** 31 - 1;
/** What is heard beside calls that a plan gives without conditions. */
const CLEAR: readonly ChannelStage[] = [{ kind: 'noise', snrDb: 30 }, { kind: 'passband' }];

/** The kind that opens an exercise: each of the level once before any comes again, distress first. */
function openingKind(shared: Uint8Array, number: number, level: Level): TableKind {
  const { kinds } = LEVELS[level];
  const others = createDraw(shared, `kinds of level ${level}`).shuffle(kinds.slice(1));
  return [kinds[0], ...others][number % kinds.length];
}

/** Calls of the kinds that a plan gives, each with contents of its own. */
function callsOfKinds(
  shape: Draw,
  draw: Draw,
  kinds: readonly TableKind[],
  level: Level,
  given: number | undefined,
): { calls: CallPlan[]; frequencyHz: number } {
  const band = (given === undefined ? undefined : maritimeBand(given)) ?? shape.pick(LEVELS[level].bands);
  const calls = kinds.map((kind) => ({
    call: makeCall(shape.pick(variantsOf(kind)), drawContents(draw, band)[0], band),
  }));
  return { calls, frequencyHz: given ?? frequencyFor(calls[0].call, band) };
}

/** The versions of calls that a plan gives: the calls themselves are sent, whatever else the questions offer. */
function versionsOfGiven(
  draw: Draw,
  calls: readonly CallPlan[],
  frequencyHz: number,
): { calls: TimedCallPlan[]; instead: TimedCallPlan[][] } {
  const timed = schedule(calls, radioOf(frequencyHz));
  const versions = timed.map((plan) => versionsOf(draw, plan, frequencyHz));
  const version = (i: 1 | 2 | 3) =>
    versions.map((four, n): TimedCallPlan => ({ ...four[i], startSeconds: timed[n].startSeconds }));
  return { calls: timed, instead: [version(1), version(2), version(3)] };
}

/**
 * Sets the calls of an exercise.
 *
 * @param number - the exercise's index in the plan
 * @param drawing - which drawing of its calls, from 1
 */
export function setCalls(plan: CheckedPlan, keys: PaperKeys, number: number, drawing = 1): SetCalls {
  const given = plan.exercises[number];
  const level = given.level ?? plan.level;
  const shared = { ...given, level };
  const name = `exercise ${number + 1}${drawing === 1 ? '' : `, drawing ${drawing}`}`;
  const shape = createDraw(keys.shared, `shape of exercise ${number + 1}`);
  const draw = createDraw(keys.calls, `calls of ${name}`);
  const { kinds = [openingKind(keys.shared, number, level)] } = given;
  if (given.calls && given.frequencyHz !== undefined) {
    const { frequencyHz } = given;
    if (given.instead) {
      const timed = (calls: readonly CallPlan[]) => schedule(calls, radioOf(frequencyHz));
      return { ...shared, frequencyHz, calls: timed(given.calls), instead: given.instead.map(timed) };
    }
    return { ...shared, frequencyHz, ...versionsOfGiven(draw, given.calls, frequencyHz) };
  }
  if (given.kinds && (kinds.length > 1 || LEVELS[level].scene === 'call')) {
    const { calls, frequencyHz } = callsOfKinds(shape, draw, kinds, level, given.frequencyHz);
    return { ...shared, frequencyHz, ...versionsOfGiven(draw, calls, frequencyHz) };
  }
  const { frequencyHz, versions, seconds } = drawExercise(shape, draw, level, kinds[0], given.frequencyHz);
  // Which version is sent comes from a stream of its own, of which nothing is printed.
  const [calls, ...instead] = createDraw(keys.calls, `what is sent in ${name}`).shuffle(versions);
  return { ...shared, frequencyHz, calls, instead, seconds };
}

/** Which drawing of its conditions an exercise is at, from 1: of what is heard beside its calls, and of each call. */
export interface Drawings {
  readonly beside: number;
  readonly calls: readonly number[];
}

/** Sets the conditions of an exercise. */
export function setConditions(
  plan: CheckedPlan,
  keys: PaperKeys,
  number: number,
  set: SetCalls,
  drawings: Drawings,
): SetExercise {
  const given = plan.exercises[number];
  const { level, frequencyHz } = set;
  const name = `exercise ${number + 1}`;
  // As much noise in every version, though not the same.
  const draw = createDraw(keys.shared, `conditions of ${name}, drawing ${drawings.beside}`);
  const noise = createDraw(keys.calls, `noise of ${name}, drawing ${drawings.beside}`);
  const seed = given.seed ?? noise.integer(0, HIGHEST_SEED);
  const conditions = given.conditions ?? (given.calls ? CLEAR : drawConditions(draw, level, frequencyHz));
  const calls = set.calls.map((call, i) => {
    if (given.seed !== undefined) return call;
    const own = createDraw(keys.calls, `call ${i + 1} of ${name}, drawing ${drawings.calls[i]}`);
    const fading = call.seed ?? own.integer(0, HIGHEST_SEED);
    const path = given.calls ? call.path : drawPath(own, level, frequencyHz);
    return { ...call, path, seed: fading };
  });
  return { ...set, kinds: undefined, calls, conditions, seed };
}
