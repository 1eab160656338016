/**
 * The log file that commands write into.
 */
import type { CallLog } from '../../records/index.js';
import { openSqliteLog } from '../../records/sqlite/index.js';

/** What `--log` says of itself wherever a command takes it. */
export const LOG_FLAG = [
  '--log <file>',
  'SQLite file that the calls are logged in; made where it is missing',
] as const;

/**
 * Opens a log for writing, or nothing where no file is named.
 *
 * @throws DotphaseError when the file cannot be opened or is no log
 */
export async function openLog(path: string | undefined): Promise<CallLog | undefined> {
  return path === undefined ? undefined : openSqliteLog(path, { clock: Date.now });
}
