/** An archive, read whole and in pieces by workers: minutes of recordings and of slices of spectrum. */
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, beforeEach, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { applyChannel } from '../../src/channel/index.js';
import { openSqliteLog } from '../../src/records/sqlite/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { writeWav } from '../../src/wav/index.js';
import { writeWavFile } from '../../src/wav/node.js';
import { ALERT } from '../scenes/alert.js';
import { createChoices } from '../scenes/random.js';
import { createSlice } from '../scenes/slice.js';
import { build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { heardIn } from './logged.js';

const RATE = 8000;
const test = (self: string): Call => ({ kind: 'testCall', to: { station: '002991234' }, self });

/** What is played in the long recording, and when it begins. Pieces of 60 s end at 60, 120, 180 and 240 s. */
const PLAYED: readonly (readonly [number, Call, number])[] = [
  [40, ALERT, 5], // 36 s of five alerts, over a cut
  [117, test('299200001'), 1], // over a cut
  [179.98, test('299200002'), 1], // begins with its dots before a cut
  [240.01, test('299200003'), 1], // begins behind one
  [250, test('299200004'), 1],
];

let folder: string;
const inFolder = (...names: string[]) => join(folder, ...names);

beforeAll(build);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'archive-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

it('an archive hears a slice of spectrum in pieces as it is heard in one go', async () => {
  const OPTIONS = { sampleRate: 8_000, tunedHz: 8_415_000, seconds: 130 };
  const symbolsOf = (call: Call) => encodeCall(call).symbols;
  // Over a cut at 60 s on one channel, behind it on another, in the last piece.
  const sent = [
    { symbols: symbolsOf(test('299200011')), hz: 8_414_500, at: 57 },
    { symbols: symbolsOf(ALERT), hz: 8_415_500, at: 70 },
    { symbols: symbolsOf(test('299200013')), hz: 8_414_500, at: 121 },
  ].map((call) => ({ ...call, amplitude: 0.02 }));
  const { i, q } = createSlice(OPTIONS, sent, -50, 1);
  await writeWavFile(inFolder('a.wav'), { sampleRate: OPTIONS.sampleRate, channels: 2 }, [[i, q]]);
  const whole = inFolder('whole.db');
  await here(['decode', '--iq', '--tuned', '8415', '--log', whole, inFolder('a.wav')]);
  expect(await heardIn(whole)).toHaveLength(sent.length);
  const samples = new Float32Array(2 * i.length);
  i.forEach((sample, n) => {
    samples.set([sample, q[n]], 2 * n);
  });
  // One that was tuned twice, whose clock may jump, is read in one go.
  for (const [name, starts] of [
    ['once', [0]],
    ['twice', [0, 800_000]],
  ] as const) {
    mkdirSync(inFolder(name));
    writeFileSync(inFolder(name, 'b.sigmf-data'), samples);
    const global = { 'core:datatype': 'cf32_le', 'core:sample_rate': OPTIONS.sampleRate };
    const captures = starts.map((start) => ({
      'core:sample_start': start,
      'core:frequency': OPTIONS.tunedHz,
    }));
    writeFileSync(inFolder(name, 'b.sigmf-meta'), JSON.stringify({ global, captures }));
    const own = ['--queue', inFolder(`${name}.q`), '--root', inFolder(name)];
    await here(['archive', 'add', ...own, '--cut', '60', inFolder(name)]);
    const log = inFolder(`${name}.db`);
    const worked = await dotphase(['archive', 'work', ...own, '--log', log, '--threads', '1']);
    expect(worked.stderr, name).toBe('');
    expect(worked.stdout).toMatch(name === 'once' ? /^3 pieces read, 2:10 / : /^1 piece read, 2:10 /);
    expect(await heardIn(log)).toEqual(await heardIn(whole));
  }
});

it('an archive hears in pieces what is heard in one go: nothing lost at a cut, nothing doubled', async () => {
  const samples = new Float32Array(260 * RATE);
  for (const [at, call, repeat] of PLAYED)
    samples.set(callToAudio(call, { band: 'mf-hf', sampleRate: RATE, repeat }), Math.round(at * RATE));
  const noisy = applyChannel(samples, {
    sampleRate: RATE,
    seed: 1,
    stages: [{ kind: 'noise', absoluteDb: -30 }],
  });
  writeFileSync(inFolder('long.wav'), writeWav({ sampleRate: RATE, channels: [noisy] }));
  const short = ['--from', '299123456', '--to', '002991234', '--vhf', '--out', inFolder('short.wav')];
  await here(['encode', 'test-call', ...short]);
  mkdirSync(inFolder('rec', 'sub'), { recursive: true });
  copyFileSync(inFolder('long.wav'), inFolder('rec', 'long_20310517T000000Z_2187.5kHz.wav'));
  copyFileSync(inFolder('short.wav'), inFolder('rec', 'sub', 'a_20310517T010000Z_156525kHz.wav'));
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
  await here(['decode', '--log', inFolder('long.db'), inFolder('long.wav')]);
  await here(['decode', '--log', inFolder('short.db'), inFolder('short.wav')]);
  const heard = await heardIn(inFolder('pieces.db'));
  const whole = [...(await heardIn(inFolder('long.db'))), ...(await heardIn(inFolder('short.db')))];
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

it('an archive counts calls as heard does: sent on two frequencies, heard by two receivers, read by two workers', async () => {
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
