/**
 * A durable log of calls in an SQLite file. Needs Node: from 22.13 on it has SQLite built in; on earlier ones the
 * package @photostructure/sqlite, version 1, is loaded when a log is opened.
 *
 * @example
 * ```ts
 * import { callEntry } from 'dotphase/records';
 * import { openSqliteLog } from 'dotphase/records/sqlite';
 *
 * const log = await openSqliteLog('calls.db', { clock: Date.now });
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * log.add(callEntry(call, { direction: 'sent', frequencyHz: 2_187_500 }));
 * console.log(log.list({ identity: '002991234' }).length); // 1
 * log.close();
 * ```
 *
 * @packageDocumentation
 */
import type { DatabaseSyncInstance } from '@photostructure/sqlite';
import { DotphaseError } from '../../errors.js';
import { checkEntry, checkLogged, checkTime, type LogEntry } from '../log/entry.js';
import { checkFilter, type CallLog, type LogFilter, type LogOptions } from '../log/log.js';
import { openDatabase } from './database.js';

/** How a durable log is opened. */
export interface SqliteLogOptions extends LogOptions {
  /** Open an existing log for reading only; default false. */
  readonly readonly?: boolean;
}

const COLUMNS = [
  'time',
  'direction',
  'frequencyHz',
  'quality',
  'symbols',
  'kind',
  'from',
  'to',
  'casualty',
  'text',
  'call',
] as const;

const INSERT = `INSERT INTO calls (${COLUMNS.map((name) => `"${name}"`).join(', ')})
  VALUES (${COLUMNS.map((name) => `:${name}`).join(', ')})`;

type Row = Record<string, string | number | null>;

function readRow(row: Row): LogEntry {
  const present = Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null));
  const read = (name: string): unknown => JSON.parse(String(row[name]));
  return checkLogged({ ...present, symbols: read('symbols'), call: read('call') });
}

/** What the database does, or a DotphaseError where it cannot: the file is damaged, locked or full. */
function orDamaged<Result>(path: string, act: () => Result, close?: () => void): Result {
  try {
    return act();
  } catch (error) {
    close?.();
    const reason = error instanceof Error ? error.message : String(error);
    throw new DotphaseError('log', path, `a log that is whole and can be used (${reason})`);
  }
}

function prepare(database: DatabaseSyncInstance) {
  return {
    byId: database.prepare('SELECT * FROM calls WHERE id = ?'),
    insert: database.prepare(INSERT),
    markAcknowledged: database.prepare(
      'UPDATE calls SET acknowledgedAt = ? WHERE id = ? AND acknowledgedAt IS NULL',
    ),
  };
}

/** The conditions of a filter in SQL; their values are bound by name. */
function conditions(filter: LogFilter): string {
  const backwards = filter.newestFirst ? '<' : '>';
  const parts: readonly (readonly [unknown, string])[] = [
    [filter.kind, 'kind = :kind'],
    [filter.identity, ':identity IN ("from", "to", casualty)'],
    [filter.direction, 'direction = :direction'],
    [filter.since, 'time >= :since'],
    [filter.until, 'time < :until'],
    [filter.after, `(time, id) ${backwards} (:afterTime, :afterId)`],
  ];
  const given = parts.filter(([value]) => value !== undefined).map(([, sql]) => sql);
  return given.length === 0 ? '' : `WHERE ${given.join(' AND ')}`;
}

/**
 * Opens or creates a durable log. Several processes may use one file. An entry that `add` has returned survives
 * a crash in the middle of whatever was written next.
 *
 * @param path - a file name; its folder must exist. Two more files, ending in -wal and -shm, stand beside it in use,
 *   on Node before 22.13 until the closed log is garbage or the program ends; copy them with it
 * @throws DotphaseError when there is no SQLite, or the file cannot be opened or is not a log
 */
export async function openSqliteLog(
  path: string,
  { clock, readonly = false }: SqliteLogOptions,
): Promise<CallLog> {
  const database = await openDatabase(path, readonly);
  const whole = <Result>(act: () => Result): Result => orDamaged(path, act);
  const { byId, insert, markAcknowledged } = orDamaged(
    path,
    () => prepare(database),
    () => {
      database.close();
    },
  );

  const get = (id: number): LogEntry | undefined =>
    whole(() => {
      const row = (Number.isSafeInteger(id) ? byId.get(id) : undefined) as Row | undefined;
      return row && readRow(row);
    });
  const known = (id: number): LogEntry => {
    const entry = get(id);
    if (!entry) throw new DotphaseError('id', id, 'the id of a logged call');
    return entry;
  };

  const requireWritable = (): void => {
    if (readonly) throw new DotphaseError('log', path, 'a log opened for writing');
  };

  return {
    get,
    add(entry) {
      requireWritable();
      const { symbols, ...rest } = checkEntry(entry, clock);
      const absent = Object.fromEntries(COLUMNS.map((name) => [name, null]));
      const row = { ...absent, ...rest, symbols: JSON.stringify(symbols) };
      return known(Number(whole(() => insert.run(row)).lastInsertRowid));
    },
    acknowledge(id, time) {
      requireWritable();
      known(id);
      const at = checkTime(time ?? clock());
      whole(() => markAcknowledged.run(at, id));
      return known(id);
    },
    list(filter = {}) {
      const { limit = -1, newestFirst, after, ...rest } = checkFilter(filter);
      const order = newestFirst ? 'DESC' : 'ASC';
      const bound = { ...rest, limit, afterTime: after?.time, afterId: after?.id };
      const values = Object.fromEntries(Object.entries(bound).filter(([, value]) => value !== undefined));
      return whole(() =>
        database
          .prepare(
            `SELECT * FROM calls ${conditions(filter)} ORDER BY time ${order}, id ${order} LIMIT :limit`,
          )
          .all(values)
          .map((row: Row) => readRow(row)),
      );
    },
    close() {
      if (database.isOpen) database.close();
    },
  };
}
