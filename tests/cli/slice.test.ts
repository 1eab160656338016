/** Recordings of a slice of spectrum on the command line. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { writeWavFile } from '../../src/wav/node.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice } from '../scenes/slice.js';
import { here } from './here.js';

const OPTIONS = { sampleRate: 32_000, tunedHz: 8_420_000, seconds: 9 };
const choices = createChoices(9);
const distress = encodeCall(randomCall(choices, 'distressAlert')).symbols;
const routine = encodeCall(randomCall(choices, 'testCall')).symbols;

let folder: string;
const inFolder = (name: string) => join(folder, name);

interface Line {
  symbols: number[];
  frequencyHz: number;
  start: number;
  startUtc?: string;
  followUp: { receiveHz?: number };
}

async function decode(...args: string[]): Promise<Line[]> {
  const { stdout, stderr } = await here(['decode', '--json', ...args]);
  expect(stderr).toBe('');
  return stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Line);
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'slice-'));
  const { i, q } = createSlice(
    OPTIONS,
    [
      { symbols: distress, hz: 8_414_500, at: 0.5, amplitude: 0.02 },
      { symbols: routine, hz: 8_415_500, at: 0.7, amplitude: 0.02 },
    ],
    -50,
    1,
  );
  await writeWavFile(inFolder('slice.wav'), { sampleRate: OPTIONS.sampleRate, channels: 2 }, [[i, q]]);
  await writeWavFile(inFolder('mono.wav'), { sampleRate: OPTIONS.sampleRate }, [[i]]);
  const samples = new Int16Array(2 * i.length);
  i.forEach((sample, n) => {
    samples[2 * n] = Math.round(32_767 * sample);
    samples[2 * n + 1] = Math.round(32_767 * q[n]);
  });
  writeFileSync(inFolder('slice.sigmf-data'), samples);
  writeFileSync(inFolder('slice.cs16'), samples);
  const metadata = {
    global: { 'core:datatype': 'ci16_le', 'core:sample_rate': OPTIONS.sampleRate },
    captures: [
      {
        'core:sample_start': 0,
        'core:frequency': OPTIONS.tunedHz,
        'core:datetime': '2031-05-17T09:30:00Z',
      },
    ],
  };
  writeFileSync(inFolder('slice.sigmf-meta'), JSON.stringify(metadata));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('a slice of spectrum', () => {
  it.each([
    ['as a file with two channels', ['--iq', '--tuned', '8420', 'slice.wav']],
    ['as raw samples', ['--raw', 'cs16', '--rate-hz', '32000', '--tuned', '8420 kHz', 'slice.cs16']],
    ['as SigMF', ['slice.sigmf-meta']],
    ['as SigMF, named by its samples', ['slice.sigmf-data']],
  ])('gives the calls on each of its DSC frequencies: %s', async (_, args) => {
    const name = args.at(-1) ?? '';
    const lines = await decode(...args.slice(0, -1), inFolder(name));
    lines.sort((a, b) => a.frequencyHz - b.frequencyHz);
    expect(lines.map(({ symbols, frequencyHz }) => [symbols, frequencyHz])).toEqual([
      [distress, 8_414_500],

      [routine, 8_415_500],
    ]);
    // 200 dots come before the phasing of an alert.
    expect(Math.abs(lines[0].start - 2.5)).toBeLessThan(0.03);
    if (name.includes('sigmf')) expect(lines[0].startUtc).toMatch(/^2031-05-17T09:30:02\.[45]/);
  });

  it('tells what is wrong with the file, what nearly was a call and where, and what it does not take', async () => {
    const whole = readFileSync(inFolder('slice.wav'));
    writeFileSync(inFolder('cut.wav'), whole.subarray(0, whole.length - 5000));
    const slice = ['--iq', '--tuned', '8420'];
    const { stderr } = await here(['decode', ...slice, '--verbose', inFolder('cut.wav')]);
    expect(stderr.replace(/\s+/g, ' ')).toMatch(
      /cut\.wav: The data chunk promises \d+ bytes of samples; \d+ are there/,
    );
    expect(stderr).toMatch(/8414\.5 kHz, 100 Bd around 1700\.\d Hz: phasing reached/);
    const refused = await here(['decode', ...slice, '--centre', '1000', inFolder('slice.wav')]);
    expect(refused.stderr).toContain('--centre: got 1000, expected nothing with a slice of spectrum');
    const channel = await here(['decode', ...slice, '--channel', '1', inFolder('slice.wav')]);
    expect(channel.stderr).toContain('--channel: got 1, expected nothing with a slice of spectrum');
  });

  it('is refused where nothing tells its frequency, or it is none', async () => {
    const refused = async (...args: string[]) => (await here(['decode', ...args])).stderr;
    expect(await refused('--iq', inFolder('slice.wav'))).toContain(
      '--tuned: got nothing, expected the frequency',
    );
    expect(await refused('--iq', '--tuned', '8420', inFolder('mono.wav'))).toContain('a file with 1 channel');
    expect(await refused('--iq', '--tuned', '9000', inFolder('slice.wav'))).toContain(
      'got 9000 kHz at 32000 samples a second, expected a slice with a DSC frequency in it',
    );
    expect(
      await refused('--iq', '--tuned', '8420', '--frequency', '8414.5', inFolder('slice.wav')),
    ).toContain('--frequency: got 8414500, expected nothing with a slice');
    expect(await refused(inFolder('missing.sigmf-meta'))).toContain('missing.sigmf-meta');
  });
});
