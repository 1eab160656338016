/**
 * SQLite as Node has it, or as a package brings it, and how files are opened with it.
 */
import { existsSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import type { DatabaseSync, DatabaseSyncInstance } from '@photostructure/sqlite';
import { DotphaseError } from '../../errors.js';

/** How long a process waits for others that write, milliseconds: sixteen busy ones keep each other for over 5 s. */
const BUSY_TIMEOUT = 10_000;

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

/** Whether changes of a database wait for others that write, or are refused at once. */
export function waitForOthers(database: DatabaseSyncInstance, doesWait: boolean): void {
  database.exec(`PRAGMA busy_timeout = ${doesWait ? BUSY_TIMEOUT : 0}`);
}

/** Databases with a transaction that was begun. */
const begun = new WeakSet<DatabaseSyncInstance>();

/** Does all or nothing of a change; within another change it is part of that. */
export function transaction<Result>(
  database: DatabaseSyncInstance,
  begin: 'BEGIN' | 'BEGIN IMMEDIATE',
  act: () => Result,
): Result {
  if (begun.has(database)) return act();
  database.exec(begin);
  begun.add(database);
  try {
    const result = act();
    database.exec('COMMIT');
    return result;
  } catch (error) {
    try {
      database.exec('ROLLBACK');
    } catch {
      // SQLite took the change back itself, as on a full disk.
    }
    throw error;
  } finally {
    begun.delete(database);
  }
}

/**
 * Does something with another level of safety than the file is opened with. At NORMAL a change does not wait for the
 * disk: a program that is killed loses nothing, a machine whose power fails may lose its latest changes.
 */
export function withSafety<Result>(
  database: DatabaseSyncInstance,
  [during, afterwards]: readonly ['NORMAL', 'FULL'] | readonly ['FULL', 'NORMAL'],
  act: () => Result,
): Result {
  // Within a change the level is that of the change.
  if (begun.has(database)) return act();
  database.exec(`PRAGMA synchronous = ${during}`);
  try {
    return act();
  } finally {
    database.exec(`PRAGMA synchronous = ${afterwards}`);
  }
}

/** An open file. */
export interface OpenDatabase {
  readonly database: DatabaseSyncInstance;
  readonly close: () => void;
}

/** Opens a file. */
export type Connect = (path: string, readOnly: boolean) => DatabaseSyncInstance;

/** A database that may be closed more than once. */
export function closing(database: DatabaseSyncInstance): OpenDatabase {
  return {
    database,
    close: () => {
      if (database.isOpen) database.close();
    },
  };
}

function requireFileName(path: string, what: string): void {
  const given: unknown = path;
  if (typeof given !== 'string' || given === '' || given === ':memory:' || given.includes('\0')) {
    throw new DotphaseError(what, path, 'a file name');
  }
}

/**
 * Refuses what can't hold a database before SQLite tries it, for its own words say less.
 *
 * @param mustExist - whether it is not made
 * @param what - what it holds, for errors: `log`
 */
export function requirePlace(path: string, mustExist: boolean, what: string): void {
  const found = statSync(path, { throwIfNoEntry: false });
  if (found?.isDirectory()) throw new DotphaseError(what, path, 'a file, not a folder');
  if (found && !found.isFile())
    throw new DotphaseError(what, path, 'an ordinary file, not a device or a pipe');
  if (!found && mustExist) throw new DotphaseError(what, path, `a ${what}: there is no such file`);
  if (!found && !existsSync(dirname(path)))
    throw new DotphaseError(what, path, `a file in a folder that exists: there is no ${dirname(path)}`);
}

/**
 * What opens files with SQLite. A name that begins with "file:" would be an address with options: it takes whole paths.
 *
 * @param what - what the file holds, for errors: `log`
 * @throws DotphaseError where there is no SQLite, or the path is no file name
 */
export async function connector(path: string, what: string): Promise<{ connect: Connect; whole: string }> {
  requireFileName(path, what);
  const { DatabaseSync: Database } = await loadSqlite();
  return {
    connect: (file, readOnly) => new Database(file, { readOnly, timeout: BUSY_TIMEOUT }),
    whole: resolve(path),
  };
}
