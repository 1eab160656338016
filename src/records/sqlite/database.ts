/**
 * The file that a durable log lives in: an SQLite database.
 */
import { accessSync, constants, copyFileSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import type { DatabaseSyncInstance } from '@photostructure/sqlite';
import { DotphaseError } from '../../errors.js';
import { closing, connector, requirePlace, transaction, type Connect, type OpenDatabase } from './driver.js';
import { refusal } from './refusal.js';
import { APPLICATION_ID, CREATE, SCHEMA_VERSION, bringUpToDate } from './schema.js';

/** The number that a query of one number gives. */
function single(database: DatabaseSyncInstance, query: string): number {
  return Number(Object.values(database.prepare(query).get() as object)[0]);
}

/** The version of a log, undefined for a file without any content; throws for everything else. */
function versionOf(database: DatabaseSyncInstance, path: string): number | undefined {
  const id = single(database, 'PRAGMA application_id');
  const version = single(database, 'PRAGMA user_version');
  if (id === APPLICATION_ID) {
    if (version >= 1 && version <= SCHEMA_VERSION) return version;
    const expected = `a log of version ${SCHEMA_VERSION} or before, not ${version}: a newer dotphase made it`;
    throw new DotphaseError('log', path, expected);
  }
  const tables = single(database, 'SELECT count(*) FROM sqlite_schema');
  if (id === 0 && version === 0 && tables === 0) return undefined;
  throw new DotphaseError('log', path, 'a log of calls, not another database');
}

/** Makes the tables in an empty file, and brings those of an earlier version up to date. */
function prepareToWrite(database: DatabaseSyncInstance, path: string): void {
  // In one transaction, so that a log is seen as it was before or after another process made it.
  const version = () => versionOf(database, path);
  if (transaction(database, 'BEGIN', version) !== SCHEMA_VERSION) {
    transaction(database, 'BEGIN IMMEDIATE', () => {
      const before = version();
      if (before === undefined) database.exec(CREATE);
      else if (before < SCHEMA_VERSION) database.exec(bringUpToDate(before));
    });
  }
  database.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA fullfsync = ON');
}

function mayWrite(path: string): boolean {
  try {
    for (const each of [path, dirname(path)]) accessSync(each, constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Opens a copy of a log beside which nothing can be written; closing it takes the copy away. */
export function openCopy(connect: Connect, path: string): OpenDatabase {
  const folder = mkdtempSync(join(tmpdir(), 'dotphase-log-'));
  const copy = join(folder, basename(path));
  const remove = () => {
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    for (const end of ['', '-wal']) if (existsSync(path + end)) copyFileSync(path + end, copy + end);
    const opened = closing(connect(copy, false));
    return {
      ...opened,
      close: () => {
        opened.close();
        remove();
      },
    };
  } catch (error) {
    remove();
    throw error;
  }
}

/**
 * A log to be read, beside which no file stays behind: where the folder can be written, the last to close a log clears
 * its write-ahead log away, which a connection for reading only could not.
 */
function openToRead(connect: Connect, path: string): OpenDatabase {
  const canClear = mayWrite(path);
  const opened =
    canClear || existsSync(`${path}-shm`) ? closing(connect(path, !canClear)) : openCopy(connect, path);
  opened.database.exec('PRAGMA query_only = ON');
  return opened;
}

/**
 * Opens or creates the file. A write-ahead log synchronised at every commit makes each entry survive a crash of the
 * program or the machine from the moment that `add` returns.
 *
 * @param path - a file name; its folder must exist
 * @param readonly - true to open an existing log for reading only
 * @throws DotphaseError when there is no SQLite, or the file cannot be opened or is no log
 */
export async function openDatabase(path: string, readonly: boolean): Promise<OpenDatabase> {
  const { connect, whole } = await connector(path, 'log');
  let opened: OpenDatabase | undefined;
  try {
    requirePlace(whole, readonly, 'log');
    opened = readonly ? openToRead(connect, whole) : closing(connect(whole, false));
    if (!readonly) prepareToWrite(opened.database, path);
    else {
      const version = versionOf(opened.database, path);
      if (version === undefined) throw new DotphaseError('log', path, 'a log of calls, not an empty file');
      if (version !== SCHEMA_VERSION) {
        // An earlier version is read from a copy that was brought up to date; the file stays as it is.
        opened.close();
        opened = openCopy(connect, whole);
        prepareToWrite(opened.database, path);
        opened.database.exec('PRAGMA query_only = ON');
      }
    }
    return opened;
  } catch (error) {
    opened?.close();
    throw refusal(path, 'log', error);
  }
}
