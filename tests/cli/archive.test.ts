/** An archive: a queue of recordings, workers, and what they hear; slices of spectrum: archive.long.test.ts. */
import {
  appendFileSync,
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { applyChannel } from '../../src/channel/index.js';
import type { Call } from '../../src/calls/index.js';
import { belonging, placeOf } from '../../src/cli/archive/reading.js';
import { openRecordingQueue } from '../../src/archive/index.js';
import { openSqliteLog } from '../../src/records/sqlite/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { writeWav } from '../../src/wav/index.js';
import { createChoices } from '../scenes/random.js';
import { build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { heardIn } from './logged.js';

const RATE = 8000;
const test = (self: string): Call => ({ kind: 'testCall', to: { station: '002991234' }, self });
const ALERT: Call = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'sinking',
  position: { latitude: 48.2, longitude: -12.5 },
  time: '12:40',
  followOn: 'j3e',
};

/** What is played in the long recording, and when it begins. Pieces of 60 s end at 60, 120, 180 and 240 s. */
const PLAYED: readonly (readonly [number, Call, number])[] = [
  [40, ALERT, 5], // 36 s of five alerts, over a cut
  [117, test('299200001'), 1], // over a cut
  [179.98, test('299200002'), 1], // begins with its dots before a cut
  [240.01, test('299200003'), 1], // begins behind one
  [250, test('299200004'), 1],
];

let top: string;
let folder: string;
const inFolder = (...names: string[]) => join(folder, ...names);

beforeAll(async () => {
  build();
  top = mkdtempSync(join(tmpdir(), 'archive-'));
  await here(['encode', 'test-call', '--from', '299123456', '--to', '002991234', '--vhf', '--out', short()]);
  const samples = new Float32Array(260 * RATE);
  for (const [at, call, repeat] of PLAYED)
    samples.set(callToAudio(call, { band: 'mf-hf', sampleRate: RATE, repeat }), Math.round(at * RATE));
  const noisy = applyChannel(samples, {
    sampleRate: RATE,
    seed: 1,
    stages: [{ kind: 'noise', absoluteDb: -30 }],
  });
  writeFileSync(long(), writeWav({ sampleRate: RATE, channels: [noisy] }));
  await here(['decode', '--log', longLog(), long()]);
});
afterAll(() => {
  rmSync(top, { recursive: true, force: true });
});
beforeEach(() => {
  folder = mkdtempSync(join(top, 'folder-'));
});
const short = () => join(top, 'short.wav');
const long = () => join(top, 'long.wav');
/** What is heard in the long recording in one go. */
const longLog = () => join(top, 'long.db');

describe('an archive', () => {
  it('hears in pieces what is heard in one go: nothing lost at a cut, nothing doubled', async () => {
    mkdirSync(inFolder('rec', 'sub'), { recursive: true });
    copyFileSync(long(), inFolder('rec', 'long_20310517T000000Z_2187.5kHz.wav'));
    copyFileSync(short(), inFolder('rec', 'sub', 'a_20310517T010000Z_156525kHz.wav'));
    const root = ['--root', folder];
    const queue = ['--queue', inFolder('q')];
    const added = await here([
      ...['archive', 'add', ...root, ...queue, '--cut', '60'],
      ...['--recorded', 'name', '--frequency', 'name', inFolder('rec')],
    ]);
    expect(added).toMatchObject({ code: 0, stdout: '2 recordings added.\n' });
    const work = ['archive', 'work', ...root, ...queue, '--threads', '2', '--log'];
    const worked = await dotphase([...work, inFolder('pieces.db')]);
    expect(worked.stderr).toBe('');
    expect(worked.stdout).toMatch(
      /^6 pieces read, 4:2\d of audio in .*; 6 calls added to the log; 0 given up\.\n$/,
    );
    expect(worked.code).toBe(0);
    await here(['decode', '--log', inFolder('short.db'), short()]);
    const heard = await heardIn(inFolder('pieces.db'));
    const whole = [...(await heardIn(longLog())), ...(await heardIn(inFolder('short.db')))];
    expect(heard).toEqual(whole.sort());
    expect(heard).toHaveLength(6);
    // The phasing of the alert begins after 200 dots at 100 Bd (M.493 §3.4, from memory).
    expect(heard).toContainEqual(expect.stringMatching(/^42\.0 × 5 Distress alert from ship 299 123 456/));
    const log = await openSqliteLog(inFolder('pieces.db'), { clock: Date.now, readonly: true });
    const [first] = log.list({ limit: 1 });
    expect(new Date(first.time).toISOString().slice(0, 19)).toBe('2031-05-17T00:00:42');
    expect(first.frequencyHz).toBe(2_187_500);
    log.close();
    const again = await dotphase([...work, inFolder('pieces.db')]);
    expect(again.code).toBe(1);
    expect(again.stdout).toBe('Nothing was read: all is done, or in the hands of others.\n');
  });

  it('says what cannot be read, and gathers what several workers logged', async () => {
    const queue = ['--queue', inFolder('q')];
    const root = ['--root', folder];
    copyFileSync(short(), inFolder('good.wav'));
    copyFileSync(short(), inFolder('grown.wav'));
    const outside = await here(['archive', 'add', ...root, ...queue, short()]);
    expect(outside.code).toBe(2);
    expect(outside.stderr).toMatch(/expected one below the root .*: say which by --root/);
    await here(['archive', 'add', ...root, ...queue, inFolder('good.wav'), inFolder('grown.wav')]);
    appendFileSync(inFolder('grown.wav'), 'more');
    const work = ['archive', 'work', ...root, ...queue, '--threads', '1', '--log', inFolder('a.db')];
    const worked = await dotphase(work);
    expect(worked.code).toBe(2);
    expect(worked.stderr).toMatch(/grown\.wav: it had \d+ bytes when it was added and has \d+.*; given up\n/);
    const status = await here(['archive', 'status', ...queue]);
    expect(status.stdout).toMatch(/^given up +1$/m);
    expect(status.stdout).toMatch(/^ {2}grown\.wav: it had/m);
    const json = JSON.parse((await here(['archive', 'status', '--json', ...queue])).stdout) as object;
    expect(json).toMatchObject({
      waiting: 0,
      done: 1,
      dead: 1,
      deadPieces: [{ path: 'grown.wav', piece: 0 }],
    });
    expect((await here(['archive', 'retry', ...queue])).stdout).toBe('1 piece may be tried again.\n');

    const gather = ['archive', 'gather', '--log', inFolder('all.db'), inFolder('a.db'), longLog()];
    expect((await here(gather)).stdout).toBe('6 calls added, 0 known already.\n');
    expect((await here(gather)).stdout).toBe('0 calls added, 6 known already.\n');
    expect((await heardIn(inFolder('all.db'))).filter((entry) => entry.includes('× 5'))).toHaveLength(1);
  });

  it('counts calls as heard does: sent on two frequencies, heard by two receivers, read by two workers', async () => {
    const sound = callToAudio(ALERT, { band: 'mf-hf', sampleRate: RATE });
    const record = (name: string, seed: number) => {
      const noise = createChoices(seed);
      const samples = Float32Array.from(
        { length: sound.length + 2 * RATE },
        (_, n) => 0.02 * noise.uniform(-1, 1) + 0.3 * (sound[n - RATE] ?? 0),
      );
      writeFileSync(inFolder('rec', name), writeWav({ sampleRate: RATE, channels: [samples] }));
    };
    mkdirSync(inFolder('rec'));
    // One alert, sent on two frequencies within a minute, on the first of them heard by two receivers.
    record('a_20310517T010000Z_2187.5kHz.wav', 1);
    record('b_20310517T010001Z_2187.5kHz.wav', 2);
    record('c_20310517T010012Z_4207.5kHz.wav', 3);
    const root = ['--root', folder];
    const logs = ['here', 'there'].map((name) => inFolder(`${name}.db`));
    for (const log of logs) {
      const queue = ['--queue', `${log}.queue`];
      const origin = ['--recorded', 'name', '--frequency', 'name'];
      await here(['archive', 'add', ...root, ...queue, ...origin, inFolder('rec')]);
      const worked = await dotphase(['archive', 'work', ...root, ...queue, '--threads', '1', '--log', log]);
      expect(worked.stdout).toMatch(/^3 pieces read, .*; 1 call added to the log; 0 given up\.\n$/);
    }
    const counted = await here(['heard', logs[0], '--count', 'kind']);
    expect(counted.stdout).toMatch(/distress alert +1$/im);
    const gather = ['archive', 'gather', '--log', inFolder('all.db'), ...logs];
    expect((await here(gather)).stdout).toMatch(/^1 call added, 1 known already; 4 heard elsewhere too\.\n$/);
    const nothing = await here(gather);
    expect(nothing.stdout).toMatch(/^0 calls added, 2 known already; /);
    expect(nothing.code).toBe(0);
  });

  it('reads nothing where there is no queue, no log, or the log cannot be written', async () => {
    const queue = ['--queue', inFolder('q')];
    expect((await here(['archive', 'status', ...queue])).stderr).toMatch(/a queue: there is no such file/);
    expect((await here(['archive', 'add', ...queue])).stderr).toMatch(
      /expected audio files, folders, or --list/,
    );
    const missing = await here(['archive', 'add', '--root', folder, ...queue, inFolder('none.wav')]);
    expect(missing.code).toBe(2);
    expect(missing.stderr).toMatch(/none\.wav", expected a file that is there/);
    const gathered = await here(['archive', 'gather', '--log', inFolder('all.db'), inFolder('none.db')]);
    expect(gathered.code).toBe(2);
    // Nothing is made where there was nothing to do.
    expect(readdirSync(folder)).toEqual([]);
    copyFileSync(short(), inFolder('a.wav'));
    await here(['archive', 'add', '--root', folder, ...queue, folder]);
    expect((await here(['archive', 'work', ...queue])).stderr).toMatch(/--log: got nothing/);
    const worked = await here(['archive', 'work', '--root', folder, ...queue, '--log', folder]);
    expect(worked.code).toBe(2);
    expect(worked.stderr).toMatch(/a file, not a folder/);
    const opened = await openRecordingQueue(inFolder('q'));
    expect(await opened.status()).toMatchObject({ waiting: 1, done: 0 });
    await opened.close();
  });
});

describe('a piece', () => {
  it('lies below the root, whatever the queue says', () => {
    expect(placeOf('/data', 'a/b.wav')).toBe('/data/a/b.wav');
    for (const path of ['../secret', 'a/../../secret', '/etc/passwd/../../x/..', '.', ''])
      expect(() => placeOf('/data', path), path).toThrow(/leads out of/);
  });

  it('has the attempts that begin in it, sure ones also a little beside it', () => {
    const call = (id: number, start: number, quality = 'clean') =>
      ({ attempt: { id, sending: 1 }, start, quality }) as Parameters<ReturnType<typeof belonging>>[0];
    const belongs = belonging({ piece: 1, pieceSeconds: 60 });
    expect(belongs(call(1, 61))).toBe(true);
    expect(belongs(call(2, 31))).toBe(true);
    expect(belongs(call(3, 29))).toBe(false);
    expect(belongs(call(4, 59, 'doubtful'))).toBe(false);
    expect(belongs(call(5, 149))).toBe(true);
    // A further sending goes where its attempt went.
    expect(belongs(call(5, 158))).toBe(true);
    expect(belongs(call(3, 62))).toBe(false);
  });
});
