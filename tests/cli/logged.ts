/** What stands in a log. */
import { existsSync } from 'node:fs';
import { logEntries, logToJsonLines } from '../../src/records/index.js';
import { openSqliteLog } from '../../src/records/sqlite/index.js';

type Row = Record<string, unknown>;

/** What `dotphase log --json` prints of a log; nothing where none was made. */
export async function loggedIn(path: string): Promise<Row[]> {
  if (!existsSync(path)) return [];
  const log = await openSqliteLog(path, { clock: Date.now, readonly: true });
  const rows = Array.from(logToJsonLines(logEntries(log)), (line) => JSON.parse(line) as Row);
  log.close();
  return rows;
}

/** The calls of a log: seconds of the recording, sendings, text. */
export async function heardIn(log: string): Promise<string[]> {
  const opened = await openSqliteLog(log, { clock: Date.now, readonly: true });
  const entries = opened.list().map(({ text, offset, sendings }) => {
    return `${offset?.toFixed(1)} × ${sendings?.length ?? 1} ${text}`;
  });
  opened.close();
  return entries.sort();
}
