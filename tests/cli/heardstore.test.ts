/** What was heard: lists, stations, counts and maps of a log. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callEntry } from '../../src/records/index.js';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import { here } from './here.js';

const SHIP = '299123456';
const COAST = '002991234';
const NOON = Date.UTC(2031, 4, 17, 12);

let folder: string;
let log: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'heardstore-'));
  log = join(folder, 'calls.db');
  const store = await openHeardStore(log, { clock: () => NOON });
  const add = (call: Parameters<typeof callEntry>[0], time: number, more = {}) =>
    store.calls.add({
      ...callEntry(call, { direction: 'received', time, frequencyHz: 8_414_500 }),
      timeSource: 'live',
      quality: 'clean',
      ...more,
    });
  const test = { kind: 'testCall', to: { station: COAST }, self: SHIP } as const;
  add(test, NOON, { input: 'north' });
  add(test, NOON + 1000, { input: 'south' });
  add({ kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST }, NOON + 30_000);
  add(
    {
      kind: 'distressAlert',
      self: SHIP,
      nature: 'flooding',
      position: { latitude: 48.2, longitude: -12.75 },
      time: '12:30',
      followOn: 'j3e',
    },
    NOON + 60_000,
    { text: '=cmd|\u001b[2J\u202e', quality: 'doubtful' },
  );
  store.noteEvent({ input: 'north', kind: 'gap', time: NOON, until: NOON + 9000, text: 'nothing came' });
  store.close();
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('heard', () => {
  it('shows each call once, or each of its readings', async () => {
    const once = await here(['heard', log]);
    expect(once.code).toBe(0);
    expect(once.stdout.match(/Test call/g)).toHaveLength(1);
    const each = await here(['heard', log, '--each']);
    expect(each.stdout.match(/Test call/g)).toHaveLength(2);
    expect(each.stdout).toMatch(/the same call as number 1/);
    expect(once.stdout).toMatch(/Doubtful:/);
    expect(once.stdout.replace(/\s+/g, ' ')).toMatch(/A decoded distress alert is not a watch/i);
  });

  it.each<[string[], number]>([
    [['--sure'], 2],
    [['--kind', 'test call'], 1],
    [['--identity', '002 991 234'], 2],
    [['--frequency', '2187.5'], 0],
    [['--since', '2031-05-17T12:00:20'], 2],
    [['--until', '2031-05-17T12:00:20', '--each'], 2],
    [['--input', 'south', '--each'], 1],
    [['--text', 'ACKNOWLEDGEMENT from'], 1],
    [['--last', '1'], 1],
  ])('with %j shows %i calls, and ends with 1 where nothing fits', async (flags, count) => {
    const { code, stdout } = await here(['heard', log, '--json', ...flags]);
    expect(stdout.split('\n').filter((line) => line !== '')).toHaveLength(count);
    expect(code).toBe(count === 0 ? 1 : 0);
  });

  it('lists stations, success of test calls, counts and events, for people and programs', async () => {
    const stations = await here(['heard', log, '--stations']);
    expect(stations.stdout).toMatch(/299 123 456 .* not known +1 +2031-05-17 12:00:00/);
    // 1 of 1: the lower bound is 1 / (1 + 1.96²) = 0.2065.
    const tests = await here(['heard', log, '--tests', 'frequency']);
    expect(tests.stdout).toMatch(/8414\.5 kHz +1 +1 +100 +21 to 100 %/);
    const counts = await here(['heard', log, '--count', 'kind', '--csv']);
    expect(counts.stdout.split('\r\n').slice(0, 2)).toEqual(['of,calls', 'distress alert,1']);
    const events = await here(['heard', log, '--events', '--json']);
    expect(JSON.parse(events.stdout)).toMatchObject({ input: 'north', event: 'gap' });
  });

  it('hands nothing to a terminal, a spreadsheet or a page that they would run', async () => {
    const { stdout } = await here(['heard', log, '--csv', '--kind', 'distress alert']);
    expect(stdout).toContain("'=cmd|");
    for (const form of [[], ['--stations']])
      expect((await here(['heard', log, ...form])).stdout).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
    expect((await here(['heard', log, '--kml'])).stdout).not.toContain('\u001b');
    const sentences = await here(['heard', log, '--sentences']);
    expect(sentences.stdout.match(/\$CDDSC/g)).toHaveLength(2);
    expect(sentences.stderr).toMatch(/1 call is left out/);
  });

  it('refuses what does not go together', async () => {
    for (const flags of [
      ['--stations', '--kml'],
      ['--csv', '--json'],
      ['--tests', 'moon'],
      ['--count', 'moon'],
    ])
      expect((await here(['heard', log, ...flags])).code).toBe(2);
    expect((await here(['heard'])).stderr).toMatch(/file: got nothing, expected the file of a log/);
  });
});
