/** Slices of spectrum that the command line makes. */
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { parseSigmf, type SliceScene } from '../../src/radio/index.js';
import { readWav } from '../../src/wav/index.js';
import { ALERT } from '../scenes/alert.js';
import { build, runProgram } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const TEST: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299654321' };
const SCENE: SliceScene = {
  sampleRate: 32_000,
  tunedHz: 8_420_000,
  seconds: 9,
  seed: 4,
  recorded: '2031-05-17T09:30:00Z',
  noiseDb: -55,
  calls: [
    { call: ALERT, frequencyHz: 8_414_500, atSeconds: 0.5, levelDb: -12 },
    { call: TEST, frequencyHz: 8_415_500, atSeconds: 1, snrDb: 20 },
  ],
  carriers: [{ frequencyHz: 8_425_000, levelDb: -10 }],
};

let folder: string;
const inFolder = (name: string) => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'made-'));
  writeFileSync(inFolder('scene.json'), JSON.stringify(SCENE));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

interface Line {
  symbols: number[];
  frequencyHz: number;
  startUtc?: string;
}
async function decode(...args: string[]): Promise<Line[]> {
  const { stdout } = await here(['decode', '--json', ...args]);
  return jsonLines<Line>(stdout).sort((a, b) => a.frequencyHz - b.frequencyHz);
}
const made = (name: string, ...more: string[]) =>
  here(['slice', inFolder('scene.json'), '--out', inFolder(name), ...more]);

describe('a slice that the command line makes', () => {
  it.each<[string, string[], string[]]>([
    ['a.wav', [], ['--iq', '--tuned', '8420']],
    ['float.wav', ['--format', 'cf32'], ['--iq', '--tuned', '8420']],
    ['a.sigmf-meta', [], []],
    ['bytes.sigmf-data', ['--format', 'cu8'], []],
    ['float.sigmf-meta', ['--format', 'cf32'], []],
    ['signed.sigmf-meta', ['--format', 'cs8'], []],
    ['a.cu8', [], ['--raw', 'cu8', '--rate-hz', '32000', '--tuned', '8420']],
    ['a.cs16', ['--format', 'cs16'], ['--raw', 'cs16', '--rate-hz', '32000', '--tuned', '8420']],
  ])('is read whole: %s', async (name, how, flags) => {
    const { stdout, stderr, code } = await made(name, ...how);
    expect([stderr, code]).toEqual(['', 0]);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /tuned to 8420 kHz; 2 calls; 1 carrier.*never put it on the air/,
    );
    const lines = await decode(...flags, inFolder(name));
    expect(lines.map(({ frequencyHz, symbols }) => [frequencyHz, symbols])).toEqual([
      [8_414_500, encodeCall(ALERT).symbols],
      [8_415_500, encodeCall(TEST).symbols],
    ]);
    if (name.includes('sigmf')) expect(lines[0].startUtc).toMatch(/^2031-05-17T09:30:02\.[45]/);
  });

  it('has metadata of SigMF with what is in it', async () => {
    await made('known.sigmf');
    const text = readFileSync(inFolder('known.sigmf-meta'), 'utf8');
    expect(parseSigmf(text)).toEqual({
      format: 'cs16',
      sampleRate: 32_000,
      captures: [{ start: 0, tunedHz: 8_420_000, began: Date.UTC(2031, 4, 17, 9, 30) }],
    });
    const { annotations } = JSON.parse(text) as { annotations: Record<string, unknown>[] };
    // An alert takes 7.2 s, a test call to a coast station 0.2 s of dots and 5.2 s (M.493 Annex 1, from memory).
    expect(annotations[0]).toMatchObject({ 'core:sample_start': 16_000, 'core:sample_count': 7.2 * 32_000 });
    expect(annotations[1]['core:comment']).toMatch(/^Test call/);
    expect(statSync(inFolder('known.sigmf-data')).size).toBe(4 * 9 * 32_000);
  });

  it('is turned down where it would clip, or clipped where that is asked for', async () => {
    const loud = { ...SCENE, carriers: [{ frequencyHz: 8_425_000, levelDb: 6 }] };
    writeFileSync(inFolder('loud.json'), JSON.stringify(loud));
    const peak = (name: string) => {
      const { channels } = readWav(readFileSync(inFolder(name)));
      return channels[0].reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    };
    const down = await here(['slice', inFolder('loud.json'), '--out', inFolder('down.wav')]);
    expect(down.stdout).toMatch(/turned down by \d\.\d dB so that nothing\s+clips/);
    expect(peak('down.wav')).toBeLessThan(0.9);
    const clipped = await here(['slice', inFolder('loud.json'), '--out', inFolder('clipped.wav'), '--clip']);
    expect(clipped.stderr).toMatch(/warning: \d+ samples were beyond full scale and clipped/);
    expect(peak('clipped.wav')).toBeGreaterThan(0.999);
    const float = await here([
      'slice',
      inFolder('loud.json'),
      '--out',
      inFolder('loud.wav'),
      '--format',
      'cf32',
    ]);
    expect(float.stderr).toBe('');
    expect(peak('loud.wav')).toBeGreaterThan(1.9);
  });

  it('is another with another seed and the same with the same', async () => {
    for (const [name, seed] of [
      ['one.cs8', '1'],
      ['same.cs8', '1'],
      ['two.cs8', '2'],
    ])
      await made(name, '--seed', seed);
    const bytes = (name: string) => readFileSync(inFolder(name));
    expect(bytes('same.cs8').equals(bytes('one.cs8'))).toBe(true);
    expect(bytes('two.cs8').equals(bytes('one.cs8'))).toBe(false);
  });

  it('comes from and goes through pipes', async () => {
    build();
    const { stdout, stderr, code } = await runProgram(
      'main',
      ['slice', '-', '--format', 'cu8', '--out', '-'],
      {
        input: JSON.stringify({ ...SCENE, seconds: 0.5, calls: [] }),
      },
    );
    expect(code).toBe(0);
    expect(stderr).toContain('standard output: 0.5 s at 32000 samples a second, cu8');
    expect(stdout.length).toBeGreaterThan(0);
  });

  it('begins with an example that is made and read', async () => {
    const { stdout } = await here(['slice', '--example']);
    writeFileSync(inFolder('example.json'), stdout);
    const { code } = await here(['slice', inFolder('example.json'), '--out', inFolder('example.sigmf-meta')]);
    expect(code).toBe(0);
    expect((await decode(inFolder('example.sigmf-meta'))).map(({ frequencyHz }) => frequencyHz)).toEqual([
      8_414_500, 8_436_500,
    ]);
  });

  it.each<[string[], RegExp]>([
    [['scene.json'], /--out: got nothing/],
    [['--out', 'x.wav'], /scene: got nothing/],
    [['scene.json', '--out', 'x.mp3'], /--out: got .*x\.mp3.*\.wav, \.sigmf-meta/],
    [['scene.json', '--out', 'x.cu8', '--format', 'cs16'], /--format: got .*cs16.*cu8/],
    [['scene.json', '--out', 'x.wav', '--format', 'cu8'], /--format: got .*cu8.*cs16 or cf32/],
    [['scene.json', '--out', 'none/x.cu8'], /none\/x\.cu8.*can be written/],
    [['scene.json', '--example'], /--example/],
    [['missing.json', '--out', 'x.wav'], /missing\.json/],
    [['bad.json', '--out', 'x.wav'], /calls\[0\]\.frequencyHz: got 8500000/],
    [['broken.json', '--out', 'x.wav'], /scene in JSON/],
  ])('is refused, and nothing written: %j', async (args, expected) => {
    const call = { call: TEST, frequencyHz: 8_500_000, atSeconds: 1, levelDb: -10 };
    writeFileSync(inFolder('bad.json'), JSON.stringify({ ...SCENE, calls: [call] }));
    writeFileSync(inFolder('broken.json'), '{"sampleRate":');
    const placed = args.map((one) => (one.includes('.') ? inFolder(one) : one));
    const { stderr, stdout, code } = await here(['slice', ...placed]);
    expect(stderr.replace(/\s+/g, ' ')).toMatch(expected);
    expect([stdout, code]).toEqual(['', 2]);
  });
});
