/**
 * The calls of a durable log.
 */
import { DotphaseError } from '../../errors.js';
import {
  checkEntry,
  checkLogged,
  checkTime,
  type CheckedEntry,
  type LogEntry,
  type NewLogEntry,
} from '../log/entry.js';
import { checkFilter, type CallLog, type LogFilter } from '../log/log.js';
import { MULTI_FREQUENCY_MS, attemptChanges, mayBeMultiFrequency } from '../log/multifrequency.js';
import {
  ATTEMPT_MS,
  SAME_OFFSET,
  holdsSending,
  isReadBetter,
  isTimed,
  sameCall,
  sendingsOf,
  withSending,
} from '../log/sendings.js';
import { transaction, type OpenDatabase } from './driver.js';
import { refusal } from './refusal.js';
import { statementsOf } from './statements.js';

/** A file that is open, and how it is used. */
export interface OpenFile extends OpenDatabase {
  readonly path: string;
  readonly readonly: boolean;
  readonly clock: () => number;
}

const COLUMNS = [
  'time',
  'timeSource',
  'direction',
  'frequencyHz',
  'quality',
  'snrDb',
  'errorProbability',
  'file',
  'recording',
  'offset',
  'lastOffset',
  'input',
  'sameAs',
  'multiFrequencyAttempt',
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

/** What an input may have received already of a recording that was played into it. */
const REPLAYED = `SELECT * FROM calls
  WHERE input = :input AND timeSource = 'recorded' AND time BETWEEN :time - ${ATTEMPT_MS} AND :time + ${SAME_OFFSET * 1000}`;

/** What may be the same call, heard elsewhere: only known times can be compared. */
const ELSEWHERE = `SELECT * FROM calls
  WHERE direction = 'received' AND id != :id AND timeSource IN ('live', 'recorded')
  AND time BETWEEN :time - ${ATTEMPT_MS} AND :time + ${ATTEMPT_MS}`;

/** What may have been sent together with a call on other frequencies: near in time, or in one recording near in place. */
const SENT_NEAR = `SELECT * FROM calls WHERE direction = 'received' AND id != :id AND symbols = :symbols
  AND time BETWEEN :time - ${MULTI_FREQUENCY_MS} AND :time + ${MULTI_FREQUENCY_MS}`;
const PLACED_NEAR = `SELECT * FROM calls WHERE direction = 'received' AND id != :id AND symbols = :symbols
  AND recording = :recording AND lastOffset BETWEEN :offset - ${MULTI_FREQUENCY_MS / 1000} AND :offset + ${MULTI_FREQUENCY_MS / 1000}`;
const MARK_ATTEMPT = 'UPDATE calls SET multiFrequencyAttempt = ? WHERE id = ?';

const GROUP = 'SELECT * FROM calls WHERE id = :head OR sameAs = :head';

const LINK = 'UPDATE calls SET sameAs = ? WHERE id = ?';

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

/** The conditions of a filter on an entry in SQL; their values are bound by name. */
function conditionsOn(filter: LogFilter, table: '' | 'other.'): string[] {
  const parts: readonly (readonly [unknown, string])[] = [
    [filter.kind, `${table}kind = :kind`],
    [filter.identity, `:identity IN (${table}"from", ${table}"to", ${table}casualty)`],
    [filter.direction, `${table}direction = :direction`],
    [filter.recording, `${table}recording = :recording`],
    [filter.input, `${table}input = :input`],
    [filter.frequencyHz, `${table}frequencyHz = :frequencyHz`],
    [filter.multiFrequencyAttempt, `${table}multiFrequencyAttempt = :multiFrequencyAttempt`],
    [filter.quality, `${table}quality = :quality`],
    [filter.sure ? true : undefined, `${table}quality IS NOT 'doubtful'`],
    [filter.once ? true : undefined, `${table}sameAs IS NULL`],
    [filter.text, `${table}text LIKE :text ESCAPE '\\'`],
    [filter.since, `${table}time >= :since`],
    [filter.until, `${table}time < :until`],
  ];
  return parts.filter(([value]) => value !== undefined).map(([, sql]) => sql);
}

/** An entry before which no other of its multi-frequency attempt meets the conditions. */
function firstOfAttempt(filter: LogFilter): string {
  const others = [
    'other.multiFrequencyAttempt = calls.multiFrequencyAttempt',
    '(other.time, other.id) < (calls.time, calls.id)',
    ...conditionsOn(filter, 'other.'),
  ];
  return `NOT EXISTS (SELECT 1 FROM calls other WHERE ${others.join(' AND ')})`;
}

function conditions(filter: LogFilter): string {
  const backwards = filter.newestFirst ? '<' : '>';
  const given = [
    ...conditionsOn(filter, ''),
    ...(filter.together ? [firstOfAttempt(filter)] : []),
    ...(filter.after ? [`(time, id) ${backwards} (:afterTime, :afterId)`] : []),
  ];
  return given.length === 0 ? '' : `WHERE ${given.join(' AND ')}`;
}

/**
 * A filter in SQL: its conditions, and what is bound to their names.
 *
 * @throws DotphaseError naming the first bad condition
 */
export function filterInSql(filter: LogFilter): { where: string; values: Record<string, string | number> } {
  const checked = checkFilter(filter);
  const { after, newestFirst: _, sure: __, once: ___, together: ____, limit: _____, text, ...rest } = checked;
  const like = text === undefined ? undefined : `%${text.replace(/[\\%_]/g, '\\$&')}%`;
  const bound = { ...rest, text: like, afterTime: after?.time, afterId: after?.id };
  return {
    where: conditions(filter),
    values: Object.fromEntries(
      Object.entries(bound).filter((pair): pair is [string, string | number] => pair[1] !== undefined),
    ),
  };
}

/** The calls in an open file. */
export function callsIn({ database, close, path, readonly, clock }: OpenFile): CallLog {
  const using = statementsOf({ database, path });

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

  const rowsOf = (sql: string, values: Record<string, string | number>): LogEntry[] =>
    using(sql, (statement) => statement.all(values) as Row[]).map((row) => readRow(path, row));
  const find = (entry: CheckedEntry): LogEntry | undefined => {
    const { recording, offset, input, timeSource, time } = entry;
    const found = (sql: string, values: Record<string, string | number>) =>
      rowsOf(sql, values).find((other) => holdsSending(other, entry));
    if (recording !== undefined && offset !== undefined) return found(NEAR, { recording, offset });
    if (input !== undefined && timeSource === 'recorded') return found(REPLAYED, { input, time });
    return undefined;
  };
  /** Links an entry with others of the same call, so that all of them name the surest. */
  const linkSame = (entry: LogEntry): LogEntry => {
    const { id, time, direction } = entry;
    if (direction !== 'received') return entry;
    const elsewhere = isTimed(entry) ? rowsOf(ELSEWHERE, { id, time }) : [];
    const [surest, ...rest] = sameCall(entry, elsewhere, (one) =>
      rowsOf(GROUP, { head: one.sameAs ?? one.id }),
    );
    if (rest.length === 0) return entry;
    using(LINK, (statement) => {
      statement.run(null, surest.id);
      for (const one of rest) statement.run(surest.id, one.id);
    });
    return known(id);
  };
  /** Entries with the characters of one, from shortly before to shortly after it. */
  const near = ({ id, time, timeSource, recording, offset, symbols }: LogEntry): LogEntry[] => {
    const isPlaced = timeSource === 'decoded' && recording !== undefined && offset !== undefined;
    const where = isPlaced ? { recording, offset } : { time };
    const values = { id, symbols: JSON.stringify(symbols), ...where };
    return rowsOf(isPlaced ? PLACED_NEAR : SENT_NEAR, values);
  };
  /** Links an entry with what it was sent together with. */
  const link = (written: LogEntry): LogEntry => {
    const entry = linkSame(written);
    if (entry.multiFrequencyAttempt === undefined && !mayBeMultiFrequency(entry)) return entry;
    const changes = attemptChanges(entry, near(entry));
    for (const { id, multiFrequencyAttempt = null } of changes)
      using(MARK_ATTEMPT, (statement) => statement.run(multiFrequencyAttempt, id));
    return changes.length === 0 ? entry : known(entry.id);
  };
  const insert = (entry: CheckedEntry): LogEntry =>
    link(known(Number(using(INSERT, (statement) => statement.run(toRow(entry))).lastInsertRowid)));
  /** An entry with another sending, or a surer reading of one; undefined where it cannot take it. */
  const join = ({ call, ...before }: LogEntry, given: CheckedEntry): LogEntry | undefined => {
    const joined = withSending({ ...before, call: JSON.stringify(call) }, given);
    if (!joined) return undefined;
    const { stopped, acknowledgedAt, ...changed } = joined;
    using(UPDATE, (statement) => statement.run(toRow(changed)));
    return link(known(before.id));
  };
  const better = (already: LogEntry, given: CheckedEntry): LogEntry =>
    (isReadBetter(already, given) ? join(already, given) : undefined) ?? already;
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
      throw refusal(path, 'log', error);
    }
  };

  return {
    get,
    add: (entry) => write(entry, (given, already) => (already ? better(already, given) : insert(given))),
    addSending: (id, entry) =>
      write(entry, (given, already) => {
        if (already) return better(already, given);
        return join(known(id), given) ?? insert(given);
      }),
    acknowledge: (id, time) => change(id, MARK_ACKNOWLEDGED, checkTime(time ?? clock())),
    stop: (id) => change(id, MARK_STOPPED),
    list(filter = {}) {
      const { where, values } = filterInSql(filter);
      const order = filter.newestFirst ? 'DESC' : 'ASC';
      const sql = `SELECT * FROM calls ${where} ORDER BY time ${order}, id ${order} LIMIT :limit`;
      return using(sql, (statement) =>
        (statement.all({ ...values, limit: filter.limit ?? -1 }) as Row[]).map((row) => readRow(path, row)),
      );
    },
    close,
  };
}
