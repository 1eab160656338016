/**
 * The interface of a log of calls, in memory or on disk.
 */
import * as z from 'zod';
import { checked } from '../../data/index.js';
import {
  direction,
  input,
  multiFrequencyAttempt,
  recording,
  type LogDirection,
  type LogEntry,
  type NewLogEntry,
} from './entry.js';

/** Which entries to list; every condition must hold. */
export interface LogFilter {
  /** The call's kind, for example `testCall`. */
  readonly kind?: string;
  /** Nine digits: entries from, to or about this identity. */
  readonly identity?: string;
  /** Made, sent or received. */
  readonly direction?: LogDirection;
  /** SHA-256 of a recording: entries read from it. */
  readonly recording?: string;
  /** The name of an input of a watch: entries heard on it. */
  readonly input?: string;
  /** The DSC frequency, hertz. */
  readonly frequencyHz?: number;
  /** `clean`, `recovered` or `doubtful`. */
  readonly quality?: string;
  /** True for all but doubtful entries. */
  readonly sure?: boolean;
  /** True for one entry of each call, the surest, where it was heard on several inputs or in several recordings. */
  readonly once?: boolean;
  /**
   * True for one entry of each multi-frequency attempt: of those that meet the other conditions, the first in time. How
   * many frequencies it was heard on, `multiFrequencySendings` tells.
   */
  readonly together?: boolean;
  /** The entries of one multi-frequency attempt: as {@link LogEntry.multiFrequencyAttempt}. */
  readonly multiFrequencyAttempt?: number;
  /** Entries whose sentence holds this, whether in small or capital letters. */
  readonly text?: string;
  /** Not earlier than this: milliseconds since 1970 UTC. */
  readonly since?: number;
  /** Earlier than this. */
  readonly until?: number;
  /** At most so many; default all. */
  readonly limit?: number;
  /** Latest first; default earliest first. Entries of one time stand in the order of logging, or its reverse. */
  readonly newestFirst?: boolean;
  /** Only what stands behind this entry in that order, for reading page by page. */
  readonly after?: Pick<LogEntry, 'id' | 'time'>;
}

/** How a log is opened. */
export interface LogOptions {
  /** Gives the present time in milliseconds since 1970 UTC, for example `Date.now`. */
  readonly clock: () => number;
}

/** A log of calls. */
export interface CallLog {
  /**
   * Logs a call. When it returns, the entry is as safe as the log can make it. A call of a recording that was logged
   * before is not logged again: the same `recording`, `offset` within 0.1 s, characters, and frequency where both are
   * known.
   *
   * @returns the entry, or the one that holds the call already
   * @throws DotphaseError naming the first bad field; then nothing is logged
   */
  add(entry: NewLogEntry): LogEntry;
  /**
   * Logs another received sending of an attempt into the entry of the earlier ones, which then holds the call as it was
   * read from the surest of them. As with `add`, nothing of a recording is logged twice.
   *
   * @param id - the entry's
   * @param entry - the sending; with other characters, or where the entry holds 100 sendings, it becomes an entry of its own
   * @returns the entry that holds it
   * @throws DotphaseError when there is no such entry, or naming the first bad field; then nothing is logged
   */
  addSending(id: number, entry: NewLogEntry): LogEntry;
  /**
   * Notes that a call was acknowledged; a second acknowledgement changes nothing.
   *
   * @param id - the entry's
   * @param time - when the acknowledgement began, milliseconds since 1970 UTC; default: the log's clock
   * @returns the entry as it stands then
   * @throws DotphaseError when there is no such entry
   */
  acknowledge(id: number, time?: number): LogEntry;
  /**
   * Notes that the sending of a call was broken off before its end.
   *
   * @param id - the entry's
   * @returns the entry as it stands then
   * @throws DotphaseError when there is no such entry
   */
  stop(id: number): LogEntry;
  /** The entry with this id, if there is one. */
  get(id: number): LogEntry | undefined;
  /**
   * The entries that meet the filter, in order of time.
   *
   * @throws DotphaseError naming the first bad condition
   */
  list(filter?: LogFilter): LogEntry[];
  /** Lets go of the log; it is not used afterwards. */
  close(): void;
}

const number = (expected: string) => z.int({ error: expected }).min(0, { error: expected }).optional();
const text = (expected: string) => z.string({ error: expected }).max(40, { error: expected }).optional();

const FILTER = z.strictObject(
  {
    kind: text('a kind of call'),
    identity: text('nine digits').refine((digits) => digits === undefined || /^\d{9}$/.test(digits), {
      error: 'nine digits',
    }),
    direction: direction.optional(),
    recording: recording.optional(),
    input: input.optional(),
    frequencyHz: number('hertz'),
    quality: text('clean, recovered or doubtful'),
    sure: z.boolean({ error: 'true or false' }).optional(),
    once: z.boolean({ error: 'true or false' }).optional(),
    together: z.boolean({ error: 'true or false' }).optional(),
    multiFrequencyAttempt: multiFrequencyAttempt.optional(),
    text: z.string({ error: 'text' }).max(200, { error: 'text of up to 200 characters' }).optional(),
    since: number('milliseconds since 1970'),
    until: number('milliseconds since 1970'),
    limit: number('a number of entries'),
    newestFirst: z.boolean({ error: 'true or false' }).optional(),
    after: z.object({ id: z.int(), time: z.int() }, { error: 'an entry' }).optional(),
  },
  { error: 'conditions' },
);

/** Checks a filter. Throws a DotphaseError naming the first bad condition. */
export function checkFilter(filter: LogFilter): LogFilter {
  return checked(FILTER, filter, 'filter') as LogFilter;
}

const PAGE = 1000;

/**
 * The entries that meet the filter, read page by page, so that memory does not grow with the log.
 *
 * @param log - any log
 * @param filter - as for {@link CallLog.list}
 * @throws DotphaseError naming the first bad condition
 */
export function* logEntries(log: CallLog, filter: LogFilter = {}): Generator<LogEntry, void, undefined> {
  let left = filter.limit ?? Infinity;
  let after = filter.after;
  while (left > 0) {
    const page = log.list({ ...filter, limit: Math.min(PAGE, left), ...(after ? { after } : {}) });
    yield* page;
    if (page.length < PAGE) return;
    left -= page.length;
    after = page[page.length - 1];
  }
}
