/** An archive of slices of spectrum: minutes of it, read whole and in pieces. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { writeWavFile } from '../../src/wav/node.js';
import { ALERT } from '../scenes/alert.js';
import { createSlice } from '../scenes/slice.js';
import { build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { heardIn } from './logged.js';

const test = (self: string): Call => ({ kind: 'testCall', to: { station: '002991234' }, self });

const folder = mkdtempSync(join(tmpdir(), 'archive-'));
const inFolder = (...names: string[]) => join(folder, ...names);

beforeAll(build);
afterAll(() => {
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
