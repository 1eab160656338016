/**
 * When the calls of an exercise are on the air.
 */
import { encodeCall, type Call } from '../calls/index.js';
import { frameCall, type Frame } from '../frames/index.js';
import type { Band } from '../symbols/index.js';
import type { Four } from './draw/alike.js';
import type { CallPlan } from './plan.js';

/** Silence before the first call, between calls and behind the last, seconds. */
const LEAD_SECONDS = 1;
const GAP_SECONDS = 1.5;
export const TAIL_SECONDS = 1.2;

/** A call as it goes on the air. */
export function airSequence(call: Call, band: Band): Frame {
  return frameCall(encodeCall(call), { band });
}

/** A call whose time is set. */
export type TimedCallPlan = CallPlan & { readonly startSeconds: number };

/** Sets the time of each call: behind the one before it, unless it has one. */
export function schedule(calls: readonly CallPlan[], band: Band): TimedCallPlan[] {
  let end = LEAD_SECONDS - GAP_SECONDS;
  return calls.map((plan) => {
    const startSeconds = plan.startSeconds ?? end + GAP_SECONDS;
    end = Math.max(end, startSeconds + airSequence(plan.call, band).duration);
    return { ...plan, startSeconds };
  });
}

/** The time that each call of a drawn exercise is given, seconds: none of them is longer (M.493 Table A1-4.3 to an area). */
const PLACE_SECONDS: Readonly<Record<Band, number>> = { 'mf-hf': 10, vhf: 0.7 };

/**
 * Sets the times of four versions so that they tell nothing: the calls of all begin at the same times, whichever they
 * are, and the recording is as long whichever version it is of.
 *
 * @param covered - a call under the last one of each version, its time counted from the beginning of that
 */
export function scheduleTogether(
  versions: Four<readonly CallPlan[]>,
  band: Band,
  covered: TimedCallPlan | undefined,
): { versions: Four<readonly TimedCallPlan[]>; seconds: number } {
  const place = PLACE_SECONDS[band];
  const startOf = (i: number) => LEAD_SECONDS + i * (place + GAP_SECONDS);
  const timed = (calls: readonly CallPlan[]): TimedCallPlan[] => [
    ...calls.map((plan, i) => ({ ...plan, startSeconds: startOf(i) })),
    ...(covered ? [{ ...covered, startSeconds: startOf(calls.length - 1) + covered.startSeconds }] : []),
  ];
  const [a, b, c, d] = versions;
  const last = startOf(Math.max(...versions.map(({ length }) => length)) - 1);
  return {
    versions: [timed(a), timed(b), timed(c), timed(d)],
    seconds: last + place + (covered?.startSeconds ?? 0) + TAIL_SECONDS,
  };
}
