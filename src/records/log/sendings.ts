/**
 * The sendings of one attempt in one entry: an alert is sent five times in a row (ITU-R M.541 Annex 1, from memory).
 */
import type { LogEntry, LoggedSending, NewLogEntry } from './entry.js';

/** What of an entry tells which sendings it holds. */
export type SendingFields = Pick<
  LogEntry,
  | 'time'
  | 'frequencyHz'
  | 'quality'
  | 'snrDb'
  | 'errorProbability'
  | 'recording'
  | 'offset'
  | 'symbols'
  | 'sendings'
>;

/** The sendings of an entry at most: the next ones begin another entry, so that none grows without end. */
const MOST_SENDINGS = 100;

/** Readings of one sending lie no further apart than this, in seconds; the shortest call lasts more than 0.4 s. */
export const SAME_OFFSET = 0.1;

function sendingOf({ time, offset, quality, snrDb, errorProbability }: SendingFields): LoggedSending {
  return {
    time,
    ...(offset !== undefined && { offset }),
    ...(quality !== undefined && { quality }),
    ...(snrDb !== undefined && { snrDb }),
    ...(errorProbability !== undefined && { errorProbability }),
  };
}

/**
 * Each sending that an entry holds, in the order received.
 *
 * @param entry - from any log
 */
export function sendingsOf(entry: SendingFields): readonly LoggedSending[] {
  return entry.sendings ?? [sendingOf(entry)];
}

/** Whether two readings differ in no character that both received. */
function agree(a: SendingFields, b: SendingFields): boolean {
  return (
    a.symbols.length === b.symbols.length &&
    a.symbols.every((symbol, i) => symbol === null || b.symbols[i] === null || symbol === b.symbols[i])
  );
}

/**
 * Whether an entry holds a sending already: read out of the same recording, in the same place, with the same characters,
 * and not as heard on another frequency.
 *
 * @param entry - what stands in the log
 * @param sending - what would be logged; without `recording` and `offset` it is in no entry
 */
export function holdsSending(entry: SendingFields, sending: SendingFields): boolean {
  const { recording, offset, frequencyHz } = sending;
  return (
    recording !== undefined &&
    offset !== undefined &&
    entry.recording === recording &&
    (entry.frequencyHz ?? frequencyHz) === (frequencyHz ?? entry.frequencyHz) &&
    agree(entry, sending) &&
    sendingsOf(entry).some((other) => Math.abs((other.offset ?? Infinity) - offset) <= SAME_OFFSET)
  );
}

/**
 * An entry with another sending: the call stands in it as the surest of its sendings was read.
 *
 * @param entry - what stands in the log
 * @param sending - a later one of the same attempt
 * @returns the entry as it becomes; undefined where it can't take the sending, which has other characters or is its 101st
 */
export function withSending<Call extends { readonly call: unknown }>(
  entry: Omit<LogEntry, 'call'> & Call,
  sending: Omit<NewLogEntry, 'call'> & Pick<LogEntry, 'time'> & Call,
): (Omit<LogEntry, 'call'> & Call) | undefined {
  const before = sendingsOf(entry);
  if (!agree(entry, sending) || before.length >= MOST_SENDINGS) return undefined;
  const sendings = [...before, sendingOf(sending)];
  const isSurer = (sending.errorProbability ?? 1) < (entry.errorProbability ?? 1);
  if (!isSurer) return { ...entry, sendings };
  const { id, time, direction, acknowledgedAt, frequencyHz, file, recording, offset } = entry;
  return {
    ...sending,
    id,
    time,
    direction,
    ...(acknowledgedAt !== undefined && { acknowledgedAt }),
    ...(frequencyHz !== undefined && { frequencyHz }),
    ...(file !== undefined && { file }),
    ...(recording !== undefined && { recording }),
    ...(offset !== undefined && { offset }),
    sendings,
  };
}
