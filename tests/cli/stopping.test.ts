/** `decode` stopped by Ctrl-C: what came until then is told. */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { callToAudio } from '../../src/index.js';
import { writeWav } from '../../src/wav/index.js';
import { ALERT } from '../scenes/alert.js';
import { MAIN, build } from './dotphase.js';

const RATE = 8000;
const TOLD = 'Distress alert from ship 299 123 456';
const CAUTION = 'Caution: a decoded distress alert is not a watch';
const alert = callToAudio(ALERT, { band: 'mf-hf', sampleRate: RATE });

let folder: string;
beforeAll(() => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function start(...args: string[]): ChildProcess & { text: { out: string; err: string } } {
  const text = { out: '', err: '' };
  const child = spawn(process.execPath, [MAIN, 'decode', ...args], {
    env: { ...process.env, COLUMNS: '100' },
  });
  child.stdout.on('data', (bytes: Buffer) => (text.out += bytes.toString()));
  child.stderr.on('data', (bytes: Buffer) => (text.err += bytes.toString()));
  return Object.assign(child, { text });
}
const ended = (child: ChildProcess) => new Promise((resolve) => child.once('close', resolve));

it('ends what a recorder gives, and tells the call whose last bit has just come', async () => {
  const child = start('--raw', 's16', '--rate-hz', String(RATE), '--verbose', '-');
  const code = ended(child);
  const samples = Int16Array.from(alert, (sample) => Math.round(sample * 32_000));
  const bytes = Buffer.from(samples.buffer);
  // All but its last tenth of a second: it is heard, and cannot be told yet.
  const cut = bytes.length - (2 * RATE) / 10;
  child.stdin?.write(bytes.subarray(0, cut));
  await expect.poll(() => child.text.err, { timeout: 60_000 }).toContain('phasing');
  expect(child.text.out).toBe('');
  child.kill('SIGINT');
  // A recorder that was not told to end goes on.
  const next = setInterval(() => child.stdin?.write(bytes.subarray(cut)), 200);
  child.stdin?.on('error', () => undefined);
  expect(await code).toBe(0);
  clearInterval(next);
  expect(child.text.out).toContain(TOLD);
  expect(child.text.out).toContain(CAUTION);
});

it.each(['SIGINT', 'SIGTERM'] as const)(
  'ends at %s also where nothing comes',
  async (signal) => {
    const child = start('--raw', 's16', '--rate-hz', String(RATE), '--verbose', '-');
    const code = ended(child);
    child.stdin?.write(Buffer.from(Int16Array.from(alert, (sample) => Math.round(sample * 32_000)).buffer));
    await expect.poll(() => child.text.err, { timeout: 60_000 }).toContain('phasing');
    child.kill(signal);
    expect(await code).toBe(0);
    expect(child.text.out).toContain(TOLD);
  },
  60_000,
);

it('says before the end of which recordings it was stopped', async () => {
  const samples = new Float32Array(1200 * RATE);
  samples.set(alert);
  const file = join(folder, 'long.wav');
  writeFileSync(file, writeWav({ sampleRate: RATE, channels: [samples] }));
  const child = start(file);
  const code = ended(child);
  child.stdout?.once('data', () => child.kill('SIGINT'));
  expect(await code).toBe(130);
  expect(child.text.out).toContain(TOLD);
  expect(child.text.out).toContain(CAUTION);
  expect(child.text.err).toBe(`dotphase: stopped before the end of ${file}; 0 read to the end\n`);
});
