/** What calls in a durable log add up to, and what stands there besides them. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import {
  callEntry,
  createMemoryLog,
  successOf,
  type CallLog,
  type NewLogEntry,
} from '../../src/records/index.js';
import { openHeardStore, openSqliteLog, type HeardStore } from '../../src/records/sqlite/index.js';

const SHIP = '299123456';
const COAST = '002991234';
const NOON = Date.UTC(2031, 4, 17, 12);
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const clock = () => NOON;

let folder: string;
let store: HeardStore;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'store-'));
  store = await openHeardStore(join(folder, 'calls.db'), { clock });
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const TEST: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const ANSWER: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST };

function heard(call: Call, change: Partial<NewLogEntry> = {}): NewLogEntry {
  return {
    ...callEntry(call, { direction: 'received', time: NOON, frequencyHz: 2_187_500 }),
    timeSource: 'live',
    quality: 'clean',
    errorProbability: 1e-6,
    ...change,
  };
}

describe('the Wilson interval', () => {
  // E. B. Wilson 1927 by hand with z = 1.96. 8 of 10: centre (0.8 + 0.19207) / 1.38415 = 0.71674, half width
  // 1.96 sqrt(0.016 + 0.0096) / 1.38415 = 0.22658.
  it('of 8 in 10 is 0.49 to 0.94', () => {
    const { low, high } = successOf(8, 10);
    expect(low).toBeCloseTo(0.4902, 3);
    expect(high).toBeCloseTo(0.9433, 3);
  });

  it('stays within 0 and 1, also of none and of all', () => {
    // 0 of 10: z²/(n + z²) = 3.8415 / 13.8415.
    expect(successOf(0, 10).high).toBeCloseTo(0.2775, 3);
    expect(successOf(0, 10).low).toBe(0);
    expect(successOf(10, 10).low).toBeCloseTo(0.7225, 3);
    expect(successOf(10, 10).high).toBe(1);
    expect(successOf(0, 0)).toMatchObject({ low: 0, high: 1 });
  });
});

describe.each<[string, () => Promise<CallLog>]>([
  ['in memory', () => Promise.resolve(createMemoryLog({ clock }))],
  ['on disk', () => openSqliteLog(join(folder, 'linked.db'), { clock })],
])('one call heard in several places, %s', (_where, open) => {
  it('is linked with the surest of its entries', async () => {
    const log = await open();
    const weak = log.add(heard(TEST, { input: 'north', errorProbability: 0.01 }));
    expect(weak.sameAs).toBeUndefined();
    const strong = log.add(heard(TEST, { input: 'south', time: NOON + 2000 }));
    expect(strong.sameAs).toBeUndefined();
    expect(log.get(weak.id)?.sameAs).toBe(strong.id);
    const third = log.add(heard(TEST, { input: 'west', time: NOON - 1000, errorProbability: 0.5 }));
    expect(third.sameAs).toBe(strong.id);
    const surest = log.add(heard(TEST, { input: 'east', time: NOON + 1000, errorProbability: 1e-9 }));
    expect(log.list().map(({ id, sameAs }) => [id, sameAs])).toEqual([
      [third.id, surest.id],
      [weak.id, surest.id],
      [surest.id, undefined],
      [strong.id, surest.id],
    ]);
    expect(log.list({ once: true }).map(({ id }) => id)).toEqual([surest.id]);
    log.close();
  });

  it.each<[string, Partial<NewLogEntry>]>([
    ['on another frequency', { input: 'south', frequencyHz: 8_414_500 }],
    ['later than clocks differ', { input: 'south', time: NOON + 6000 }],
    ['on the same input again', { input: 'north', time: NOON + 4000 }],
    ['at a time that is only that of decoding', { input: 'south', timeSource: 'decoded' }],
    ['with another character', { input: 'south', symbols: [120, 0, 29] }],
  ])('is another call %s', async (_what, change) => {
    const log = await open();
    log.add(heard(TEST, { input: 'north' }));
    expect(log.add(heard(TEST, change)).sameAs).toBeUndefined();
    expect(log.list({ once: true })).toHaveLength(2);
    log.close();
  });

  // Clocks that are set well differ by up to 5 s (common practice, no source).
  it.each([
    [4900, true],
    [-4900, true],
    [5000, true],
    [5100, false],
    [-5100, false],
  ])('is told by its time: %i ms apart, %s', async (ms, isOne) => {
    const log = await open();
    const first = log.add(heard(TEST, { input: 'north' }));
    const second = log.add(heard(TEST, { input: 'south', time: NOON + ms }));
    expect(second.sameAs).toBe(isOne ? first.id : undefined);
    log.close();
  });

  /** Which of the inputs are linked, in whatever order they were logged. */
  const groupsOf = (log: CallLog): string[] => {
    const groups = new Map<number, string[]>();
    for (const { id, sameAs, input = '', time } of log.list())
      groups.set(sameAs ?? id, [...(groups.get(sameAs ?? id) ?? []), `${input} ${(time - NOON) / 1000}`]);
    return [...groups.values()].map((group) => group.sort().join(', ')).sort();
  };
  const ORDERS = [
    [0, 1, 2],
    [0, 2, 1],
    [1, 0, 2],
    [1, 2, 0],
    [2, 0, 1],
    [2, 1, 0],
  ];
  const ALERT_SECONDS = 7.2;
  const SYMBOLS = heard(TEST).symbols;
  type Three = [NewLogEntry, NewLogEntry, NewLogEntry];
  const { frequencyHz: _, ...anywhere } = heard(TEST, { input: 'west', time: NOON + 500 });
  /** What becomes of three entries, in every order. */
  const inEveryOrder = async (entries: Three, look: (log: CallLog, order: string) => void) => {
    for (const order of ORDERS) {
      const log = await open();
      for (const index of order) log.add(entries[index]);
      look(log, order.join());
      log.close();
      rmSync(join(folder, 'linked.db'), { force: true });
    }
  };

  it.each<[string, Three, string[]]>([
    [
      'three clocks, each 4.9 s behind the one before',
      [
        heard(TEST, { input: 'north' }),
        heard(TEST, { input: 'south', time: NOON + 4900 }),
        heard(TEST, { input: 'west', time: NOON + 9800 }),
      ],
      ['north 0, south 4.9, west 9.8'],
    ],
    [
      'two sendings, each heard elsewhere',
      [
        heard(TEST, { input: 'north' }),
        heard(TEST, { input: 'south', time: NOON + ALERT_SECONDS * 1000 }),
        heard(TEST, { input: 'west', time: NOON + ALERT_SECONDS * 1000 + 900 }),
      ],
      ['north 0', 'south 7.2, west 8.1'],
    ],
  ])('is the same in whatever order it is logged: %s', async (_what, entries, groups) => {
    await inEveryOrder(entries, (log, order) => {
      expect(groupsOf(log), order).toEqual(groups);
    });
  });

  it.each<[string, Three]>([
    [
      'two sendings heard by one input, by another whose clock is between them',
      [
        heard(TEST, { input: 'north' }),
        heard(TEST, { input: 'north', time: NOON + ALERT_SECONDS * 1000 }),
        heard(TEST, { input: 'south', time: NOON + 4000 }),
      ],
    ],
    [
      'calls on two frequencies, by one whose frequency is not known',
      [
        heard(TEST, { input: 'north' }),
        heard(TEST, { input: 'south', frequencyHz: 8_414_500, time: NOON + 2000 }),
        anywhere,
      ],
    ],
    [
      'calls with different characters, by one without them',
      [
        heard(TEST, { input: 'north' }),
        heard(TEST, { input: 'south', symbols: SYMBOLS.with(-1, 0), time: NOON + 2000 }),
        heard(TEST, {
          input: 'west',
          symbols: SYMBOLS.map((symbol, i) => (i < 8 ? symbol : null)),
          time: NOON + 500,
        }),
      ],
    ],
  ])('joins no two others: %s', async (_what, entries) => {
    await inEveryOrder(entries, (log, order) => {
      expect(log.list({ once: true }), order).toHaveLength(2);
    });
  });

  it('stays one where a recording and a copy of it in another form are read, each twice', async () => {
    const log = await open();
    for (let time = 0; time < 2; time++) {
      for (const recording of ['a', 'b'].map((digit) => digit.repeat(64)))
        log.add(heard(TEST, { timeSource: 'recorded', recording, offset: 5 }));
    }
    expect(log.list()).toHaveLength(2);
    expect(log.list({ once: true })).toHaveLength(1);
    log.close();
  });

  it('is one entry where a recording is played into an input again', async () => {
    const log = await open();
    const first = log.add(heard(TEST, { input: 'north', timeSource: 'recorded' }));
    expect(log.add(heard(TEST, { input: 'north', timeSource: 'recorded', time: NOON + 40 })).id).toBe(
      first.id,
    );
    expect(log.add(heard(TEST, { input: 'north', timeSource: 'live', time: NOON + 40 })).id).not.toBe(
      first.id,
    );
    log.close();
  });

  it('is read more surely the second time, after a reading that was cut', async () => {
    const log = await open();
    const place = { recording: 'a'.repeat(64), offset: 5 };
    const whole = heard(TEST, place);
    const symbols = [...whole.symbols.slice(0, 8), ...whole.symbols.slice(8).map(() => null)];
    const cut = log.add({ ...whole, symbols, quality: 'doubtful', errorProbability: 1 });
    const again = log.add({ ...whole, offset: 5.02 });
    expect(again).toMatchObject({ id: cut.id, quality: 'clean', symbols: whole.symbols, offset: 5 });
    expect(again.sendings).toBeUndefined();
    // What is less sure changes nothing.
    expect(log.add({ ...whole, symbols, quality: 'doubtful', errorProbability: 1 })).toEqual(again);
    expect(log.list()).toEqual([again]);
    log.close();
  });

  it('is found by what its sentence says, whatever signs that holds', async () => {
    const log = await open();
    log.add(heard(TEST, { text: '100 % of A_B' }));
    log.add(heard(TEST, { text: '100 x of AxB', time: NOON + HOUR }));
    expect(log.list({ text: '100 % OF a_' })).toHaveLength(1);
    expect(log.list({ quality: 'doubtful' })).toHaveLength(0);
    expect(log.list({ frequencyHz: 2_187_500, sure: true })).toHaveLength(2);
    log.close();
  });
});

describe('what was heard', () => {
  it('lists stations with the frequencies and their own positions, each call once, no doubtful ones', () => {
    const alert: Call = {
      kind: 'distressAlert',
      self: SHIP,
      nature: 'flooding',
      position: { latitude: 48.2, longitude: -12.75 },
      time: '09:30',
      followOn: 'j3e',
    };
    store.calls.add(heard(alert, { input: 'a' }));
    store.calls.add(heard(alert, { input: 'b' }));
    store.calls.add(heard(TEST, { time: NOON + HOUR, frequencyHz: 8_414_500 }));
    store.calls.add(heard({ ...TEST, self: '299000111' }, { quality: 'doubtful' }));
    // The position that a relay carries is not where its sender is.
    store.calls.add(
      heard({
        kind: 'distressRelay',
        to: 'allShips',
        self: COAST,
        casualty: 'unknown',
        nature: 'flooding',
        position: { latitude: 10, longitude: 20 },
        time: '09:30',
        followOn: 'j3e',
      }),
    );
    expect(store.stations()).toEqual([
      {
        identity: SHIP,
        calls: 2,
        first: NOON,
        last: NOON + HOUR,
        frequencies: [2_187_500, 8_414_500],
        positions: [{ latitude: 48.2, longitude: -12.75, time: NOON }],
      },
      { identity: COAST, calls: 1, first: NOON, last: NOON, frequencies: [2_187_500], positions: [] },
    ]);
    expect(store.count('kind', { once: true, sure: true })).toEqual([
      { key: 'distressAlert', calls: 1 },
      { key: 'distressRelay', calls: 1 },
      { key: 'testCall', calls: 1 },
    ]);
    expect(store.hours({ sure: true })).toEqual([
      { hour: NOON, frequencyHz: 2_187_500, calls: 2 },
      { hour: NOON + HOUR, frequencyHz: 8_414_500, calls: 1 },
    ]);
  });

  it('counts how many test calls were acknowledged, by frequency, hour and station', () => {
    const add = (call: Call, time: number, change: Partial<NewLogEntry> = {}) =>
      store.calls.add(heard(call, { time, ...change }));
    // Sent twice, and acknowledged once: the second succeeded.
    add(TEST, NOON);
    add(TEST, NOON + 2 * MINUTE);
    add(ANSWER, NOON + 2 * MINUTE + 20_000);
    // Never, doubtfully, too late, and on another frequency.
    add(TEST, NOON + HOUR);
    add(ANSWER, NOON + HOUR + MINUTE, { quality: 'doubtful' });
    add(ANSWER, NOON + HOUR + 6 * MINUTE);
    add(TEST, NOON + 2 * HOUR, { frequencyHz: 8_414_500 });
    add(ANSWER, NOON + 2 * HOUR + MINUTE, { frequencyHz: 12_577_000 });
    // Not counted: doubtful, and of an unknown time where hours are counted.
    add(TEST, NOON + 3 * HOUR, { quality: 'doubtful' });
    add(TEST, NOON + 4 * HOUR, { timeSource: 'decoded', frequencyHz: 12_577_000 });
    const facts = (by: 'frequency' | 'hour' | 'station') =>
      store.testSuccess(by).map(({ key, tried, succeeded }) => [key, tried, succeeded]);
    expect(facts('frequency')).toEqual([
      [2_187_500, 3, 1],
      [8_414_500, 1, 0],
      [12_577_000, 1, 0],
    ]);
    expect(facts('hour')).toEqual([
      [12, 2, 1],
      [13, 1, 0],
      [14, 1, 0],
    ]);
    expect(facts('station')).toEqual([[COAST, 5, 1]]);
  });

  it('does several changes as one', async () => {
    const file = { path: '/a.wav', reading: '{}', size: 44, modifiedAt: 1.5 };
    const done = store.together(() => {
      const { id } = store.calls.add(heard(TEST));
      store.noteRecording({ ...file, seconds: 10 });
      return id;
    });
    expect(store.calls.get(done)).toMatchObject({ kind: 'testCall' });
    expect(store.hasRead(file)).toBe(true);
    // One that fails leaves nothing behind, and the log as it was.
    expect(() =>
      store.together(() => {
        store.calls.add(heard(ANSWER));
        store.noteEvent({ input: 'north', kind: 'started', time: NOON, text: '' });
        throw new Error('stopped midway');
      }),
    ).toThrow('stopped midway');
    expect(store.calls.list()).toHaveLength(1);
    expect(store.events()).toEqual([]);
    // A refused entry takes the others with it too; what comes after stands.
    expect(() => {
      store.together(() => {
        store.calls.add(heard(ANSWER));
        store.calls.add(heard(ANSWER, { time: -1 }));
      });
    }).toThrow(DotphaseError);
    expect(store.calls.add(heard(ANSWER)).id).toBeGreaterThan(done);
    expect(store.calls.list()).toHaveLength(2);
    const reader = await openHeardStore(join(folder, 'calls.db'), { clock, readonly: true });
    expect(() => {
      reader.together(() => undefined);
    }).toThrow('a log opened for writing');
    reader.close();
  });

  it('keeps which recordings were read, until they change or are read otherwise', () => {
    const file = { path: '/a.wav', reading: '{}', size: 44, modifiedAt: 1.5 };
    expect(store.hasRead(file)).toBe(false);
    store.noteRecording({ ...file, seconds: 10 });
    expect(store.hasRead(file)).toBe(true);
    for (const change of [{ size: 45 }, { modifiedAt: 2.5 }, { reading: '{"x":1}' }, { path: '/b.wav' }])
      expect(store.hasRead({ ...file, ...change })).toBe(false);
  });

  it('has no last levels where there are none', () => {
    expect(store.lastLevels()).toEqual([]);
  });

  it('keeps events and levels, and refuses what is none', () => {
    const id = store.noteEvent({ input: 'north', kind: 'gap', time: NOON, text: 'nothing came' });
    store.endEvent(id, NOON + 5000);
    expect(store.events()).toEqual([
      { id, input: 'north', kind: 'gap', time: NOON, until: NOON + 5000, text: 'nothing came' },
    ]);
    expect(store.events({ after: id })).toEqual([]);
    store.noteLevel({ input: 'north', time: NOON, seconds: 60, rmsDb: -30, peakDb: -12 });
    store.noteLevel({ input: 'north', time: NOON + MINUTE, seconds: 30 });
    expect(store.levels({ input: 'north' })).toHaveLength(2);
    store.noteLevel({ input: 'east', time: NOON, seconds: 60, rmsDb: -20, peakDb: -9 });
    expect(store.lastLevels()).toEqual([
      { input: 'east', time: NOON, seconds: 60, rmsDb: -20, peakDb: -9 },
      { input: 'north', time: NOON + MINUTE, seconds: 30 },
    ]);
    const later = store.noteEvent({ input: 'north', kind: 'ended', time: NOON + MINUTE, text: 'it ended' });
    expect(store.events({ latest: 1 }).map((event) => event.id)).toEqual([later]);
    expect(store.events({ latest: 5 }).map((event) => event.id)).toEqual([id, later]);
    expect(store.lastHeard('north')).toBe(NOON + MINUTE + 30_000);
    expect(store.lastHeard('south')).toBeUndefined();
    expect(() => {
      store.noteLevel({ input: 'x'.repeat(61), time: NOON, seconds: 60 });
    }).toThrow(/level\.input/);
    expect(() => store.noteEvent({ input: 'a', kind: 'x' as 'gap', time: NOON, text: '' })).toThrow(
      /event\.kind/,
    );
  });
});
