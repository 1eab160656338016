/**
 * When the calls of an exercise are on the air.
 */
import { encodeCall, encodeExpansions, type Call } from '../calls/index.js';
import { frameCall, type AirSequence, type Band } from '../frames/index.js';
import type { CallPlan } from './plan.js';

/** Silence before the first call and between calls, seconds. */
const LEAD_SECONDS = 1;
const GAP_SECONDS = 1.5;

/** A call as it goes on the air. */
export function airSequence(call: Call, band: Band): AirSequence {
  return frameCall(encodeCall(call), { band, expansions: encodeExpansions(call) });
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
