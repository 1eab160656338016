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
import {
  checkEntry,
  checkLogged,
  checkTime,
  type CheckedEntry,
  type LogEntry,
  type NewLogEntry,
} from '../log/entry.js';
import { checkFilter, type CallLog, type LogFilter, type LogOptions } from '../log/log.js';
import { SAME_OFFSET, holdsSending, sendingsOf, withSending } from '../log/sendings.js';
import { openDatabase, transaction } from './database.js';
import { refusal } from './refusal.js';

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
  'snrDb',
  'errorProbability',
  'file',
  'recording',
  'offset',
  'lastOffset',
  'sendings',
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

const UPDATE = `UPDATE calls SET ${COLUMNS.map((name) => `"${name}" = :${name}`).join(', ')} WHERE id = :id`;

/** What may hold a sending of a recording already. */
const NEAR = `SELECT * FROM calls
  WHERE recording = :recording AND lastOffset >= :offset - ${SAME_OFFSET} AND "offset" <= :offset + ${SAME_OFFSET}`;

type Statement = ReturnType<DatabaseSyncInstance['prepare']>;
type Row = Record<string, string | number | null>;

function readRow(path: string, row: Row): LogEntry {
  const { lastOffset, ...columns } = row;
  const present = Object.fromEntries(Object.entries(columns).filter(([, value]) => value !== null));
  const read = (name: string): unknown => JSON.parse(String(row[name]));
  try {
    return checkLogged({
      ...present,
      ...(row.stopped === 1 && { stopped: true }),
      symbols: read('symbols'),
      call: read('call'),
      ...('sendings' in present && { sendings: read('sendings') }),
    });
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new DotphaseError('log', path, `a log that is whole: entry ${row.id} is damaged (${reason})`);
  }
}

/** An entry as the table takes it. */
function toRow(entry: CheckedEntry & Pick<LogEntry, 'sendings'>): Row {
  const { symbols, sendings, ...rest } = entry;
  return {
    ...(Object.fromEntries(COLUMNS.map((name) => [name, null])) as Row),
    ...rest,
    symbols: JSON.stringify(symbols),
    lastOffset: sendingsOf(entry).at(-1)?.offset ?? null,
    sendings: sendings ? JSON.stringify(sendings) : null,
  };
}

const BY_ID = 'SELECT * FROM calls WHERE id = ?';
const MARK_ACKNOWLEDGED = 'UPDATE calls SET acknowledgedAt = ? WHERE id = ? AND acknowledgedAt IS NULL';
const MARK_STOPPED = 'UPDATE calls SET stopped = 1 WHERE id = ?';

/** The conditions of a filter in SQL; their values are bound by name. */
function conditions(filter: LogFilter): string {
  const backwards = filter.newestFirst ? '<' : '>';
  const parts: readonly (readonly [unknown, string])[] = [
    [filter.kind, 'kind = :kind'],
    [filter.identity, ':identity IN ("from", "to", casualty)'],
    [filter.direction, 'direction = :direction'],
    [filter.recording, 'recording = :recording'],
    [filter.since, 'time >= :since'],
    [filter.until, 'time < :until'],
    [filter.after, `(time, id) ${backwards} (:afterTime, :afterId)`],
  ];
  const given = parts.filter(([value]) => value !== undefined).map(([, sql]) => sql);
  return given.length === 0 ? '' : `WHERE ${given.join(' AND ')}`;
}

/**
 * Opens or creates a durable log. Several processes may use one file. An entry that `add` has returned survives
 * a crash in the middle of whatever was written next. A log of an earlier version is brought up to date when it is
 * opened for writing; read only, it stays as it is.
 *
 * @param path - a file name; its folder must exist. Two more files, ending in -wal and -shm, stand beside it in use;
 *   whoever closes it last, also after only reading, clears them away, on Node before 22.13 when the program ends
 * @throws DotphaseError when there is no SQLite, or the file cannot be opened or is not a log
 */
export async function openSqliteLog(
  path: string,
  { clock, readonly = false }: SqliteLogOptions,
): Promise<CallLog> {
  const { database, close } = await openDatabase(path, readonly);
  const statements = new Map<string, Statement>();
  /** Does what the database does, and says in plain words why it cannot. */
  const using = <Result>(sql: string, act: (statement: Statement) => Result): Result => {
    try {
      const statement = statements.get(sql) ?? database.prepare(sql);
      statements.set(sql, statement);
      return act(statement);
    } catch (error) {
      throw refusal(path, error);
    }
  };

  const get = (id: number): LogEntry | undefined =>
    using(BY_ID, (statement) => {
      const row = Number.isSafeInteger(id) ? (statement.get(id) as Row | undefined) : undefined;
      return row && readRow(path, row);
    });
  const known = (id: number): LogEntry => {
    const entry = get(id);
    if (!entry) throw new DotphaseError('id', id, 'the id of a logged call');
    return entry;
  };
  /** Runs a statement that changes the entry `id`, and gives the entry as it stands then. */
  const change = (id: number, sql: string, ...values: readonly number[]): LogEntry => {
    requireWritable();
    known(id);
    using(sql, (statement) => statement.run(...values, id));
    return known(id);
  };

  const requireWritable = (): void => {
    if (readonly) throw new DotphaseError('log', path, 'a log opened for writing');
  };

  const find = (entry: CheckedEntry): LogEntry | undefined => {
    const { recording, offset } = entry;
    if (recording === undefined || offset === undefined) return undefined;
    const rows = using(NEAR, (statement) => statement.all({ recording, offset }) as Row[]);
    return rows.map((row) => readRow(path, row)).find((other) => holdsSending(other, entry));
  };
  const insert = (entry: CheckedEntry): LogEntry =>
    known(Number(using(INSERT, (statement) => statement.run(toRow(entry))).lastInsertRowid));
  /** Looks for an entry and writes in one step, so that two programs do not log a sending twice. */
  const write = (
    entry: NewLogEntry,
    act: (given: CheckedEntry, already: LogEntry | undefined) => LogEntry,
  ): LogEntry => {
    requireWritable();
    const given = checkEntry(entry, clock);
    try {
      return transaction(database, 'BEGIN IMMEDIATE', () => act(given, find(given)));
    } catch (error) {
      throw refusal(path, error);
    }
  };

  return {
    get,
    add: (entry) => write(entry, (given, already) => already ?? insert(given)),
    addSending: (id, entry) =>
      write(entry, (given, already) => {
        const { call, ...before } = known(id);
        if (already) return already;
        const joined = withSending({ ...before, call: JSON.stringify(call) }, given);
        if (!joined) return insert(given);
        const { stopped, acknowledgedAt, ...changed } = joined;
        using(UPDATE, (statement) => statement.run(toRow(changed)));
        return known(id);
      }),
    acknowledge: (id, time) => change(id, MARK_ACKNOWLEDGED, checkTime(time ?? clock())),
    stop: (id) => change(id, MARK_STOPPED),
    list(filter = {}) {
      const { limit = -1, newestFirst, after, ...rest } = checkFilter(filter);
      const order = newestFirst ? 'DESC' : 'ASC';
      const bound = { ...rest, limit, afterTime: after?.time, afterId: after?.id };
      const values = Object.fromEntries(Object.entries(bound).filter(([, value]) => value !== undefined));
      const sql = `SELECT * FROM calls ${conditions(filter)} ORDER BY time ${order}, id ${order} LIMIT :limit`;
      return using(sql, (statement) => (statement.all(values) as Row[]).map((row) => readRow(path, row)));
    },
    close,
  };
}
