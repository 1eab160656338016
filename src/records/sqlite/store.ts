/**
 * What stands in a durable log besides calls, and what its calls add up to.
 */
import * as z from 'zod';
import { checked } from '../../data/index.js';
import { DotphaseError } from '../../errors.js';
import { input, recording } from '../log/entry.js';
import type { CallLog, LogFilter } from '../log/log.js';
import { successOf, type Success } from '../log/success.js';
import { callsIn, filterInSql, type OpenFile } from './calls.js';
import { transaction, waitForOthers, withSafety } from './driver.js';
import { refusal } from './refusal.js';
import { statementsOf } from './statements.js';

/** A span of time, milliseconds since 1970 UTC: from `since` on, before `until`. */
export interface StoreSpan {
  readonly since?: number;
  readonly until?: number;
}

/** A recording that was read to its end. */
export interface ReadRecording {
  /** The file, as a whole path. */
  readonly path: string;
  /** How it was read: two readings that look for different things are told apart by it. */
  readonly reading: string;
  /** Bytes of the file. */
  readonly size: number;
  /** When the file was last changed: milliseconds since 1970 UTC. */
  readonly modifiedAt: number;
  /** SHA-256 of the file, 64 hexadecimal digits. */
  readonly recording?: string;
  /** When the recording began: milliseconds since 1970 UTC. */
  readonly began?: number;
  /** The DSC frequency, hertz. */
  readonly frequencyHz?: number;
  /** Length of the audio. */
  readonly seconds: number;
}

/** One of: an input began; it ended; it could not be started; nothing came from it; only silence; the watch was stopped. */
export type InputEventKind = 'started' | 'ended' | 'failed' | 'gap' | 'silence' | 'stopped';

const INPUT_EVENTS = [
  'started',
  'ended',
  'failed',
  'gap',
  'silence',
  'stopped',
] as const satisfies readonly InputEventKind[];

/** Something that happened to an input of a watch. */
export interface InputEvent {
  readonly id: number;
  readonly input: string;
  readonly kind: InputEventKind;
  /** When it happened or began: milliseconds since 1970 UTC. */
  readonly time: number;
  /** When it was over, of what lasts. */
  readonly until?: number;
  /** What happened, in a sentence. */
  readonly text: string;
}

/** Which events to list. */
export interface EventFilter {
  readonly input?: string;
  /** Those with a higher id. */
  readonly after?: number;
  /** Gaps and silence whose end is not noted. */
  readonly open?: true;
  /** At most so many, the latest. */
  readonly latest?: number;
}

/** How loud an input was over a while. */
export interface InputLevel {
  readonly input: string;
  /** When the while began: milliseconds since 1970 UTC. */
  readonly time: number;
  /** Seconds of audio in it. */
  readonly seconds: number;
  /** Mean level, dB, 0 dB being the mean square 1; absent for digital silence. */
  readonly rmsDb?: number;
  /** The highest sample, dB of full scale; absent for digital silence. */
  readonly peakDb?: number;
}

/** A station that was heard, not counting doubtful calls. */
export interface StationHeard {
  /** Nine digits. */
  readonly identity: string;
  /** Calls of it, each once. */
  readonly calls: number;
  /** When it was first and last heard: milliseconds since 1970 UTC; absent where no time is known. */
  readonly first?: number;
  readonly last?: number;
  /** The frequencies it was heard on, hertz. */
  readonly frequencies: readonly number[];
  /** Positions it sent, the latest first: degrees, north and east positive. */
  readonly positions: readonly {
    readonly latitude: number;
    readonly longitude: number;
    readonly time: number;
  }[];
}

/** How often test calls were acknowledged on a frequency, at an hour or by a station. */
export interface TestSuccess extends Success {
  /** Hertz, hour of the day in UTC, or nine digits; absent where not known. */
  readonly key?: number | string;
}

/** Calls in an hour on a frequency. */
export interface HourCount {
  /** When the hour began: milliseconds since 1970 UTC. */
  readonly hour: number;
  readonly frequencyHz?: number;
  readonly calls: number;
}

/** What calls can be counted by. */
export const COUNTED_BY = ['kind', 'station', 'frequency', 'hour', 'input', 'quality'] as const;

/** A durable log with what stands in it besides calls. */
export interface HeardStore {
  /** The calls. */
  readonly calls: CallLog;
  /**
   * Does several changes as one: all of them or none, safe against a crash when it returns, and waiting for the disk
   * once. Others that write wait for its end, up to 10 s.
   *
   * @param act - what it throws is thrown on, and nothing was changed
   * @throws DotphaseError where the log is for reading only, busy, or cannot be written
   */
  together<Result>(act: () => Result): Result;
  /**
   * Whether changes wait for others that hold the file, up to 10 s, as they do at first, or are refused at once where
   * it is not free: for what must go on, such as listening.
   */
  waitForOthers(doesWait: boolean): void;
  /** Notes that a recording was read to its end. */
  noteRecording(read: ReadRecording): void;
  /** Whether a recording was read so before and has not changed since. */
  hasRead(file: Pick<ReadRecording, 'path' | 'reading' | 'size' | 'modifiedAt'>): boolean;
  /** Notes what happened to an input; gives the id. */
  noteEvent(event: Omit<InputEvent, 'id'>): number;
  /** Notes when something that lasts was over. */
  endEvent(id: number, until: number, text?: string): void;
  /** What happened to inputs, in order of time. */
  events(filter?: StoreSpan & EventFilter): InputEvent[];
  /** Notes how loud an input was. */
  noteLevel(level: InputLevel): void;
  /** How loud inputs were, in order of time. */
  levels(span?: StoreSpan & { readonly input?: string }): InputLevel[];
  /** The latest level of each input, in the order of their names. */
  lastLevels(): InputLevel[];
  /** When an input was last heard, as its levels tell: milliseconds since 1970 UTC. */
  lastHeard(input: string): number | undefined;
  /**
   * Keeps the sound of a call; of the latest 500, so that the file does not grow with it.
   *
   * @param id - the entry's
   * @param wav - a WAV file
   */
  keepClip(id: number, wav: Uint8Array): void;
  /** The sound of a call as a WAV file, where it is kept. */
  clip(id: number): Uint8Array | undefined;
  /** The highest id of an entry; 0 where there is none. */
  latestId(): number;
  /**
   * The stations heard, the latest heard first.
   *
   * @param positions - of each at most so many, the latest; default 100, and no more
   */
  stations(filter?: LogFilter, positions?: number): StationHeard[];
  /** How often test calls were acknowledged. Calls heard twice count once, doubtful ones not at all. */
  testSuccess(by: 'frequency' | 'hour' | 'station', filter?: LogFilter): TestSuccess[];
  /** Calls by hour and frequency. Calls whose time is not known are left out. */
  hours(filter?: LogFilter): HourCount[];
  /** How many calls there are of each; with `once` those of a multi-frequency attempt count once, on each frequency. */
  count(
    by: (typeof COUNTED_BY)[number],
    filter?: LogFilter,
  ): { readonly key: string | number | undefined; readonly calls: number }[];
  /** Lets go of the file; nothing of it is used afterwards. */
  close(): void;
}

const whole = z.int({ error: 'a whole number' }).min(0, { error: 'a number from 0' });
const text = z.string({ error: 'text' }).max(4096, { error: 'text of up to 4096 characters' });
const decibels = z
  .number({ error: 'decibels' })
  .min(-400, { error: 'decibels' })
  .max(200, { error: 'decibels' });

const READ = z.strictObject({
  path: text,
  reading: text,
  size: whole,
  modifiedAt: z.number({ error: 'milliseconds' }),
  recording: recording.optional(),
  began: whole.optional(),
  frequencyHz: whole.optional(),
  seconds: z.number({ error: 'seconds' }).min(0, { error: 'seconds from 0' }),
});
const EVENT = z.strictObject({
  input,
  kind: z.enum(INPUT_EVENTS, { error: INPUT_EVENTS.join(', ') }),
  time: whole,
  until: whole.optional(),
  text,
});
const LEVEL = z.strictObject({
  input,
  time: whole,
  seconds: z.number({ error: 'seconds' }).min(0, { error: 'seconds from 0' }),
  rmsDb: decibels.optional(),
  peakDb: decibels.optional(),
});

type Values = Record<string, string | number | null>;

/** An acknowledgement comes within this time after a test call; common practice, no source. */
const ANSWER_MS = 300_000;

const HOUR_MS = 3_600_000;
const DAY_HOURS = 24;

/** Positions kept of each station. */
const MOST_POSITIONS = 100;

/** Sounds of calls that are kept. */
const MOST_CLIPS = 500;
const DROP_OLD_CLIPS = `DELETE FROM clips WHERE call NOT IN (SELECT call FROM clips ORDER BY call DESC LIMIT ${MOST_CLIPS})`;

/** Calls counted once, also where they were heard on several frequencies as one attempt. */
const ATTEMPTS = 'count(DISTINCT coalesce(multiFrequencyAttempt, id))';

const COLUMN: Readonly<Record<(typeof COUNTED_BY)[number], string>> = {
  kind: 'kind',
  station: '"from"',
  frequency: 'frequencyHz',
  hour: `CASE WHEN timeSource IS NOT 'decoded' THEN (time / ${HOUR_MS}) % ${DAY_HOURS} END`,
  input: 'input',
  quality: 'quality',
};

const TEST_KEY = {
  frequency: 'frequencyHz',
  hour: COLUMN.hour,
  station: '"to"',
} as const;

/** Test calls, each with whether it was acknowledged before the same test call was sent again. */
const testsBy = (key: string, where: string) => `
  SELECT ${key} AS key, count(*) AS tried, sum(answered) AS succeeded FROM (
    SELECT *, acknowledgedAt IS NOT NULL OR EXISTS (
      SELECT 1 FROM calls answer
      WHERE answer."from" = test."to" AND answer."to" = test."from" AND answer.kind = 'testAcknowledgement'
        AND answer.quality IS NOT 'doubtful'
        AND answer.time > test.time AND answer.time <= test.time + ${ANSWER_MS}
        AND coalesce(answer.frequencyHz, test.frequencyHz, 0) = coalesce(test.frequencyHz, answer.frequencyHz, 0)
        AND NOT EXISTS (
          SELECT 1 FROM calls again
          WHERE again."from" = test."from" AND again."to" = test."to" AND again.kind = 'testCall'
            AND again.sameAs IS NULL AND again.time > test.time AND again.time < answer.time
        )
    ) AS answered
    FROM calls test
    ${where} AND kind = 'testCall' AND direction IN ('sent', 'received') AND sameAs IS NULL AND quality IS NOT 'doubtful'
      AND "from" IS NOT NULL AND "to" IS NOT NULL
  ) GROUP BY key ORDER BY key`;

/** Where a station said it was itself: what relays and acknowledgements carry is another's position. */
const POSITIONS = `
  SELECT time,
    coalesce(json_extract(call, '$.position.latitude'), json_extract(call, '$.message.position.latitude')) AS latitude,
    coalesce(json_extract(call, '$.position.longitude'), json_extract(call, '$.message.position.longitude')) AS longitude
  FROM calls
  WHERE "from" = ? AND direction = 'received' AND quality IS NOT 'doubtful' AND sameAs IS NULL
    AND kind NOT LIKE '%relay%' AND kind NOT LIKE '%acknowledgement' AND kind NOT LIKE 'irregular%'
    AND coalesce(json_type(call, '$.position.latitude'), json_type(call, '$.message.position.latitude'))
      IN ('integer', 'real')
  ORDER BY time DESC LIMIT ?`;

/** Of each input one row, found by the key alone, however many levels there are. */
const LAST_LEVELS = `
  WITH RECURSIVE names (name) AS (
    SELECT min(input) FROM levels
    UNION ALL SELECT (SELECT min(input) FROM levels WHERE input > name) FROM names WHERE name IS NOT NULL
  )
  SELECT levels.* FROM names JOIN levels
    ON input = name AND time = (SELECT max(time) FROM levels WHERE input = name)
  ORDER BY name`;

function spanInSql({ since, until }: StoreSpan): { sql: string; values: Values } {
  return {
    sql: `${since === undefined ? '' : 'AND time >= :since'} ${until === undefined ? '' : 'AND time < :until'}`,
    values: { ...(since !== undefined && { since }), ...(until !== undefined && { until }) },
  };
}

/** A row without what is not there. */
function present(row: unknown): unknown {
  return Object.fromEntries(Object.entries(row as Values).filter(([, value]) => value !== null));
}

/** A log with the rest, in an open file. */
export function storeIn(file: OpenFile): HeardStore {
  const { database, path, readonly, clock } = file;
  const using = statementsOf(file);
  const all = <Row>(sql: string, values: Values = {}): Row[] =>
    using(sql, (statement) => statement.all(values).map((row) => present(row) as Row));
  const write = (sql: string, values: Values): number => {
    if (readonly) throw new DotphaseError('log', path, 'a log opened for writing');
    return Number(using(sql, (statement) => statement.run(values)).lastInsertRowid);
  };

  return {
    calls: callsIn(file),
    together(act) {
      if (readonly) throw new DotphaseError('log', path, 'a log opened for writing');
      try {
        return transaction(database, 'BEGIN IMMEDIATE', act);
      } catch (error) {
        throw error instanceof Error && 'errcode' in error ? refusal(path, 'log', error) : error;
      }
    },
    waitForOthers: (doesWait) => {
      waitForOthers(database, doesWait);
    },
    noteRecording(read) {
      const given = checked(READ, read, 'recording');
      const { recording: sha = null, began = null, frequencyHz = null, ...rest } = given;
      // What is lost of this where power fails is only read again.
      withSafety(database, ['NORMAL', 'FULL'], () =>
        write(
          `INSERT OR REPLACE INTO recordings (path, reading, size, modifiedAt, recording, began, frequencyHz, seconds, readAt)
           VALUES (:path, :reading, :size, :modifiedAt, :recording, :began, :frequencyHz, :seconds, :readAt)`,
          { ...rest, recording: sha, began, frequencyHz, readAt: Math.round(clock()) },
        ),
      );
    },
    hasRead: (asked) =>
      using(
        'SELECT 1 FROM recordings WHERE path = :path AND reading = :reading AND size = :size AND modifiedAt = :modifiedAt',
        (statement) => statement.get({ ...asked }) !== undefined,
      ),
    noteEvent(event) {
      const { until = null, ...rest } = checked(EVENT, event, 'event');
      return write(
        'INSERT INTO events (input, kind, time, until, text) VALUES (:input, :kind, :time, :until, :text)',
        { ...rest, until },
      );
    },
    endEvent(id, until, words) {
      write('UPDATE events SET until = :until, text = coalesce(:text, text) WHERE id = :id', {
        id,
        until: Math.round(until),
        text: words ?? null,
      });
    },
    events({ input: name, after, open, latest = -1, ...span } = {}) {
      const { sql, values } = spanInSql(span);
      return all<InputEvent>(
        `SELECT * FROM (SELECT * FROM events WHERE ${name === undefined ? '1' : 'input = :input'}
         ${open ? "AND until IS NULL AND kind IN ('gap', 'silence')" : ''}
         ${after === undefined ? '' : 'AND id > :after'} ${sql} ORDER BY time DESC, id DESC LIMIT :latest)
         ORDER BY time, id`,
        {
          ...values,
          latest,
          ...(name !== undefined && { input: name }),
          ...(after !== undefined && { after }),
        },
      );
    },
    noteLevel(level) {
      const { rmsDb = null, peakDb = null, ...rest } = checked(LEVEL, level, 'level');
      write(
        'INSERT OR REPLACE INTO levels (input, time, seconds, rmsDb, peakDb) VALUES (:input, :time, :seconds, :rmsDb, :peakDb)',
        { ...rest, rmsDb, peakDb },
      );
    },
    levels({ input: name, ...span } = {}) {
      const { sql, values } = spanInSql(span);
      return all<InputLevel>(
        `SELECT * FROM levels WHERE ${name === undefined ? '1' : 'input = :input'} ${sql} ORDER BY time, input`,
        { ...values, ...(name !== undefined && { input: name }) },
      );
    },
    lastLevels: () => all<InputLevel>(LAST_LEVELS),
    lastHeard(name) {
      const [last] = all<{ heard?: number }>(
        'SELECT max(time + CAST(seconds * 1000 AS INTEGER)) AS heard FROM levels WHERE input = :name',
        { name },
      );
      return last.heard;
    },
    keepClip(id, wav) {
      if (readonly) throw new DotphaseError('log', path, 'a log opened for writing');
      using('INSERT OR REPLACE INTO clips (call, wav) VALUES (?, ?)', (statement) => statement.run(id, wav));
      using(DROP_OLD_CLIPS, (statement) => statement.run());
    },
    clip: (id) =>
      using('SELECT wav FROM clips WHERE call = ?', (statement) => {
        const row = statement.get(id) as { wav: Uint8Array } | undefined;
        return row?.wav;
      }),
    latestId: () => all<{ id?: number }>('SELECT max(id) AS id FROM calls')[0]?.id ?? 0,
    stations(filter = {}, positions = MOST_POSITIONS) {
      const { where, values } = filterInSql({ ...filter, direction: 'received', sure: true, once: true });
      const most = Math.min(positions, MOST_POSITIONS);
      const timed = `CASE WHEN timeSource IS NOT 'decoded' THEN time END`;
      const rows = all<{
        identity: string;
        calls: number;
        first?: number;
        last?: number;
        frequencies?: string;
      }>(
        `SELECT "from" AS identity, ${ATTEMPTS} AS calls, min(${timed}) AS first, max(${timed}) AS last,
           group_concat(DISTINCT frequencyHz) AS frequencies
         FROM calls ${where} AND "from" IS NOT NULL GROUP BY "from" ORDER BY last DESC, identity`,
        values,
      );
      return rows.map(({ frequencies = '', ...row }) => ({
        ...row,
        frequencies: frequencies
          .split(',')
          .filter((hz) => hz !== '')
          .map(Number)
          .sort((a, b) => a - b),
        positions: using(POSITIONS, (statement) =>
          statement
            .all(row.identity, most)
            .map((found) => present(found) as StationHeard['positions'][number]),
        ),
      }));
    },
    testSuccess(by, filter = {}) {
      const { direction: _, ...rest } = filter;
      const { where, values } = filterInSql({ ...rest, kind: 'testCall' });
      const known = by === 'hour' ? `${where} AND timeSource IS NOT 'decoded'` : where;
      return all<{ key?: number | string; tried: number; succeeded: number }>(
        testsBy(TEST_KEY[by], known),
        values,
      ).map(({ key, tried, succeeded }) => ({
        ...(key !== undefined && { key }),
        ...successOf(succeeded, tried),
      }));
    },
    hours(filter = {}) {
      const { where, values } = filterInSql({ ...filter, direction: 'received', once: true });
      return all<HourCount>(
        `SELECT time / ${HOUR_MS} * ${HOUR_MS} AS hour, frequencyHz, ${ATTEMPTS} AS calls
         FROM calls ${where} AND timeSource IS NOT 'decoded' GROUP BY 1, 2 ORDER BY 1, 2`,
        values,
      );
    },
    count(by, filter = {}) {
      const { where, values } = filterInSql(filter);
      return all<{ key?: string | number; calls: number }>(
        `SELECT ${COLUMN[by]} AS key, ${filter.once ? ATTEMPTS : 'count(*)'} AS calls FROM calls ${where} GROUP BY 1 ORDER BY ${by === 'hour' || by === 'frequency' ? 'key' : 'calls DESC, key'}`,
        values,
      ).map(({ key, calls }) => ({ key, calls }));
    },
    close: file.close,
  };
}
