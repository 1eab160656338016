/**
 * The file that a durable log lives in: an SQLite database of one table.
 */
import type Database from 'better-sqlite3';
import { DotphaseError } from '../../errors.js';

/** Marks the file as a log of calls: SQLite's application id, "DPLG" in ASCII. */
const APPLICATION_ID = 0x44504c47;
const SCHEMA_VERSION = 1;

const SCHEMA = `
  CREATE TABLE calls (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    time INTEGER NOT NULL,
    direction TEXT NOT NULL CHECK (direction IN ('sent', 'received')),
    frequencyHz INTEGER,
    quality TEXT,
    symbols TEXT NOT NULL,
    kind TEXT NOT NULL,
    "from" TEXT,
    "to" TEXT,
    casualty TEXT,
    text TEXT NOT NULL,
    call TEXT NOT NULL,
    acknowledgedAt INTEGER
  ) STRICT;
  CREATE INDEX calls_by_time ON calls (time, id);
  PRAGMA application_id = ${APPLICATION_ID};
  PRAGMA user_version = ${SCHEMA_VERSION};
`;

async function loadDriver(): Promise<typeof Database> {
  try {
    return (await import('better-sqlite3')).default;
  } catch (error) {
    throw new DotphaseError(
      'better-sqlite3',
      error instanceof Error ? error.message : error,
      'the package better-sqlite3, version 12, installed beside dotphase',
    );
  }
}

function single(database: Database.Database, pragma: string): number {
  return Number(database.pragma(pragma, { simple: true }));
}

/** True for a log, false for a file without any content; throws for everything else. */
function isLog(database: Database.Database, path: string): boolean {
  const id = single(database, 'application_id');
  const version = single(database, 'user_version');
  if (id === APPLICATION_ID) {
    if (version === SCHEMA_VERSION) return true;
    throw new DotphaseError('path', path, `a log of version ${SCHEMA_VERSION}, not ${version}`);
  }
  const tables = database.prepare('SELECT count(*) FROM sqlite_schema').pluck().get();
  if (id === 0 && version === 0 && tables === 0) return false;
  throw new DotphaseError('path', path, 'a log of calls, not another database');
}

function prepareFile(database: Database.Database, path: string, readonly: boolean): void {
  // In one transaction, so that a log is seen as it was before or after another process made it.
  if (database.transaction(() => isLog(database, path))()) return;
  if (readonly) throw new DotphaseError('path', path, 'a log of calls, not an empty file');
  const create = database.transaction(() => {
    if (!isLog(database, path)) database.exec(SCHEMA);
  });
  create.immediate();
}

/**
 * Opens or creates the file. A write-ahead log synchronised at every commit makes each entry survive a crash of the
 * program or the machine from the moment that `add` returns.
 *
 * @param path - a file name; its folder must exist
 * @param readonly - true to open an existing log for reading only
 * @throws DotphaseError when the driver is missing or the file cannot be opened or is no log
 */
export async function openDatabase(path: string, readonly: boolean): Promise<Database.Database> {
  const given: unknown = path;
  if (typeof given !== 'string' || given === '' || given === ':memory:' || given.includes('\0')) {
    throw new DotphaseError('path', path, 'a file name');
  }
  const Driver = await loadDriver();
  let database: Database.Database | undefined;
  try {
    database = new Driver(path, { readonly, fileMustExist: readonly });
    prepareFile(database, path, readonly);
    if (!readonly) {
      database.pragma('journal_mode = WAL');
      database.pragma('synchronous = FULL');
      database.pragma('fullfsync = ON');
    }
    return database;
  } catch (error) {
    database?.close();
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError(
      'path',
      path,
      `a log that can be opened (${error instanceof Error ? error.message : 'no'})`,
    );
  }
}
