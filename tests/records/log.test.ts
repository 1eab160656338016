import { spawn, spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
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
import * as photostructure from '@photostructure/sqlite';
import { build } from 'esbuild';
import fc from '../property.js';
import Papa from 'papaparse';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import {
  callEntry,
  createMemoryLog,
  logEntries,
  logToCsv,
  logToJsonLines,
  receivedEntry,
  type CallLog,
  type LogEntry,
  type LogFilter,
  type NewLogEntry,
} from '../../src/records/index.js';
import { openCopy, openDatabase } from '../../src/records/sqlite/database.js';
import { openHeardStore, openSqliteLog } from '../../src/records/sqlite/index.js';
import { refusal } from '../../src/records/sqlite/refusal.js';
import { sized } from '../size.js';

// The same SQLite as the log's: locks of one process do not keep two copies of the library apart.
const builtIn = (process as Partial<NodeJS.Process>).getBuiltinModule?.('node:sqlite') as
  typeof photostructure | undefined;
const { DatabaseSync } = builtIn ?? photostructure;

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
      symbols: encodeCall(TEST_CALL).symbols,
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

  it('notes that a sending was broken off', () => {
    const { id } = log.add(entry({ direction: 'sent' }));
    expect(log.get(id)).not.toHaveProperty('stopped');
    expect(log.stop(id)).toMatchObject({ id, direction: 'sent', stopped: true });
    expect(log.list()).toEqual([log.get(id)]);
    expect(() => log.stop(2)).toThrow(/id: got 2, expected the id of a logged call/);
  });

  it('tells what was made from what was sent', () => {
    log.add(entry({ direction: 'made', file: 'alert.wav' }));
    log.add(entry({ direction: 'sent' }));
    expect(log.list({ direction: 'made' })).toMatchObject([{ id: 1, direction: 'made', file: 'alert.wav' }]);
  });

  it('keeps how a call was received', () => {
    const reading = {
      call: TEST_CALL,
      symbols: encodeCall(TEST_CALL).symbols,
      certainty: encodeCall(TEST_CALL).symbols.map(() => 1),
      quality: 'recovered',
    } as const;
    const facts = { time: NOON + 0.4, frequencyHz: 2_187_500.4, file: 'evening.wav' };
    expect(log.add(receivedEntry({ ...reading, snrDb: -7.25, errorProbability: 3e-5 }, facts))).toMatchObject(
      {
        time: NOON,
        direction: 'received',
        frequencyHz: 2_187_500,
        quality: 'recovered',
        snrDb: -7.25,
        errorProbability: 3e-5,
        file: 'evening.wav',
      },
    );
    const unknown = log.add(receivedEntry({ ...reading, snrDb: -Infinity, errorProbability: 1 }, {}));
    expect(unknown).not.toHaveProperty('snrDb');
    expect(unknown).not.toHaveProperty('file');
  });

  const RECORDING = 'a1'.repeat(32);
  /** A reading of one of five sendings, 7.2 s apart. */
  const sending = (n: number, change: Partial<NewLogEntry> = {}) =>
    entry({
      time: NOON + 7200 * n,
      recording: RECORDING,
      offset: 3 + 7.2 * n,
      quality: 'doubtful',
      errorProbability: 0.5,
      symbols: [112, null, 127],
      text: 'ship ???',
      ...change,
    });
  const SURE = {
    quality: 'clean',
    errorProbability: 1e-9,
    symbols: [112, 29, 127],
    text: 'ship 29',
    from: SHIP,
  };

  it('holds the sendings of one attempt in one entry, as the surest was read', () => {
    const { id } = log.add(sending(0, { snrDb: -9, file: 'a.wav' }));
    expect(log.get(id)).not.toHaveProperty('sendings');
    log.addSending(id, sending(1, { ...SURE, snrDb: 2 }));
    log.acknowledge(id, NOON + 9000);
    const last = log.addSending(id, sending(4));
    const facts = { quality: 'doubtful', errorProbability: 0.5 };
    expect(last).toMatchObject({
      ...{ id, time: NOON, offset: 3, file: 'a.wav', acknowledgedAt: NOON + 9000 },
      ...SURE,
      snrDb: 2,
      sendings: [
        { time: NOON, offset: 3, snrDb: -9, ...facts },
        { time: NOON + 7200, offset: 10.2, snrDb: 2, quality: 'clean', errorProbability: 1e-9 },
        { time: NOON + 28_800, offset: 31.8, ...facts },
      ],
    });
    expect(log.list()).toEqual([last]);
    (last.sendings as unknown[]).pop();
    expect(log.get(id)?.sendings).toHaveLength(3);
    expect(log.stop(id)).toMatchObject({ stopped: true, acknowledgedAt: NOON + 9000 });
    expect(() => log.addSending(9, sending(2))).toThrow(/id: got 9, expected the id of a logged call/);
  });

  it('gives a call with other characters, and a 101st sending, an entry of its own', () => {
    const { id } = log.add(entry());
    expect(log.addSending(id, entry({ symbols: [120, 126] })).id).toBe(2);
    for (let n = 1; n < 100; n++) expect(log.addSending(id, entry({ time: NOON + n })).id).toBe(id);
    expect(log.addSending(id, entry()).id).toBe(3);
    expect(log.list().map((each) => each.sendings?.length)).toEqual([100, undefined, undefined]);
  });

  it('logs nothing of a recording twice', () => {
    const { id } = log.add(sending(0));
    log.addSending(id, sending(1, SURE));
    const before = log.list();
    // Read again, under another name, a little elsewhere, alone or with others.
    expect(log.add(sending(0, { file: 'other.wav', offset: 3.09 })).id).toBe(id);
    expect(log.addSending(id, sending(1)).id).toBe(id);
    expect(log.add(sending(1, { frequencyHz: 2_187_500 })).id).toBe(id);
    expect(log.list()).toEqual(before);
    expect(log.list({ recording: RECORDING })).toEqual(before);
    expect(log.list({ recording: 'b2'.repeat(32) })).toEqual([]);
    // What the first reading did not come to, as where it was stopped, is added.
    expect(log.addSending(id, sending(2)).sendings).toHaveLength(3);
    expect(() => log.list({ recording: 'evening.wav' })).toThrow(/filter\.recording.*64 hexadecimal digits/);
  });

  it('takes for another call what has another place, other characters or no recording', () => {
    log.add(sending(0, { frequencyHz: 2_187_500 }));
    log.add(sending(0, { frequencyHz: 8_414_500 }));
    log.add(sending(0, { recording: 'b2'.repeat(32) }));
    log.add(sending(0, { offset: 3.2 }));
    log.add(sending(0, { symbols: [116, null, 127] }));
    const { recording, ...live } = sending(0);
    log.add(live);
    log.add(live);
    expect(log.list().map(({ id }) => id)).toEqual([1, 2, 3, 4, 5, 6, 7]);
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
    [{ snrDb: NaN }, 'entry.snrDb'],
    [{ errorProbability: 1.5 }, 'entry.errorProbability'],
    [{ file: 'x'.repeat(4097) }, 'entry.file'],
    [{ stopped: true }, 'entry.stopped'],
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
      direction: fc.constantFrom('made' as const, 'sent' as const, 'received' as const),
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
      direction: fc.constantFrom('made' as const, 'sent' as const, 'received' as const),
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
    const { database, close } = await openDatabase(file(), false);
    const pragma = (name: string): unknown => database.prepare(`PRAGMA ${name}`).get();
    expect(pragma('journal_mode')).toMatchObject({ journal_mode: 'wal' });
    // 2 is FULL (SQLite documentation of "PRAGMA synchronous").
    expect(pragma('synchronous')).toMatchObject({ synchronous: 2 });
    close();
  });

  it('is read where nothing can be written beside it', async () => {
    const log = await openSqliteLog(file(), { clock });
    log.add(entry({ text: 'kept' }));
    const beside = readdirSync(folder);
    let where = '';
    const copy = openCopy((path) => {
      where = path;
      return new DatabaseSync(path);
    }, file());
    expect(copy.database.prepare('SELECT text FROM calls').all()).toEqual([{ text: 'kept' }]);
    expect(where).not.toBe(file());
    copy.close();
    expect(existsSync(where)).toBe(false);
    expect(readdirSync(folder)).toEqual(beside);
    log.close();
  });

  it('brings a log of version 1 up to date when it is written, and reads it as it is', async () => {
    const old = new DatabaseSync(file());
    // The table as version 1 made it.
    old.exec(`
      CREATE TABLE calls (
        id INTEGER PRIMARY KEY AUTOINCREMENT, time INTEGER NOT NULL,
        direction TEXT NOT NULL CHECK (direction IN ('sent', 'received')),
        frequencyHz INTEGER, quality TEXT, symbols TEXT NOT NULL, kind TEXT NOT NULL,
        "from" TEXT, "to" TEXT, casualty TEXT, text TEXT NOT NULL, call TEXT NOT NULL, acknowledgedAt INTEGER
      ) STRICT;
      CREATE INDEX calls_by_time ON calls (time, id);
      PRAGMA application_id = 0x44504c47;
      PRAGMA user_version = 1;
      INSERT INTO calls VALUES (7, ${NOON}, 'sent', 2187500, NULL, '[120,127]', 'testCall', '${SHIP}', '${COAST}',
        NULL, 'an old call', '{}', ${NOON + 9000});
    `);
    old.close();
    const found = {
      ...{ id: 7, time: NOON, direction: 'sent', frequencyHz: 2_187_500, symbols: [120, 127] },
      ...{
        kind: 'testCall',
        from: SHIP,
        to: COAST,
        text: 'an old call',
        call: {},
        acknowledgedAt: NOON + 9000,
      },
    };
    const before = readFileSync(file());
    const reader = await openSqliteLog(file(), { clock, readonly: true });
    expect(reader.list()).toEqual([found]);
    reader.close();
    expect(readFileSync(file()).equals(before)).toBe(true);
    const writer = await openSqliteLog(file(), { clock });
    expect(writer.list()).toEqual([found]);
    expect(writer.add(entry({ direction: 'made', snrDb: 3, errorProbability: 0.5, file: 'a.wav' })).id).toBe(
      8,
    );
    expect(writer.stop(7).stopped).toBe(true);
    writer.close();
    const again = await openSqliteLog(file(), { clock });
    expect(again.list().map(({ id }) => id)).toEqual([7, 8]);
    again.close();
  });

  it('brings a log of version 2 up to date, with all that stands in it', async () => {
    const old = new DatabaseSync(file());
    old.exec(`
      CREATE TABLE calls (
        id INTEGER PRIMARY KEY AUTOINCREMENT, time INTEGER NOT NULL,
        direction TEXT NOT NULL CHECK (direction IN ('made', 'sent', 'received')),
        stopped INTEGER CHECK (stopped = 1), frequencyHz INTEGER, quality TEXT, snrDb REAL, errorProbability REAL,
        file TEXT, symbols TEXT NOT NULL, kind TEXT NOT NULL, "from" TEXT, "to" TEXT, casualty TEXT,
        text TEXT NOT NULL, call TEXT NOT NULL, acknowledgedAt INTEGER
      ) STRICT;
      CREATE INDEX calls_by_time ON calls (time, id);
      PRAGMA application_id = 0x44504c47;
      PRAGMA user_version = 2;
      INSERT INTO calls VALUES (3, ${NOON}, 'received', NULL, NULL, 'clean', -7.5, 3e-5, 'a.wav', '[120,127]', 'testCall',
        '${SHIP}', '${COAST}', NULL, 'an old call', '{}', NULL);
    `);
    old.close();
    const found = {
      ...{ id: 3, time: NOON, direction: 'received', quality: 'clean', snrDb: -7.5, errorProbability: 3e-5 },
      ...{
        file: 'a.wav',
        symbols: [120, 127],
        kind: 'testCall',
        from: SHIP,
        to: COAST,
        text: 'an old call',
        call: {},
      },
    };
    const log = await openSqliteLog(file(), { clock });
    expect(log.list()).toEqual([found]);
    expect(log.addSending(3, entry({ time: NOON + 7000 })).sendings).toEqual([
      { time: NOON, quality: 'clean', snrDb: -7.5, errorProbability: 3e-5 },
      { time: NOON + 7000 },
    ]);
    log.close();
  });

  it('logs a sending once, whichever of two programs reads the recording', async () => {
    const logs = await Promise.all([1, 2].map(() => openSqliteLog(file(), { clock })));
    const reading = entry({ recording: 'a1'.repeat(32), offset: 0.3 });
    for (const log of logs) expect(log.add(reading).id).toBe(1);
    const later = { ...reading, offset: 7.5 };
    for (const log of logs) expect(log.addSending(1, later).sendings).toHaveLength(2);
    for (const log of logs) log.close();
  });

  it('says why it cannot be used: another program holds it, an entry is damaged, the disk is full', async () => {
    const store = await openHeardStore(file(), { clock });
    const log = store.calls;
    log.add(entry());
    const other = new DatabaseSync(file());
    other.exec('BEGIN IMMEDIATE');
    store.waitForOthers(false);
    expect(() => log.add(entry())).toThrow(/expected a log that is free: another program is writing into it/);
    other.exec('ROLLBACK');
    log.add(entry());
    other.exec(`UPDATE calls SET symbols = '[1,' WHERE id = 2`);
    other.close();
    expect(() => log.list()).toThrow(/expected a log that is whole: entry 2 is damaged/);
    log.close();
    const words = (errcode: number) =>
      refusal('x.db', 'log', Object.assign(new Error('no'), { errcode })).message;
    // Result codes of SQLite ("Result and Error Codes"): 13 is FULL, 8 READONLY, 1032 READONLY_DBMOVED, 26 NOTADB.
    expect(words(13)).toBe('log: got "x.db", expected room for the log: the disk is full');
    for (const code of [8, 1032]) expect(words(code)).toContain('for reading only');
    expect(words(26)).toContain('a file of another kind');
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
    newer.exec('PRAGMA user_version = 6');
    newer.close();
    await expect(opening(file())).rejects.toThrow(/version 5 or before, not 6/);

    await expect(opening(file('absent.db'), true)).rejects.toThrow(DotphaseError);
    expect(existsSync(file('absent.db'))).toBe(false);
    await expect(opening(file('absent.db'), true)).rejects.toThrow(/there is no such file/);
    await expect(opening(join(folder, 'no', 'folder.db'))).rejects.toThrow(/a folder that exists/);
    await expect(opening(folder)).rejects.toThrow(/a file, not a folder/);
    await expect(opening('/dev/null')).rejects.toThrow(/an ordinary file/);
    await expect(opening(file('text'))).rejects.toThrow(/a file of another kind/);
    for (const path of ['', ':memory:', 'a\0b', undefined] as unknown[]) {
      await expect(opening(path as string)).rejects.toThrow(/log: got .* a file name/);
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
    const open = (before: string, more = '') => {
      const program = `${before}
        import { openSqliteLog } from './log.mjs';
        const log = await openSqliteLog('calls.db', { clock: Date.now${more} });
        console.log(log.list().length);
        log.close();`;
      writeFileSync(file('open.mjs'), program);
      return spawnSync(process.execPath, ['open.mjs'], { cwd: folder, encoding: 'utf8' });
    };

    it('leaves no file behind, and the log as it was, where it was only read', () => {
      writeFileSync(
        file('write.mjs'),
        `import { openSqliteLog } from './log.mjs';
        const log = await openSqliteLog('calls.db', { clock: Date.now });
        log.add({ direction: 'sent', symbols: [112], kind: 'test', text: 'x', call: {} });
        log.close();`,
      );
      symlinkSync(fileURLToPath(new URL('../../node_modules', import.meta.url)), file('node_modules'));
      spawnSync(process.execPath, ['write.mjs'], { cwd: folder });
      const bytes = readFileSync(file());
      for (let round = 0; round < 2; round++) {
        expect(open('', ', readonly: true')).toMatchObject({ status: 0, stdout: '1\n' });
        const left = readdirSync(folder).filter((name) => name.startsWith('calls'));
        expect(left).toEqual(['calls.db']);
      }
      expect(readFileSync(file()).equals(bytes)).toBe(true);
    });

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

    // Two writers at a time, killed after 1 to 61 ids: 4 rounds wait for 1 + 4 + 7 + 10 and 61 + 55 + 49 + 43 reports,
    // 10 rounds for 1 + 4 + … + 28 and 61 + 55 + … + 7.
    const [rounds, waited] = sized([4, 22 + 208], [10, 145 + 340]);
    for (let round = 0; round < rounds; round++) {
      await Promise.all([runAndKill(`${round}a`, 1 + 3 * round), runAndKill(`${round}b`, 61 - 6 * round)]);
    }

    const log = await openSqliteLog(file(), { clock });
    const found = new Map(log.list().map(({ id, text }) => [id, text]));
    log.close();
    expect(reported.length).toBeGreaterThanOrEqual(waited);
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
      'id,time,direction,stopped,category,kind,nature,from,to,casualty,latitude,longitude,positionTime,frequencyHz,voiceReceiveHz,voiceTransmitHz,quality,snrDb,errorProbability,file,recording,offset,sendings,sendingOffsets,sendingTimes,acknowledged,text,symbols,call,timeSource,input,sameAs,multiFrequencyAttempt',
      `1,2031-05-17T12:00:00.000Z,sent,,safety,testCall,,299 123 456,00 299 1234,,,,,2187500,,,,,,,,,,,,2031-05-17T12:00:09.000Z,"a ""call"", \u00e0 la carte",120 127,"{""kind"":""testCall"",""to"":{""station"":""002991234""},""self"":""299123456""}",,,,`,
      '',
    ]);
  });

  const ALERT: Call = {
    kind: 'distressAlert',
    self: SHIP,
    nature: 'flooding',
    // 48°12′N 012°45′W
    position: { latitude: 48.2, longitude: -12.75 },
    time: '09:30',
    followOn: 'j3e',
  };

  it('gives what programs need as numbers: position, voice frequency, strength and chance of error', () => {
    const log = createMemoryLog({ clock });
    const reading = {
      call: ALERT,
      symbols: encodeCall(ALERT).symbols,
      certainty: encodeCall(ALERT).symbols.map(() => 1),
      quality: 'recovered',
    } as const;
    const facts = { frequencyHz: 8_414_500, file: '-1.wav' };
    const entries = [log.add(receivedEntry({ ...reading, snrDb: -7.25, errorProbability: 3e-5 }, facts))];
    const [line] = [...logToJsonLines(entries)];
    expect(line.endsWith('}\n')).toBe(true);
    expect(JSON.parse(line)).toEqual({
      id: 1,
      time: '2031-05-17T12:00:00.000Z',
      direction: 'received',
      category: 'distress',
      kind: 'distressAlert',
      nature: 'flooding',
      from: SHIP,
      to: 'all ships',
      latitude: 48.2,
      longitude: -12.75,
      positionTime: '09:30',
      frequencyHz: 8_414_500,
      // 8291 kHz is the voice frequency of 8414.5 kHz (M.541 Annex 4, from memory).
      voiceReceiveHz: 8_291_000,
      voiceTransmitHz: 8_291_000,
      quality: 'recovered',
      snrDb: -7.25,
      errorProbability: 3e-5,
      file: '-1.wav',
      sendings: 1,
      text: entries[0].text,
      symbols: encodeCall(ALERT).symbols,
      call: ALERT,
    });
    const [header, row] = Papa.parse<string[]>([...logToCsv(entries)].join('')).data;
    expect(Object.fromEntries(header.map((name, i) => [name, row[i]]))).toMatchObject({
      latitude: '48.2',
      longitude: '-12.75',
      snrDb: '-7.25',
      errorProbability: '0.00003',
      from: '299 123 456',
      // A file's name that a spreadsheet would take for a formula.
      file: "'-1.wav",
    });
  });

  it('gives the recording, where the call is in it, and when each of its sendings began', () => {
    const log = createMemoryLog({ clock });
    const recording = 'a1'.repeat(32);
    log.add(entry({ recording, offset: 3.5 }));
    const entries = [log.addSending(1, entry({ recording, offset: 10.75, time: NOON + 7250 }))];
    const times = ['2031-05-17T12:00:00.000Z', '2031-05-17T12:00:07.250Z'];
    const [line] = [...logToJsonLines(entries)];
    expect(JSON.parse(line)).toMatchObject({
      recording,
      offset: 3.5,
      sendings: 2,
      sendingOffsets: [3.5, 10.75],
      sendingTimes: times,
    });
    const [header, row] = Papa.parse<string[]>([...logToCsv(entries)].join('')).data;
    expect(Object.fromEntries(header.map((name, i) => [name, row[i]]))).toMatchObject({
      ...{
        recording,
        offset: '3.5',
        sendings: '2',
        sendingOffsets: '3.5 10.75',
        sendingTimes: times.join(' '),
      },
    });
  });

  it('reads the place out of a position report, and gives up on what is no call', () => {
    const message = { position: { latitude: -0.5, longitude: 20.25 }, time: '23:59' };
    const [report, odd] = [{ kind: 'positionReport', message }, 'no call'].map((call) => {
      const [line] = [...logToJsonLines([full({ call })])];
      return JSON.parse(line) as Record<string, unknown>;
    });
    expect(report).toMatchObject({ latitude: -0.5, longitude: 20.25, positionTime: '23:59' });
    expect(odd).toMatchObject({ kind: 'testCall', call: 'no call' });
    for (const absent of ['category', 'latitude', 'voiceReceiveHz']) expect(odd).not.toHaveProperty(absent);
  });

  // Cells that spreadsheets run as formulas: =, +, -, @, tab, carriage return (OWASP, "CSV Injection").
  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', "'=1", '\uff1d1'])(
    'makes %j plain text',
    (text) => {
      const [, row] = Papa.parse<string[]>([...logToCsv([full({ text })])].join('')).data;
      expect(row[26]).toBe(`'${text}`);
    },
  );

  it('writes a line of JSON for each call', () => {
    const lines = [...logToJsonLines([full(), full({ text: 'b' })])].join('').trimEnd().split('\n');
    expect(lines.map((line) => (JSON.parse(line) as LogEntry).text)).toEqual([full().text, 'b']);
    expect([...logToJsonLines([])]).toEqual([]);
  });
});
