/** Files that are opened as a log on disk. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { logEntries } from '../../../src/records/index.js';
import { openSqliteLog } from '../../../src/records/sqlite/index.js';
import { orRefused, orRefusedLater, type Target } from '../target.js';

let folder: string | undefined;
const clock = () => 1000;

async function emptyLog(): Promise<Uint8Array> {
  folder ??= mkdtempSync(join(tmpdir(), 'dotphase-fuzz-'));
  const path = join(folder, 'seed.log');
  const made = await openSqliteLog(path, { clock });
  made.add({
    direction: 'sent',
    symbols: [1, 2],
    kind: 'testCall',
    text: 'A call.',
    call: { kind: 'testCall' },
  });
  made.close();
  const bytes = readFileSync(path);
  for (const end of ['', '-wal', '-shm']) rmSync(path + end, { force: true });
  return bytes;
}

const EMPTY_LOG = await emptyLog();

export const logFile: Target = {
  name: 'log-file',
  seeds: () => [EMPTY_LOG, new TextEncoder().encode('SQLite format 3\u0000'), new Uint8Array()],
  words: ['CREATE TABLE', 'calls', 'SQLite format 3', 'INTEGER', 'symbols'],
  maxBytes: EMPTY_LOG.length,
  limitMs: () => 500,
  limitMiB: 64,
  async run(input) {
    const path = join(folder ?? '', 'input.log');
    for (const end of ['', '-wal', '-shm']) rmSync(path + end, { force: true });
    writeFileSync(path, input);
    const opened = await orRefusedLater(() => openSqliteLog(path, { clock }));
    if (!opened) return;
    try {
      orRefused(() => [...logEntries(opened)]);
      orRefused(() => opened.add({ direction: 'sent', symbols: [1], kind: 'x', text: 'x', call: null }));
      orRefused(() => opened.get(1));
    } finally {
      opened.close();
    }
  },
};
