/**
 * The audio of a call.
 */
import { encodeCall, frameCall, type Band, type Call, type Frame } from 'dotphase';

/** Samples per second of what is played. */
export const PLAYED_RATE = 48_000;

/** A call as it goes on the air. */
export function airSequence(call: Call, band: Band, sendings = 1): Frame {
  return frameCall(encodeCall(call), { band, repeat: sendings });
}
