import { spawn, spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { DatabaseSync } from '@photostructure/sqlite';
import { build } from 'esbuild';
import fc from 'fast-check';
import Papa from 'papaparse';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import {
  callEntry,
  createMemoryLog,
  logEntries,
  logToCsv,
  logToJson,
  type CallLog,
  type LogEntry,
  type LogFilter,
  type NewLogEntry,
} from '../../src/records/index.js';
import { openDatabase } from '../../src/records/sqlite/database.js';
import { openSqliteLog } from '../../src/records/sqlite/index.js';

const SHIP = '299123456';
const COAST = '002991234';
const NOON = Date.UTC(2031, 4, 17, 12, 0, 0);
const TEST_CALL: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };

const CYCLE: { self?: unknown } = {};
CYCLE.self = CYCLE;

let folder: string;
let now: number;
const clock = () => now;
const file = (name = 'calls.db') => join(folder, name);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-log-'));
  now = NOON;
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

function entry(change: Partial<NewLogEntry> = {}): NewLogEntry {
  return {
    direction: 'received',
    symbols: [120, 127],
    kind: 'testCall',
    text: 'a call',
    call: {},
    ...change,
  };
}

describe.each([
  ['memory', () => Promise.resolve(createMemoryLog({ clock }))],
  ['SQLite', () => openSqliteLog(file(), { clock })],
])('a log in %s', (_name, open) => {
  let log: CallLog;
  beforeEach(async () => {
    log = await open();
  });
  afterEach(() => {
    log.close();
  });

  it('keeps a call as it was handed over', () => {
    const added = log.add(callEntry(TEST_CALL, { direction: 'sent', frequencyHz: 2_187_500 }));
    expect(added).toEqual({
      id: 1,
      time: NOON,
      direction: 'sent',
      frequencyHz: 2_187_500,
      symbols: encodeCall(TEST_CALL),
      kind: 'testCall',
      from: SHIP,
      to: COAST,
      text: added.text,
      call: TEST_CALL,
    });
    expect(added.text).toMatch(/test call/i);
    expect(log.get(1)).toEqual(added);
    expect(log.list()).toEqual([added]);
  });

  it('keeps nothing that the caller can change', () => {
    const call = { a: [1] };
    const symbols = [1, 2];
    const added = log.add(entry({ call, symbols }));
    call.a.push(2);
    symbols.push(3);
    (added.call as { a: number[] }).a.push(3);
    expect(log.get(1)).toMatchObject({ call: { a: [1] }, symbols: [1, 2] });
  });

  it('notes the first acknowledgement', () => {
    const { id } = log.add(entry());
    now += 5000;
    expect(log.acknowledge(id).acknowledgedAt).toBe(NOON + 5000);
    expect(log.acknowledge(id, NOON + 9000).acknowledgedAt).toBe(NOON + 5000);
    expect(log.get(id)?.acknowledgedAt).toBe(NOON + 5000);
    for (const unknown of [0, 2, -1, 1.5, NaN]) {
      expect(() => log.acknowledge(unknown)).toThrow(/id: got .* the id of a logged call/);
      expect(log.get(unknown)).toBeUndefined();
    }
  });

  it('filters by kind, identity, direction and time', () => {
    log.add(entry({ time: NOON + 3, kind: 'distressRelay', from: COAST, to: 'all ships', casualty: SHIP }));
    log.add(entry({ time: NOON + 1, from: SHIP, to: COAST, direction: 'sent' }));
    log.add(entry({ time: NOON + 2, from: '299000111', to: SHIP }));
    const ids = (filter: LogFilter) => log.list(filter).map(({ id }) => id);
    expect(ids({})).toEqual([2, 3, 1]);
    expect(ids({ newestFirst: true })).toEqual([1, 3, 2]);
    expect(ids({ kind: 'testCall' })).toEqual([2, 3]);
    expect(ids({ identity: SHIP })).toEqual([2, 3, 1]);
    expect(ids({ identity: COAST })).toEqual([2, 1]);
    expect(ids({ direction: 'sent' })).toEqual([2]);
    expect(ids({ since: NOON + 2 })).toEqual([3, 1]);
    expect(ids({ until: NOON + 2 })).toEqual([2]);
    expect(ids({ limit: 1 })).toEqual([2]);
    expect(ids({ limit: 1, newestFirst: true, after: { id: 1, time: NOON + 3 } })).toEqual([3]);
    expect(ids({ limit: 0 })).toEqual([]);
    expect(ids({ kind: undefined, after: undefined, limit: undefined } as object)).toEqual([2, 3, 1]);
  });

  it.each([
    [{ direction: 'sideways' }, 'entry.direction'],
    [{ symbols: [1, 128] }, 'entry.symbols[1]'],
    [{ symbols: 'x' }, 'entry.symbols'],
    [{ frequencyHz: 2187.5 }, 'entry.frequencyHz'],
    [{ time: -1 }, 'entry.time'],
    [{ text: undefined }, 'entry.text'],
    [{ text: '\ud800' }, 'entry.text'],
    [{ text: 'a\0b' }, 'entry.text'],
    [{ text: 'x'.repeat(20_001) }, 'entry.text'],
    [{ call: undefined }, 'entry.call'],
    [{ call: CYCLE }, 'entry.call'],
    [{ surplus: 1 }, 'entry.surplus'],
  ])('refuses %j, naming %s', (change, field) => {
    const bad = { ...entry(), ...change } as NewLogEntry;
    expect(() => log.add(bad)).toThrow(expect.objectContaining({ name: 'DotphaseError', field }) as Error);
    expect(log.list()).toEqual([]);
  });

  it.each([
    [{ identity: '299 123 456' }, 'filter.identity'],
    [{ limit: -1 }, 'filter.limit'],
    [{ since: '2031' }, 'filter.since'],
    [{ kinds: 'testCall' }, 'filter.kinds'],
    [{ direction: "' OR 1=1" }, 'filter.direction'],
  ])('refuses to list by %j, naming %s', (filter, field) => {
    expect(() => log.list(filter as LogFilter)).toThrow(
      expect.objectContaining({ name: 'DotphaseError', field }) as Error,
    );
  });
});

describe('the two logs', () => {
  const identity = fc.constantFrom(SHIP, COAST, '299000111');
  const someEntry: fc.Arbitrary<NewLogEntry> = fc.record(
    {
      time: fc.integer({ min: NOON, max: NOON + 5 }),
      direction: fc.constantFrom('sent' as const, 'received' as const),
      frequencyHz: fc.integer({ min: 400_000, max: 200_000_000 }),
      quality: fc.constantFrom('clean', 'doubtful'),
      symbols: fc.array(fc.integer({ min: 0, max: 127 }), { maxLength: 5 }),
      kind: fc.constantFrom('testCall', 'distressAlert'),
      from: identity,
      to: identity,
      casualty: identity,
      text: fc.string({ unit: 'grapheme' }),
      call: fc.jsonValue(),
    },
    { requiredKeys: ['time', 'direction', 'symbols', 'kind', 'text', 'call'] },
  );
  const someFilter: fc.Arbitrary<LogFilter> = fc.record(
    {
      kind: fc.constantFrom('testCall', 'distressAlert'),
      identity,
      direction: fc.constantFrom('sent' as const, 'received' as const),
      since: fc.integer({ min: NOON, max: NOON + 5 }),
      until: fc.integer({ min: NOON, max: NOON + 5 }),
      limit: fc.integer({ min: 0, max: 5 }),
      newestFirst: fc.boolean(),
      after: fc.record({
        id: fc.integer({ min: 1, max: 5 }),
        time: fc.integer({ min: NOON, max: NOON + 5 }),
      }),
    },
    { requiredKeys: [] },
  );

  it('answer alike', async () => {
    const durable = await openSqliteLog(file(), { clock });
    const memory = createMemoryLog({ clock });
    fc.assert(
      fc.property(someEntry, fc.array(someFilter, { maxLength: 3 }), (given, filters) => {
        expect(durable.add(given)).toEqual(memory.add(given));
        for (const filter of filters) expect(durable.list(filter)).toEqual(memory.list(filter));
      }),
      { numRuns: 100 },
    );
    durable.close();
  });

  it('are read page by page without gaps', () => {
    const log = createMemoryLog({ clock });
    for (let i = 0; i < 2500; i++) log.add(entry({ time: NOON + (i % 7) }));
    const ids = [...logEntries(log)].map(({ id }) => id);
    expect(ids).toEqual(log.list().map(({ id }) => id));
    expect([...logEntries(log, { limit: 1700, newestFirst: true })].map(({ id }) => id)).toEqual(
      [...ids].reverse().slice(0, 1700),
    );
    expect([...logEntries(log, { limit: 0 })]).toEqual([]);
  });
});

describe('the durable log', () => {
  it('is there after closing, for other readers too', async () => {
    const log = await openSqliteLog(file(), { clock });
    log.add(entry({ text: 'first' }));
    const reader = await openSqliteLog(file(), { clock, readonly: true });
    log.add(entry({ text: 'second' }));
    expect(reader.list().map(({ text }) => text)).toEqual(['first', 'second']);
    expect(() => reader.add(entry())).toThrow(DotphaseError);
    expect(() => reader.acknowledge(1)).toThrow(DotphaseError);
    reader.close();
    log.close();
    const again = await openSqliteLog(file(), { clock });
    expect(again.add(entry()).id).toBe(3);
    again.close();
    again.close();
  });

  it('takes no name for an address with options', async () => {
    const before = process.cwd();
    process.chdir(folder);
    const log = await openSqliteLog('file:calls.db?mode=memory', { clock });
    process.chdir(before);
    log.close();
    expect(existsSync(file('file:calls.db?mode=memory'))).toBe(true);
  });

  it('synchronises every commit', async () => {
    const database = await openDatabase(file(), false);
    const pragma = (name: string): unknown => database.prepare(`PRAGMA ${name}`).get();
    expect(pragma('journal_mode')).toMatchObject({ journal_mode: 'wal' });
    // 2 is FULL (SQLite documentation of "PRAGMA synchronous").
    expect(pragma('synchronous')).toMatchObject({ synchronous: 2 });
    database.close();
  });

  it('refuses what is no log, and leaves it alone', async () => {
    const opening = (path: string, readonly = false) => openSqliteLog(path, { clock, readonly });
    writeFileSync(file('text'), 'x'.repeat(5000));
    await expect(opening(file('text'))).rejects.toThrow(DotphaseError);
    expect(readFileSync(file('text'), 'latin1')).toBe('x'.repeat(5000));

    const other = new DatabaseSync(file('other.db'));
    other.exec('CREATE TABLE things (a)');
    other.close();
    const before = readFileSync(file('other.db'));
    await expect(opening(file('other.db'))).rejects.toThrow(/not another database/);
    expect(readFileSync(file('other.db')).equals(before)).toBe(true);

    (await opening(file())).close();
    const newer = new DatabaseSync(file());
    newer.exec('PRAGMA user_version = 2');
    newer.close();
    await expect(opening(file())).rejects.toThrow(/version 1, not 2/);

    await expect(opening(file('absent.db'), true)).rejects.toThrow(DotphaseError);
    expect(existsSync(file('absent.db'))).toBe(false);
    await expect(opening(join(folder, 'no', 'folder.db'))).rejects.toThrow(DotphaseError);
    for (const path of ['', ':memory:', 'a\0b', undefined] as unknown[]) {
      await expect(opening(path as string)).rejects.toThrow(/path: got .* a file name/);
    }
  });

  describe('opened by a program', () => {
    beforeEach(async () => {
      await build({
        entryPoints: [fileURLToPath(new URL('../../src/records/sqlite/index.ts', import.meta.url))],
        outfile: file('log.mjs'),
        bundle: true,
        platform: 'node',
        format: 'esm',
        external: ['@photostructure/sqlite'],
        banner: {
          js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);",
        },
      });
    });
    const open = (before: string) => {
      const program = `${before}
        import { openSqliteLog } from './log.mjs';
        const log = await openSqliteLog('calls.db', { clock: Date.now });
        console.log(log.list().length);`;
      writeFileSync(file('open.mjs'), program);
      return spawnSync(process.execPath, ['open.mjs'], { cwd: folder, encoding: 'utf8' });
    };

    it('says what to install where there is no SQLite', () => {
      // The package is not to be found from this folder, and Node before 22.13 has none built in.
      const { stderr, status } = open('process.getBuiltinModule = undefined;');
      expect(status).toBe(1);
      expect(stderr).toMatch(
        /DotphaseError: SQLite: .*expected Node 22\.13 or later.* npm install @photostructure\/sqlite@1/,
      );
    });

    it.runIf(process.getBuiltinModule('node:sqlite'))("uses Node's own, without a warning", () => {
      expect(open('')).toMatchObject({ status: 0, stdout: '0\n', stderr: '' });
    });
  });

  it('keeps every whole entry when the file ends in the middle of a write', async () => {
    const log = await openSqliteLog(file(), { clock });
    const wal = `${file()}-wal`;
    const sizes: number[] = [];
    for (let i = 0; i < 12; i++) {
      log.add(entry({ text: `call ${i}` }));
      sizes.push(statSync(wal).size);
    }
    for (let cut = sizes[3]; cut <= sizes[11]; cut += 2503) {
      const path = file(`copy-${cut}.db`);
      copyFileSync(file(), path);
      copyFileSync(wal, `${path}-wal`);
      truncateSync(`${path}-wal`, cut);
      const copy = await openSqliteLog(path, { clock });
      expect(copy.list()).toHaveLength(sizes.filter((size) => size <= cut).length);
      copy.close();
    }
    log.close();
  });

  it('holds every id that a killed writer had reported', { timeout: 120_000 }, async () => {
    // Bundled, so that a writer starts fast; it finds its packages through the link.
    const writer = join(folder, 'writer.mjs');
    symlinkSync(fileURLToPath(new URL('../../node_modules', import.meta.url)), join(folder, 'node_modules'));
    await build({
      entryPoints: [fileURLToPath(new URL('fixtures/log-writer.ts', import.meta.url))],
      outfile: writer,
      bundle: true,
      platform: 'node',
      format: 'esm',
      packages: 'external',
    });
    const reported: string[] = [];

    /** Lets a writer report so many ids, kills it, and waits for all that it still got out. */
    const runAndKill = (name: string, ids: number) =>
      new Promise<void>((resolve, reject) => {
        const child = spawn(process.execPath, [writer, file(), name], {
          stdio: ['ignore', 'pipe', 'inherit'],
        });
        let left = ids;
        const lines = createInterface({ input: child.stdout });
        lines.on('line', (line) => {
          reported.push(line);
          if (--left === 0) child.kill('SIGKILL');
        });
        child.once('close', (_code, signal) => {
          if (signal === 'SIGKILL') resolve();
          else reject(new Error(`the writer ended by itself (${signal ?? 'no signal'})`));
        });
      });

    // Two writers at a time, killed after 1 to 61 ids.
    for (let round = 0; round < 10; round++) {
      await Promise.all([runAndKill(`${round}a`, 1 + 3 * round), runAndKill(`${round}b`, 61 - 6 * round)]);
    }

    const log = await openSqliteLog(file(), { clock });
    const found = new Map(log.list().map(({ id, text }) => [id, text]));
    log.close();
    // 1 + 4 + … + 28 and 61 + 55 + … + 7 reports were waited for.
    expect(reported.length).toBeGreaterThanOrEqual(145 + 340);
    for (const line of reported) {
      const [, id, text] = /^(\d+) (.*)$/.exec(line) ?? [];
      expect(found.get(Number(id)), line).toBe(text);
    }
    const database = new DatabaseSync(file(), { readOnly: true });
    expect(database.prepare('PRAGMA integrity_check').get()).toMatchObject({ integrity_check: 'ok' });
    database.close();
  });
});

describe('the entry of a call', () => {
  it('names the two ends and the casualty', () => {
    const distress = { nature: 'fire', position: 'none', time: 'none', followOn: 'j3e' } as const;
    const facts = { direction: 'received', quality: 'clean', time: NOON } as const;
    expect(callEntry({ kind: 'distressAlert', self: SHIP, ...distress }, facts)).toMatchObject({
      kind: 'distressAlert',
      from: SHIP,
      to: 'all ships',
      quality: 'clean',
      time: NOON,
    });
    const relay = { kind: 'distressRelay', self: COAST, casualty: SHIP, ...distress } as const;
    expect(callEntry({ ...relay, to: 'allShips' }, facts)).toMatchObject({ to: 'all ships', casualty: SHIP });
    const area = { latitude: 10, longitude: -20, south: 5, east: 5 };
    expect(callEntry({ ...relay, casualty: 'unknown', to: { area } }, facts)).toMatchObject({ to: 'area' });
    expect(callEntry({ ...relay, casualty: 'unknown', to: { area } }, facts)).not.toHaveProperty('casualty');
    const odd = callEntry({ kind: 'unassignedCall', symbols: [99, 127] }, facts);
    expect(odd).not.toHaveProperty('from');
    expect(odd).not.toHaveProperty('to');
  });
});

describe('export', () => {
  function full(change: Partial<NewLogEntry> = {}): LogEntry {
    const log = createMemoryLog({ clock });
    log.add({ ...callEntry(TEST_CALL, { direction: 'sent', frequencyHz: 2_187_500 }), ...change });
    return log.acknowledge(1, NOON + 9000);
  }

  it('writes CSV with one line for each call', () => {
    const csv = [...logToCsv([full({ text: 'a "call", \u00e0 la carte', symbols: [120, 127] })])].join('');
    expect(csv.split('\r\n')).toEqual([
      'id,time,direction,frequency Hz,kind,quality,from,to,casualty,acknowledged,text,symbols,call',
      `1,2031-05-17T12:00:00.000Z,sent,2187500,testCall,,299 123 456,00 299 1234,,2031-05-17T12:00:09.000Z,"a ""call"", \u00e0 la carte",120 127,"{""kind"":""testCall"",""to"":{""station"":""002991234""},""self"":""299123456""}"`,
      '',
    ]);
  });

  // Cells that spreadsheets run as formulas: =, +, -, @, tab, carriage return (OWASP, "CSV Injection").
  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', "'=1", '\uff1d1'])(
    'makes %j plain text',
    (text) => {
      const [, row] = Papa.parse<string[]>([...logToCsv([full({ text })])].join('')).data;
      expect(row[10]).toBe(`'${text}`);
    },
  );

  it('writes JSON that reads back', () => {
    const entries = [full(), full({ text: 'b' })];
    expect(JSON.parse([...logToJson(entries)].join(''))).toEqual(entries);
    expect(JSON.parse([...logToJson([])].join(''))).toEqual([]);
  });
});
