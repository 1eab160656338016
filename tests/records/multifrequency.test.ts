/**
 * A distress call sent once on each of several frequencies is one attempt: up to six calls, one after the other, within a minute
 * (M541-8 Annex 1 §3.1.3.2). An alert takes 7.2 s at 100 Bd.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from '@photostructure/sqlite';
import * as fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Call, DistressAlert } from '../../src/calls/index.js';
import {
  callEntry,
  createMemoryLog,
  logToCsv,
  logToJsonLines,
  multiFrequencySendings,
  type CallLog,
  type LogEntry,
  type NewLogEntry,
} from '../../src/records/index.js';
import { openHeardStore, openSqliteLog } from '../../src/records/sqlite/index.js';

const SHIP = '299123456';
const COAST = '002991234';
const NOON = Date.UTC(2031, 4, 17, 12);
const clock = () => NOON;
/** The six of MF and HF: Radio Regulations Appendix 15. */
const SIX = [2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500];
const RECORDING = 'a'.repeat(64);
const OTHER_RECORDING = 'b'.repeat(64);

const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'sinking',
  position: { latitude: 48.5, longitude: -30.25 },
  time: '11:58',
  followOn: 'j3e',
};
const { nature, position, time, followOn } = ALERT;
const distress = { nature, position, time, followOn };

/** A sending of a call, begun so many seconds after noon. */
function heard(
  hz: number,
  seconds: number,
  change: Partial<NewLogEntry> = {},
  call: Call = ALERT,
): NewLogEntry {
  return {
    ...callEntry(call, { direction: 'received', time: NOON + seconds * 1000, frequencyHz: hz }),
    timeSource: 'live',
    quality: 'clean',
    errorProbability: 1e-6,
    ...change,
  };
}

/** Which entries stand together: their frequencies and seconds after noon, in order of time. */
function attempts(log: CallLog): string[][] {
  const groups = new Map<number, LogEntry[]>();
  for (const entry of log.list()) {
    const key = entry.multiFrequencyAttempt ?? -entry.id;
    groups.set(key, [...(groups.get(key) ?? []), entry]);
  }
  return [...groups.values()].map((group) =>
    group.map(({ frequencyHz = 0, time }) => `${frequencyHz / 1000} at ${(time - NOON) / 1000}`),
  );
}

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'frequencies-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe.each<[string, () => Promise<CallLog>]>([
  ['in memory', () => Promise.resolve(createMemoryLog({ clock }))],
  ['on disk', () => openSqliteLog(join(folder, 'calls.db'), { clock })],
])('an alert on several frequencies, %s', (_where, open) => {
  let log: CallLog;
  beforeEach(async () => {
    log = await open();
  });
  afterEach(() => {
    log.close();
  });

  it('is one attempt of six sendings, told once, and each kept', () => {
    const ids = SIX.map((hz, n) => log.add(heard(hz, 9 * n)).id);
    expect(new Set(log.list().map(({ multiFrequencyAttempt: id }) => id))).toEqual(new Set([ids[0]]));
    const [shown, ...others] = log.list({ once: true, together: true });
    expect(others).toEqual([]);
    expect(multiFrequencySendings(log, shown).map(({ id }) => id)).toEqual(ids);
    expect(log.list({ once: true })).toHaveLength(6);
  });

  it('is one in whatever order its sendings come into the log', () => {
    const sent = SIX.map((hz, n) => heard(hz, 9 * n));
    fc.assert(
      fc.property(fc.shuffledSubarray(sent, { minLength: 2 }), (some) => {
        const other = createMemoryLog({ clock });
        for (const one of some) other.add(one);
        expect(attempts(other)).toHaveLength(1);
        for (const one of some) log.add(one);
      }),
      { numRuns: 50 },
    );
    expect(attempts(log).flat().length).toBeGreaterThan(100);
  });

  it('is one with a frequency missing, and none on one frequency alone', () => {
    expect(log.add(heard(SIX[0], 0)).multiFrequencyAttempt).toBeUndefined();
    log.add(heard(SIX[2], 17));
    log.add(heard(SIX[5], 52));
    expect(attempts(log)).toEqual([['2187.5 at 0', '6312 at 17', '16804.5 at 52']]);
  });

  it('begins anew where a frequency comes again, and after the 3.5 to 4.5 minutes of M.541', () => {
    SIX.forEach((hz, n) => log.add(heard(hz, 9 * n)));
    // Begun again by hand at once.
    SIX.slice(0, 2).forEach((hz, n) => log.add(heard(hz, 60 + 9 * n)));
    SIX.forEach((hz, n) => log.add(heard(hz, 260 + 9 * n)));
    expect(attempts(log).map((group) => group.length)).toEqual([6, 2, 6]);
    expect(log.list({ together: true })).toHaveLength(3);
  });

  it.each<[string, Partial<DistressAlert>]>([
    ['another ship', { self: '299654321' }],
    ['another position', { position: { latitude: 48.6, longitude: -30.25 } }],
    ['another time', { time: '11:59' }],
    ['another nature', { nature: 'fire' }],
  ])('stands apart from one with %s', (_what, change) => {
    const other = { ...ALERT, ...change };
    SIX.slice(0, 3).forEach((hz, n) => {
      log.add(heard(hz, 9 * n));
      log.add(heard(SIX[5 - n], 9 * n + 3, {}, other));
    });
    expect(attempts(log).map((group) => group.length)).toEqual([3, 3]);
  });

  it.each<[string, number, { [Name in keyof NewLogEntry]?: NewLogEntry[Name] | undefined }]>([
    ['was read doubtfully', 4_207_500, { quality: 'doubtful' }],
    ['misses a character', 4_207_500, { symbols: [null] }],
    ['was heard on VHF', 156_525_000, {}],
    ['was heard on a frequency for routine calls', 4_208_000, {}],
    ['was heard on no known frequency', 0, { frequencyHz: undefined }],
    ['has only the time of its decoding', 4_207_500, { timeSource: 'decoded' }],
    ['was sent', 4_207_500, { direction: 'sent', timeSource: undefined }],
  ])('takes no sending that %s', (_what, hz, change) => {
    log.add(heard(2_187_500, 0));
    const given = { ...heard(hz === 0 ? 4_207_500 : hz, 9), ...change };
    log.add(Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)) as never);
    expect(attempts(log)).toHaveLength(2);
  });

  it('takes a doubtful sending once it was read for sure', () => {
    log.add(heard(SIX[0], 0));
    const place = { recording: RECORDING, offset: 9, timeSource: 'recorded' } as const;
    log.add(heard(SIX[1], 9, { ...place, quality: 'doubtful', errorProbability: 0.1 }));
    expect(attempts(log)).toHaveLength(2);
    log.add(heard(SIX[1], 9, place));
    expect(attempts(log)).toEqual([['2187.5 at 0', '4207.5 at 9']]);
  });

  it('is no attempt on one frequency, however many of its five in a row were received', () => {
    const first = log.add(heard(SIX[0], 0));
    log.add(heard(SIX[3], 4));
    log.add(heard(SIX[4], 13));
    expect(attempts(log)).toHaveLength(1);
    log.addSending(first.id, heard(SIX[0], 7.2));
    expect(attempts(log)).toEqual([['2187.5 at 0'], ['8414.5 at 4', '12577 at 13']]);
    // Its repetition after 3.5 to 4.5 minutes is another one.
    const second = log.add(heard(SIX[0], 240));
    log.addSending(second.id, heard(SIX[0], 247.2));
    expect(attempts(log).map((group) => group.length)).toEqual([1, 2, 1]);
    // And alone the rest are none.
    log.addSending(2, heard(SIX[3], 11.2));
    expect(attempts(log).map((group) => group.length)).toEqual([1, 1, 1, 1]);
  });

  it('is one heard by several inputs, whose clocks differ by some seconds', () => {
    SIX.forEach((hz, n) => {
      log.add(heard(hz, 9 * n, { input: `north ${n}` }));
      log.add(heard(hz, 9 * n - 4, { input: `south ${n}`, errorProbability: 1e-8 }));
    });
    const [shown, ...others] = log.list({ once: true, together: true });
    expect(others).toEqual([]);
    expect(attempts(log)).toHaveLength(1);
    // The same sending heard twice is one sending.
    const six = multiFrequencySendings(log, shown);
    expect(six.map(({ frequencyHz }) => frequencyHz)).toEqual(SIX);
    expect(six.every(({ input }) => input?.startsWith('south'))).toBe(true);
  });

  it('heard twice on one frequency alone is none, until another frequency comes', () => {
    log.add(heard(SIX[0], 0, { input: 'north' }));
    log.add(heard(SIX[0], 2, { input: 'south' }));
    expect(log.list().every(({ multiFrequencyAttempt: id }) => id === undefined)).toBe(true);
    log.add(heard(SIX[1], 9, { input: 'south' }));
    expect(attempts(log)).toHaveLength(1);
    expect(multiFrequencySendings(log, log.list()[0])).toHaveLength(2);
  });

  it('is found in one recording without a time by where its sendings lie', () => {
    const at = (recording: string, offset: number) => ({ recording, offset, timeSource: 'decoded' }) as const;
    // All were decoded within a moment.
    log.add(heard(SIX[0], 1000, at(RECORDING, 3)));
    log.add(heard(SIX[1], 1000.1, at(RECORDING, 12)));
    log.add(heard(SIX[2], 1000.2, at(RECORDING, 240)));
    log.add(heard(SIX[3], 1000.3, at(OTHER_RECORDING, 12)));
    log.add(heard(SIX[4], 1000.4));
    expect(attempts(log).map((group) => group.length)).toEqual([2, 1, 1, 1]);
  });

  it('stays as it is where its recordings are read again', () => {
    const read = () => {
      SIX.forEach((hz, n) =>
        log.add(heard(hz, 9 * n, { recording: RECORDING, offset: 3 + 9 * n, timeSource: 'recorded' })),
      );
      return log.list();
    };
    const before = read();
    expect(attempts(log)).toHaveLength(1);
    expect(read()).toEqual(before);
  });

  it.each<[string, Call, number]>([
    ['a relay', { kind: 'distressRelay', to: 'allShips', self: COAST, casualty: SHIP, ...distress }, 1],
    ['an acknowledgement', { kind: 'distressAcknowledgement', self: COAST, casualty: SHIP, ...distress }, 1],
    ['a cancellation', { kind: 'ownAlertCancellation', self: SHIP, ...distress }, 1],
    ['no test call', { kind: 'testCall', to: { station: COAST }, self: SHIP }, 2],
  ])('is likewise %s', (_what, call, count) => {
    log.add(heard(SIX[0], 0, {}, call));
    log.add(heard(SIX[1], 12, {}, call));
    expect(attempts(log)).toHaveLength(count);
  });

  it('is shown once by whichever of its sendings meets the conditions', () => {
    SIX.forEach((hz, n) => log.add(heard(hz, 9 * n, { input: `input ${n}` })));
    const shown = (filter: Parameters<CallLog['list']>[0]) =>
      log.list({ once: true, together: true, ...filter }).map(({ frequencyHz }) => frequencyHz);
    expect(shown({})).toEqual([SIX[0]]);
    expect(shown({ newestFirst: true })).toEqual([SIX[0]]);
    expect(shown({ frequencyHz: SIX[3] })).toEqual([SIX[3]]);
    expect(shown({ input: 'input 4' })).toEqual([SIX[4]]);
    expect(shown({ since: NOON + 10_000 })).toEqual([SIX[2]]);
    expect(shown({ after: { id: 1, time: NOON } })).toEqual([]);
    expect(log.list({ multiFrequencyAttempt: 1 })).toHaveLength(6);
  });
});

describe('a store with an attempt on six frequencies', () => {
  it('counts it once, and on each frequency', async () => {
    const store = await openHeardStore(join(folder, 'calls.db'), { clock });
    SIX.forEach((hz, n) => store.calls.add(heard(hz, 9 * n)));
    store.calls.add(heard(SIX[0], 400));
    const once = { once: true };
    expect(store.count('kind', once)).toEqual([{ key: 'distressAlert', calls: 2 }]);
    expect(store.count('frequency', once).map(({ calls }) => calls)).toEqual([2, 1, 1, 1, 1, 1]);
    expect(store.count('kind')).toEqual([{ key: 'distressAlert', calls: 7 }]);
    expect(store.stations()).toMatchObject([{ identity: SHIP, calls: 2, frequencies: SIX }]);
    expect(store.hours().map(({ calls }) => calls)).toEqual([2, 1, 1, 1, 1, 1]);
    store.close();
  });

  it('of version 4 is brought up to date with all that stands in it, and goes on', async () => {
    const path = join(folder, 'old.db');
    const made = await openHeardStore(path, { clock });
    made.calls.add(heard(SIX[0], 0, { input: 'mf' }));
    made.noteEvent({ input: 'mf', kind: 'started', time: NOON, text: 'heard from now on' });
    made.close();
    // What version 5 added, taken away again.
    const old = new DatabaseSync(path);
    old.exec(`DROP INDEX calls_by_attempt; ALTER TABLE calls DROP COLUMN multiFrequencyAttempt;
      PRAGMA user_version = 4;`);
    old.close();
    const reader = await openHeardStore(path, { clock, readonly: true });
    expect(reader.calls.list({ together: true })).toHaveLength(1);
    reader.close();
    const store = await openHeardStore(path, { clock });
    expect(store.calls.add(heard(SIX[1], 9)).multiFrequencyAttempt).toBe(1);
    expect(store.events()).toHaveLength(1);
    store.close();
  });
});

it('stands in tables and lines of JSON with each of its sendings', () => {
  const log = createMemoryLog({ clock });
  SIX.slice(0, 2).forEach((hz, n) => log.add(heard(hz, 9 * n)));
  log.add(heard(SIX[2], 500));
  const lines = [...logToJsonLines(log.list())].map((line) => JSON.parse(line) as LogEntry);
  expect(lines.map(({ multiFrequencyAttempt: id }) => id)).toEqual([1, 1, undefined]);
  const [header, ...rows] = [...logToCsv(log.list())].map((line) => line.trimEnd().split(','));
  expect(header.at(-1)).toBe('multiFrequencyAttempt');
  expect(rows.map((row) => row.at(-1))).toEqual(['1', '1', '']);
});
