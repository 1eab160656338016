/**
 * The sendings of one attempt in one entry: an alert is sent five times in a row (ITU-R M.541 Annex 1, from memory).
 */
import type { LogEntry, LoggedSending, NewLogEntry } from './entry.js';

/** What of an entry tells which sendings it holds. */
export type SendingFields = Pick<
  LogEntry,
  | 'time'
  | 'timeSource'
  | 'frequencyHz'
  | 'quality'
  | 'snrDb'
  | 'errorProbability'
  | 'recording'
  | 'offset'
  | 'input'
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

/** When and where a sending began. */
function momentOf({ time, offset }: LoggedSending): Pick<LoggedSending, 'time' | 'offset'> {
  return { time, ...(offset !== undefined && { offset }) };
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

/** DSC frequencies lie 500 Hz apart; what is measured between them differs from receiver to receiver by less, hertz. */
const SAME_HZ = 60;

/**
 * Whether two calls may have been heard on one frequency, as far as is known.
 *
 * @param a - the DSC frequency, hertz, or where the call was measured to lie between them
 */
export function shareFrequency(
  a: Pick<SendingFields, 'frequencyHz'>,
  b: Pick<SendingFields, 'frequencyHz'>,
): boolean {
  if (a.frequencyHz === undefined || b.frequencyHz === undefined) return true;
  return Math.abs(a.frequencyHz - b.frequencyHz) <= SAME_HZ;
}

/** Whether a sending comes from a recording that is played into an input: played again, it has the same time again. */
function isReplayed({ input, timeSource }: SendingFields): boolean {
  return input !== undefined && timeSource === 'recorded';
}

/**
 * Whether an entry holds a sending already: read out of the same recording, in the same place, or of the same time in a
 * recording that was played into the same input; with the same characters, and not as heard on another frequency.
 *
 * @param entry - what stands in the log
 * @param sending - what would be logged; without `recording` and `offset`, and heard live, it is in no entry
 */
export function holdsSending(entry: SendingFields, sending: SendingFields): boolean {
  return placeOf(entry, sending) >= 0;
}

/** The index of a sending among those of an entry; −1 where it is not one of them. */
function placeOf(entry: SendingFields, sending: SendingFields): number {
  const { recording, offset, input, time } = sending;
  if (!shareFrequency(entry, sending) || !agree(entry, sending)) return -1;
  if (recording !== undefined && offset !== undefined) {
    if (entry.recording !== recording) return -1;
    return sendingsOf(entry).findIndex(
      (other) => Math.abs((other.offset ?? Infinity) - offset) <= SAME_OFFSET,
    );
  }
  if (!isReplayed(sending) || !isReplayed(entry) || entry.input !== input) return -1;
  return sendingsOf(entry).findIndex((other) => Math.abs(other.time - time) <= SAME_OFFSET * 1000);
}

/** Whether a sending that an entry holds already was now read more surely, as after a reading that was cut. */
export function isReadBetter(entry: SendingFields, sending: SendingFields): boolean {
  const place = placeOf(entry, sending);
  return place >= 0 && isSurer(sending, sendingsOf(entry)[place]);
}

/** Whether one reading is surer than another. */
function isSurer(
  a: Pick<LoggedSending, 'errorProbability'>,
  b: Pick<LoggedSending, 'errorProbability'>,
): boolean {
  return (a.errorProbability ?? 1) < (b.errorProbability ?? 1);
}

/** Clocks of receivers and recorders that are set well differ by less, milliseconds; common practice, no source. */
const CLOCKS_DIFFER_MS = 5000;

/** An attempt of five alerts, with the longest call at 100 Bd, is over after this, milliseconds. */
export const ATTEMPT_MS = 120_000;

/** Whether the time of an entry is that at which the call was on the air. */
export function isTimed({ timeSource }: SendingFields): boolean {
  return timeSource === 'live' || timeSource === 'recorded';
}

/** Milliseconds between the two nearest sendings of two entries. */
function timeBetween(a: SendingFields, b: SendingFields): number {
  return Math.min(
    ...sendingsOf(a).flatMap((one) => sendingsOf(b).map((other) => Math.abs(one.time - other.time))),
  );
}

/** Whether two entries may be one call: of two places, on one frequency as far as it is known, with no other character. */
function mayBeSame(a: SendingFields, b: SendingFields): boolean {
  const isOtherPlace = a.input !== b.input || a.recording !== b.recording;
  return isOtherPlace && shareFrequency(a, b) && agree(a, b);
}

/**
 * Whether two received entries are one call, heard in two places: on two inputs or in two recordings, at one time as far
 * as clocks are right, on one frequency as far as it is known, with no character that both received otherwise.
 */
export function isSameCall(a: SendingFields, b: SendingFields): boolean {
  return isTimed(a) && isTimed(b) && mayBeSame(a, b) && timeBetween(a, b) <= CLOCKS_DIFFER_MS;
}

/** An entry with what links it. */
type Linked = SendingFields & Pick<LogEntry, 'id' | 'sameAs' | 'direction'>;

/**
 * The entries that are one call with a received one, and that one: heard on other inputs or in other recordings, at one
 * time as far as clocks are right. Entries linked with each other stay so, and no two of the group contradict each other:
 * neither an entry of unknown frequency nor one with characters missing makes one call of two, nor do two of one place.
 * Entries that do not contradict each other are one group in whatever order they are logged.
 *
 * @param near - entries that it may be one call with
 * @param groupOf - the entries that are linked with one, and that one
 * @returns the surest first, which the others are to name; empty where there is no other
 */
export function sameCall<Entry extends Linked>(
  entry: Entry,
  near: readonly Entry[],
  groupOf: (entry: Entry) => readonly Entry[],
): readonly Entry[] {
  let group = groupOf(entry);
  const others = near
    .filter((other) => other.id !== entry.id && other.direction === 'received' && isSameCall(entry, other))
    .sort((a, b) => timeBetween(entry, a) - timeBetween(entry, b) || a.id - b.id);
  for (const other of others) {
    const theirs = groupOf(other).filter(({ id }) => group.every((own) => own.id !== id));
    if (theirs.every((one) => group.every((own) => mayBeSame(own, one)))) group = [...group, ...theirs];
  }
  return group.length < 2
    ? []
    : [...group].sort((a, b) => (isSurer(a, b) ? -1 : isSurer(b, a) ? 1 : a.id - b.id));
}

/**
 * An entry with another sending, or with a surer reading of one that it holds: the call stands in it as the surest of its
 * sendings was read.
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
  const place = placeOf(entry, sending);
  if (!agree(entry, sending) || (place < 0 && before.length >= MOST_SENDINGS)) return undefined;
  const list =
    place < 0
      ? [...before, sendingOf(sending)]
      : before.with(place, { ...sendingOf(sending), ...momentOf(before[place]) });
  const sendings = list.length > 1 ? { sendings: list } : {};
  if (!isSurer(sending, entry)) return { ...entry, ...sendings };
  const { id, time, timeSource, direction, acknowledgedAt, frequencyHz, file, recording, offset } = entry;
  const { input, sameAs, multiFrequencyAttempt } = entry;
  return {
    ...sending,
    id,
    time,
    direction,
    ...(timeSource !== undefined && { timeSource }),
    ...(acknowledgedAt !== undefined && { acknowledgedAt }),
    ...(input !== undefined && { input }),
    ...(sameAs !== undefined && { sameAs }),
    ...(multiFrequencyAttempt !== undefined && { multiFrequencyAttempt }),
    ...(frequencyHz !== undefined && { frequencyHz }),
    ...(file !== undefined && { file }),
    ...(recording !== undefined && { recording }),
    ...(offset !== undefined && { offset }),
    ...sendings,
  };
}
