/**
 * Distress calls that are sent once on each of several frequencies: a multi-frequency attempt (M541-8 Annex 1 §3.1.3.2).
 * Only what was received for sure is taken together. What is sent on VHF at the same time differs: another telephony follows.
 */
import { DISTRESS_FREQUENCIES, VHF_DSC_HZ } from '../../frequencies/index.js';
import type { LogEntry } from './entry.js';
import type { CallLog } from './log.js';
import { isSameCall, isTimed, sendingsOf, type SendingFields } from './sendings.js';

/**
 * From the beginning of its first call to that of its last a multi-frequency attempt takes no longer, milliseconds: it is
 * done within a minute (M541-8 Annex 1 §3.1.3.2); half a minute more is for sets that tune slowly and for clocks (common
 * practice, no source). The next attempt begins 3.5 minutes after it at the earliest (§3.1.3.1).
 */
export const MULTI_FREQUENCY_MS = 90_000;

/** What of a call tells whether it is part of such an attempt. */
export type MultiFrequencyFields = SendingFields & Pick<LogEntry, 'kind' | 'direction'>;

const KINDS = new Set([
  'distressAlert',
  'distressAcknowledgement',
  'ownAlertCancellation',
  'distressRelay',
  'relayAcknowledgement',
]);

/** The six frequencies of MF and HF (Radio Regulations Appendix 15). */
const FREQUENCIES = new Set(DISTRESS_FREQUENCIES.map(({ dscHz }) => dscHz).filter((hz) => hz !== VHF_DSC_HZ));

/** When a call began, milliseconds: since 1970 UTC, or without a time in its recording. */
function momentOf(call: SendingFields): { readonly scale: string; readonly at: number } | undefined {
  const { time, recording, offset } = call;
  if (isTimed(call)) return { scale: 'utc', at: time };
  return recording === undefined || offset === undefined
    ? undefined
    : { scale: recording, at: offset * 1000 };
}

/**
 * Whether a call may be part of a multi-frequency attempt: received for sure, about distress, on one of the six
 * frequencies, where it was sent once. Sent in a row on one frequency it is an attempt of its own.
 */
export function mayBeMultiFrequency(call: MultiFrequencyFields): boolean {
  const { direction, kind, quality, frequencyHz, symbols } = call;
  return (
    direction === 'received' &&
    KINDS.has(kind) &&
    (quality === 'clean' || quality === 'recovered') &&
    frequencyHz !== undefined &&
    FREQUENCIES.has(frequencyHz) &&
    !symbols.includes(null) &&
    sendingsOf(call).length === 1 &&
    momentOf(call) !== undefined
  );
}

/** Milliseconds between two calls of one attempt; undefined where they are of two. */
function distanceOf(a: MultiFrequencyFields, b: MultiFrequencyFields): number | undefined {
  const [one, other] = [momentOf(a), momentOf(b)];
  if (!one || one.scale !== other?.scale) return undefined;
  const distance = Math.abs(one.at - other.at);
  const isOneCall = a.symbols.length === b.symbols.length && a.symbols.every((s, i) => s === b.symbols[i]);
  const isAnotherFrequency = a.frequencyHz !== b.frequencyHz || isSameCall(a, b);
  return isOneCall && isAnotherFrequency && distance <= MULTI_FREQUENCY_MS ? distance : undefined;
}

/**
 * The attempt that a call belongs to: each of its calls has the same characters, began near enough in time, and was heard
 * on another frequency, or is the same sending heard elsewhere. Of several the one with the call nearest in time.
 *
 * @param call - one for which {@link mayBeMultiFrequency} holds
 * @param attempts - the calls of each, all of that kind
 */
export function multiFrequencyAttemptOf<Attempt extends readonly MultiFrequencyFields[]>(
  call: MultiFrequencyFields,
  attempts: readonly Attempt[],
): Attempt | undefined {
  let nearest: Attempt | undefined;
  let least = Infinity;
  for (const attempt of attempts) {
    const distances = attempt.map((other) => distanceOf(other, call) ?? Infinity);
    const distance = Math.min(...distances);
    if (Math.max(...distances) === Infinity || distance >= least) continue;
    nearest = attempt;
    least = distance;
  }
  return nearest;
}

/** What changes in a log: the attempt of the entry with this id, undefined for none. */
export interface AttemptChange {
  readonly id: number;
  readonly multiFrequencyAttempt: number | undefined;
}

/** An entry as a log keeps it, whatever its call is kept as. */
type Kept = Omit<LogEntry, 'call'>;

/** The entries that are one attempt from now on; none where they are of one frequency. */
function together(entries: readonly Kept[], attempt?: number): AttemptChange[] {
  const isOne = new Set(entries.map(({ frequencyHz }) => frequencyHz)).size > 1;
  const id = isOne ? (attempt ?? Math.min(...entries.map((entry) => entry.id))) : undefined;
  return entries.map((entry) => ({ id: entry.id, multiFrequencyAttempt: id }));
}

/**
 * What an entry that was written changes in the attempts of its log.
 *
 * @param near - the entries with the same characters that began within {@link MULTI_FREQUENCY_MS} of it
 */
export function attemptChanges(entry: Kept, near: readonly Kept[]): AttemptChange[] {
  const { id, multiFrequencyAttempt: own } = entry;
  if (!mayBeMultiFrequency(entry)) {
    if (own === undefined) return [];
    const left = near.filter((other) => other.id !== id && other.multiFrequencyAttempt === own);
    return [{ id, multiFrequencyAttempt: undefined }, ...together(left)];
  }
  if (own !== undefined) return [];
  const attempts = new Map<number, Kept[]>();
  for (const other of near) {
    if (other.id === id || !mayBeMultiFrequency(other)) continue;
    // Readings of one sending stand together before another frequency is heard.
    const key = other.multiFrequencyAttempt ?? other.sameAs ?? other.id;
    attempts.set(key, [...(attempts.get(key) ?? []), other]);
  }
  const found = multiFrequencyAttemptOf(entry, [...attempts.values()]);
  return found ? together([...found, entry], found[0].multiFrequencyAttempt) : [];
}

/**
 * The sendings of the attempt that an entry is part of, each as the surest of its entries has it, in order of time: the
 * entry alone where it is part of none.
 */
export function multiFrequencySendings(log: CallLog, entry: LogEntry): LogEntry[] {
  const { multiFrequencyAttempt } = entry;
  return multiFrequencyAttempt === undefined ? [entry] : log.list({ multiFrequencyAttempt, once: true });
}
