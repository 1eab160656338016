/**
 * The file that a durable log lives in: an SQLite database of one table.
 */
import { resolve } from 'node:path';
import type { DatabaseSync, DatabaseSyncInstance } from '@photostructure/sqlite';
import { DotphaseError } from '../../errors.js';

/** Marks the file as a log of calls: SQLite's application id, "DPLG" in ASCII. */
const APPLICATION_ID = 0x44504c47;
const SCHEMA_VERSION = 1;

/** How long a process waits for another that writes, milliseconds. */
const BUSY_TIMEOUT = 5000;

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

/** What is used of `node:sqlite`, which both drivers are. */
interface Sqlite {
  readonly DatabaseSync: typeof DatabaseSync;
}

/** Node's own SQLite, from Node 22.13 on. */
function builtIn(): Sqlite | undefined {
  const warning = Object.getOwnPropertyDescriptor(process, 'emitWarning') ?? {};
  // Node 22 warns that its SQLite may still change; what is used here is the same on all versions, which are tested.
  process.emitWarning = () => undefined;
  try {
    // Node has this function from 20.16 and 22.3 on.
    const { getBuiltinModule } = process as Partial<NodeJS.Process>;
    return getBuiltinModule?.('node:sqlite') as Sqlite | undefined;
  } finally {
    Object.defineProperty(process, 'emitWarning', warning);
  }
}

async function loadSqlite(): Promise<Sqlite> {
  try {
    return builtIn() ?? (await import('@photostructure/sqlite'));
  } catch (error) {
    throw new DotphaseError(
      'SQLite',
      error instanceof Error ? error.message : error,
      'Node 22.13 or later, which has SQLite built in, or @photostructure/sqlite beside dotphase: ' +
        'npm install @photostructure/sqlite@1',
    );
  }
}

/** Does all or nothing of a change. */
function transaction<Result>(
  database: DatabaseSyncInstance,
  begin: 'BEGIN' | 'BEGIN IMMEDIATE',
  act: () => Result,
): Result {
  database.exec(begin);
  try {
    const result = act();
    database.exec('COMMIT');
    return result;
  } catch (error) {
    if (database.isTransaction) database.exec('ROLLBACK');
    throw error;
  }
}

/** The number that a query of one number gives. */
function single(database: DatabaseSyncInstance, query: string): number {
  return Number(Object.values(database.prepare(query).get() as object)[0]);
}

/** True for a log, false for a file without any content; throws for everything else. */
function isLog(database: DatabaseSyncInstance, path: string): boolean {
  const id = single(database, 'PRAGMA application_id');
  const version = single(database, 'PRAGMA user_version');
  if (id === APPLICATION_ID) {
    if (version === SCHEMA_VERSION) return true;
    throw new DotphaseError('path', path, `a log of version ${SCHEMA_VERSION}, not ${version}`);
  }
  const tables = single(database, 'SELECT count(*) FROM sqlite_schema');
  if (id === 0 && version === 0 && tables === 0) return false;
  throw new DotphaseError('path', path, 'a log of calls, not another database');
}

function prepareFile(database: DatabaseSyncInstance, path: string, readonly: boolean): void {
  // In one transaction, so that a log is seen as it was before or after another process made it.
  if (transaction(database, 'BEGIN', () => isLog(database, path))) return;
  if (readonly) throw new DotphaseError('path', path, 'a log of calls, not an empty file');
  transaction(database, 'BEGIN IMMEDIATE', () => {
    if (!isLog(database, path)) database.exec(SCHEMA);
  });
}

/**
 * Opens or creates the file. A write-ahead log synchronised at every commit makes each entry survive a crash of the
 * program or the machine from the moment that `add` returns.
 *
 * @param path - a file name; its folder must exist
 * @param readonly - true to open an existing log for reading only
 * @throws DotphaseError when there is no SQLite, or the file cannot be opened or is no log
 */
export async function openDatabase(path: string, readonly: boolean): Promise<DatabaseSyncInstance> {
  const given: unknown = path;
  if (typeof given !== 'string' || given === '' || given === ':memory:' || given.includes('\0')) {
    throw new DotphaseError('path', path, 'a file name');
  }
  const sqlite = await loadSqlite();
  let database: DatabaseSyncInstance | undefined;
  try {
    // A whole path, since SQLite takes a name that begins with "file:" for an address with options.
    database = new sqlite.DatabaseSync(resolve(path), { readOnly: readonly, timeout: BUSY_TIMEOUT });
    prepareFile(database, path, readonly);
    if (!readonly) {
      database.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA fullfsync = ON');
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
