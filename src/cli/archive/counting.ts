/**
 * Calls that a log gains, counted as `heard` counts them: the sendings of an attempt, on one frequency or several, are one
 * call, and so is what several recordings hold of it.
 */
import { ATTEMPT_MS, type CallLog, type LogEntry } from '../../records/index.js';

/** Whether an entry stands for its call: neither for a reading elsewhere nor for a sending on another frequency. */
export const isCounted = ({ id, sameAs, multiFrequencyAttempt = id }: LogEntry): boolean =>
  sameAs === undefined && multiFrequencyAttempt === id;

/**
 * Whether a call that was just logged is one more in the log.
 *
 * @param latest - the highest number of an entry before it was logged
 */
export function isOneMore(entry: LogEntry, latest: number, log: CallLog): boolean {
  const { id, time, timeSource, sameAs, multiFrequencyAttempt } = entry;
  // It is part of an attempt on several frequencies only if others of it stand there.
  if (id <= latest || sameAs !== undefined || multiFrequencyAttempt !== undefined) return false;
  if (timeSource === 'decoded') return true;
  const near = log.list({ since: Math.max(0, time - ATTEMPT_MS), until: time + ATTEMPT_MS });
  return !near.some((other) => other.sameAs === id);
}
