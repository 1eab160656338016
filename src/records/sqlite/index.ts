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
import type { CallLog, LogOptions } from '../log/log.js';
import { callsIn } from './calls.js';
import { openDatabase } from './database.js';
import { storeIn, type HeardStore } from './store.js';
export { openJobStore } from './jobs.js';
export type { DeadJob, JobCounts, JobStore, JobStoreOptions, NewJob, TakenJob } from './jobs.js';
export { OwedWrites, type Write } from './owed.js';
export { isHeldByOther } from './refusal.js';
export { COUNTED_BY } from './store.js';
export type {
  EventFilter,
  HeardStore,
  HourCount,
  InputEvent,
  InputEventKind,
  InputLevel,
  ReadRecording,
  StationHeard,
  StoreSpan,
  TestSuccess,
} from './store.js';

/** How a durable log is opened. */
export interface SqliteLogOptions extends LogOptions {
  /** Open an existing log for reading only; default false. */
  readonly readonly?: boolean;
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
export async function openSqliteLog(path: string, options: SqliteLogOptions): Promise<CallLog> {
  const { clock, readonly = false } = options;
  return callsIn({ ...(await openDatabase(path, readonly)), path, readonly, clock });
}

/**
 * Opens or creates a durable log as {@link openSqliteLog} does, with what stands in it besides calls: recordings that
 * were read, events and levels of a watch's inputs; and with what its calls add up to.
 *
 * @throws DotphaseError as {@link openSqliteLog}
 */
export async function openHeardStore(path: string, options: SqliteLogOptions): Promise<HeardStore> {
  const { clock, readonly = false } = options;
  return storeIn({ ...(await openDatabase(path, readonly)), path, readonly, clock });
}
