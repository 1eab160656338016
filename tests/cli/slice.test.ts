/** Recordings of a slice of spectrum on the command line. */
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { writeWavFile } from '../../src/wav/node.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice } from '../scenes/slice.js';
import { build, runProgram } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

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
  return jsonLines<Line>(stdout);
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

  it('is found in folders and lists, once for its two files, and read once', async () => {
    const archive = inFolder('archive');
    mkdirSync(join(archive, 'night'), { recursive: true });
    for (const name of ['slice.sigmf-meta', 'slice.sigmf-data'])
      copyFileSync(inFolder(name), join(archive, 'night', name));
    copyFileSync(inFolder('slice.sigmf-meta'), join(archive, 'alone.sigmf-meta'));
    const log = ['--log', inFolder('archive.db'), '--resume'];
    const files = async (...args: string[]) => {
      const { stdout, stderr, code } = await here(['decode', '--json', ...args]);
      return { lines: stdout.split('\n').filter((line) => line !== '').length, stderr, code };
    };
    expect(await files(...log, archive)).toMatchObject({ lines: 2, code: 0 });
    expect(await files(...log, archive)).toMatchObject({ lines: 0, code: 0 });
    // Other samples under the same metadata are another recording.
    const samples = readFileSync(inFolder('slice.sigmf-data'));
    writeFileSync(join(archive, 'night', 'slice.sigmf-data'), samples.subarray(0, samples.length - 40_000));
    expect(await files(...log, archive)).toMatchObject({ lines: 2 });
    const both = [inFolder('slice.sigmf-meta'), inFolder('slice.sigmf-data')];
    expect((await files(...both)).lines).toBe(2);
    writeFileSync(inFolder('list.txt'), both.join('\n'));
    build();
    const listed = await runProgram('main', ['decode', '--json', '--list', inFolder('list.txt')]);
    expect(listed.stdout.trim().split('\n')).toHaveLength(2);
  });

  it('is read on where one of its pieces holds no DSC frequency, which is said', async () => {
    copyFileSync(inFolder('slice.sigmf-data'), inFolder('two.sigmf-data'));
    const metadata = {
      global: { 'core:datatype': 'ci16_le', 'core:sample_rate': OPTIONS.sampleRate },
      captures: [
        { 'core:sample_start': 0, 'core:frequency': 9_000_000 },
        { 'core:sample_start': 3200, 'core:frequency': OPTIONS.tunedHz },
      ],
    };
    writeFileSync(inFolder('two.sigmf-meta'), JSON.stringify(metadata));
    const { stdout, stderr } = await here(['decode', '--json', inFolder('two.sigmf-meta')]);
    expect(stdout.trim().split('\n')).toHaveLength(2);
    expect(stderr.replace(/\s+/g, ' ')).toContain('From sample 0 on: tunedHz: got 9000 kHz');
  });

  it('tells where it was tuned by its name or a table', async () => {
    copyFileSync(inFolder('slice.wav'), inFolder('night_8420kHz.wav'));
    const named = await decode('--iq', '--tuned', 'name', inFolder('night_8420kHz.wav'));
    expect(named).toHaveLength(2);
    writeFileSync(inFolder('table.csv'), 'file,tuned\nslice.wav,8420\n');
    expect(await decode('--iq', '--table', inFolder('table.csv'), inFolder('slice.wav'))).toHaveLength(2);
  });

  it('says where its last sample is cut', async () => {
    const samples = readFileSync(inFolder('slice.cs16'));
    writeFileSync(inFolder('cut.cs16'), samples.subarray(0, samples.length - 3));
    const raw = ['--raw', 'cs16', '--rate-hz', '32000', '--tuned', '8420'];
    const { stdout, stderr } = await here(['decode', '--json', ...raw, inFolder('cut.cs16')]);
    expect(stdout.trim().split('\n')).toHaveLength(2);
    expect(stderr).toContain('The last sample is not whole: 1 of its 4 bytes are there');
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
