import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CHANNEL_PRESETS, measureLevelDb } from '../../src/channel/index.js';
import { readWav, writeWav } from '../../src/wav/index.js';
import { sized } from '../size.js';
import { here } from './here.js';

const SHIP = '299123456';
const CALL = ['test-call', '--from', SHIP, '--to', '002991234', '--rate-hz', '8000', '--level', '-20'];

let folder: string;
const inFolder = (name: string) => join(folder, name);
const wav = (name: string) => readWav(readFileSync(inFolder(name)));

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
  await here(['encode', ...CALL, '--bits', 'float', '--out', inFolder('clean.wav')]);
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

async function encode(name: string, ...flags: string[]): Promise<Float32Array> {
  const run = await here(['encode', ...CALL, '--bits', 'float', ...flags, '--out', inFolder(name)]);
  expect(run).toMatchObject({ code: 0 });
  return wav(name).channels[0];
}

/** Signal over what was added to it, within 3 kHz: white noise at 8000 Hz has 4000 Hz of bandwidth. */
function snrDb(clean: Float32Array, noisy: Float32Array): number {
  const noise = noisy.map((sample, i) => sample - clean[i]);
  return measureLevelDb(clean) - (measureLevelDb(noise) + 10 * Math.log10(3000 / 4000));
}

describe('encode through a channel', () => {
  // The quietest has its noise 10 dB above a tone of −40 dB: nothing comes near full scale, nothing is turned down.
  beforeAll(async () => {
    await here(['encode', ...CALL, '--level', '-40', '--bits', 'float', '--out', inFolder('quiet.wav')]);
  });

  it.each([-10, 0, 6, 25])('stands %d dB above the noise in 3 kHz', async (snr) => {
    const noisy = await encode('noisy.wav', '--level', '-40', '--snr', String(snr));
    const clean = wav('quiet.wav').channels[0];
    expect(noisy.length).toBe(clean.length);
    // Some 16 000 independent samples of noise: their power is within 0.05 dB of its mean most of the time.
    expect(Math.abs(snrDb(clean, noisy) - snr)).toBeLessThan(0.2);
  });

  it('puts the asked noise in place of that of a named channel', async () => {
    // The channel "weak" has 0 dB of its own and a passband of 2400 Hz behind it.
    const noisy = await encode('weak.wav', '--channel', 'weak', '--snr', '30');
    const [clean] = wav('clean.wav').channels;
    const noise = noisy.map((sample, i) => sample - clean[i]);
    expect(measureLevelDb(noise)).toBeLessThan(measureLevelDb(noisy) - 20);
  });

  it('gives the same bytes for the same seed and others for another', async () => {
    const flags = ['--channel', 'mid-latitude-moderate', '--snr', '3', '--seed'];
    for (const [name, seed] of [
      ['a', '5'],
      ['b', '5'],
      ['c', '6'],
    ])
      await encode(`${name}.wav`, ...flags, seed);
    const [a, b, c] = ['a', 'b', 'c'].map((name) => readFileSync(inFolder(`${name}.wav`)));
    expect(a.equals(b)).toBe(true);
    expect(a.equals(c)).toBe(false);
  });

  it('keeps its length through fading, and is shortened by a fast clock', async () => {
    const { length } = wav('clean.wav').channels[0];
    expect((await encode('faded.wav', '--channel', 'high-latitude-disturbed')).length).toBe(length);
    const fast = await encode('fast.wav', '--channel', 'poor-recording');
    expect(Math.abs(fast.length - length / 1.0015)).toBeLessThan(2);
  });

  it('takes other audio from the folder of the chain and from nowhere else', async () => {
    mkdirSync(inFolder('inner'), { recursive: true });
    symlinkSync(inFolder('clean.wav'), inFolder('inner/link.wav'));
    symlinkSync(folder, inFolder('inner/up'));
    copyFileSync(inFolder('clean.wav'), inFolder('inner/own.wav'));
    symlinkSync('own.wav', inFolder('inner/same.wav'));
    const run = (source: string) => {
      writeFileSync(inFolder('inner/chain.json'), JSON.stringify({ stages: [{ kind: 'audio', source }] }));
      return here(['encode', ...CALL, '--channel', inFolder('inner/chain.json'), '--out', inFolder('x.wav')]);
    };
    expect(await run('own.wav')).toMatchObject({ code: 0 });
    expect(await run('same.wav')).toMatchObject({ code: 0 });
    const outside = [
      '../clean.wav',
      'a/../../clean.wav',
      '..\\clean.wav',
      inFolder('clean.wav'),
      'C:clean.wav',
      'C:\\clean.wav',
      '\\\\host\\share\\clean.wav',
      'own.wav:stream',
      'link.wav',
      'up/clean.wav',
      'own.wav\0',
      '.',
    ];
    for (const source of outside) {
      const { code, stderr } = await run(source);
      expect({ source, code }).toEqual({ source, code: 2 });
      expect(stderr).toMatch(/^dotphase: stages\[0\]\.source: /);
    }
  });

  it('takes a chain from a file, with other audio beside it', async () => {
    const chain = { seed: 4, stages: [{ kind: 'audio', source: 'clean.wav', levelDb: 0 }] };
    writeFileSync(inFolder('chain.json'), JSON.stringify(chain));
    const doubled = await encode('doubled.wav', '--channel', inFolder('chain.json'));
    const clean = wav('clean.wav').channels[0];
    expect(Math.abs(measureLevelDb(doubled) - measureLevelDb(clean) - 20 * Math.log10(2))).toBeLessThan(0.05);
  });

  const bad: readonly [string, string[], string][] = [
    ['an unknown name', ['--channel', 'stormy'], 'channel: got "stormy"'],
    ['a bad ratio', ['--snr', 'much'], '--snr: got "much"'],
    ['a seed alone', ['--seed', '3'], '--seed: got 3, expected --channel or --snr'],
    ['a fraction as seed', ['--snr', '3', '--seed', '1.5'], '--seed: got "1.5"'],
  ];
  it.each(bad)('refuses %s', async (_, flags, message) => {
    const run = await here(['encode', ...CALL, ...flags, '--out', inFolder('bad.wav')]);
    expect(run.code).toBe(2);
    expect(run.stderr).toContain(message);
  });

  it('names the place in a file that is wrong', async () => {
    writeFileSync(inFolder('bad.json'), '{ "stages": [{ "kind": "noise", "snrDb": 400 }] }');
    const run = await here([
      'encode',
      ...CALL,
      '--channel',
      inFolder('bad.json'),
      '--out',
      inFolder('bad.wav'),
    ]);
    expect(run).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('stages[0].snrDb: got 400') as string,
    });
  });
});

/** The largest magnitude of all samples; 1 is full scale. */
const peakOf = (channels: readonly Float32Array[]) =>
  channels.reduce((most, samples) => samples.reduce((peak, x) => Math.max(peak, Math.abs(x)), most), 0);

describe('the level', () => {
  const RATIOS = sized(['-20', '40'], ['-20', '0', '20', '40']);
  const vhf = ['test-call', '--vhf', '--from', SHIP, '--to', '002991234', '--rate-hz', '8000'];

  it.each(Object.keys(CHANNEL_PRESETS))('leaves room through %s at any SNR', async (preset) => {
    const clean = inFolder('vhf.wav');
    await here(['encode', ...vhf, '--silence', '2.5', '--level', '0', '--out', clean]);
    for (const snr of RATIOS) {
      const flags = ['--channel', preset, '--snr', snr];
      const encoded = await here([
        'encode',
        ...vhf,
        '--silence',
        '2.5',
        ...flags,
        '--out',
        inFolder('e.wav'),
      ]);
      const degraded = await here(['degrade', clean, inFolder('d.wav'), ...flags]);
      for (const { code, stderr } of [encoded, degraded]) {
        expect(code).toBe(0);
        expect(stderr).not.toContain('clipped');
      }
      for (const name of ['e.wav', 'd.wav']) {
        expect(peakOf(wav(name).channels), `${name} at ${snr} dB`).toBeLessThan(0.9);
      }
    }
  });

  it('is turned down as far as needed, the same for all, and said', async () => {
    const [clean, noisy] = [inFolder('loud.wav'), inFolder('noisy.wav')];
    await here(['encode', ...vhf, '--level', '0', '--out', clean]);
    const run = await here(['degrade', clean, noisy, '--snr', '-10']);
    const [, downDb] = /turned down by ([\d.]+) dB so that nothing clips/.exec(run.stdout) ?? [];
    // −1 dB of full scale is 0.8913; sixteen bits.
    expect(peakOf(wav('noisy.wav').channels)).toBeCloseTo(0.8913, 3);
    // A sine at full scale has −3.01 dB; its noise in 3 kHz is 10 dB above that, in 4 kHz 1.25 dB more.
    const level = measureLevelDb(wav('noisy.wav').channels[0]);
    const sum = 10 * Math.log10(10 ** -0.301 + 10 ** 0.824);
    expect(Math.abs(level - (sum - Number(downDb)))).toBeLessThan(0.3);
    const said = /signal level (-[\d.]+) dB \(measured, then turned down\)/.exec(
      run.stdout.replace(/\s+/g, ' '),
    );
    expect(Number(said?.[1]) + Number(downDb)).toBeCloseTo(-3, 0);
  });

  it('clips only where that is asked for', async () => {
    for (const command of ['encode', 'degrade']) {
      const args =
        command === 'encode'
          ? [...vhf, '--out', inFolder('clipped.wav')]
          : [inFolder('loud.wav'), inFolder('clipped.wav')];
      const run = await here([command, ...args, '--snr', '-10', '--clip']);
      expect(run.code).toBe(0);
      expect(run.stderr).toMatch(/\d+ samples were beyond full scale and clipped/);
      expect(run.stdout).not.toContain('turned down');
      expect(peakOf(wav('clipped.wav').channels)).toBeGreaterThan(0.999);
    }
  });
});

describe('degrade', () => {
  it('changes the level before the channel where it is told to', async () => {
    const flags = ['--snr', '30', '--clip'];
    await here(['degrade', inFolder('clean.wav'), inFolder('plain.wav'), ...flags]);
    await here(['degrade', inFolder('clean.wav'), inFolder('quiet.wav'), ...flags, '--gain', '-20']);
    const [a, b] = ['plain.wav', 'quiet.wav'].map((name) => measureLevelDb(wav(name).channels[0]));
    expect(b - a).toBeCloseTo(-20, 3);
  });

  const stereo = () => {
    const tone = Float32Array.from(
      { length: 22_050 },
      (_, n) => 0.1 * Math.sin((2 * Math.PI * 1700 * n) / 11_025),
    );
    writeFileSync(
      inFolder('stereo.wav'),
      writeWav({ sampleRate: 11_025, bitDepth: 24, channels: [tone, tone, tone.map((x) => x / 2)] }),
    );
    return tone;
  };

  async function degrade(...flags: string[]) {
    const run = await here(['degrade', inFolder('stereo.wav'), inFolder('worse.wav'), ...flags]);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    return { ...wav('worse.wav'), stdout: run.stdout };
  }

  it('keeps rate, depth, channels and length', async () => {
    const tone = stereo();
    const worse = await degrade('--channel', 'low-latitude-disturbed', '--snr', '10');
    expect(worse).toMatchObject({ sampleRate: 11_025, bitDepth: 24, channelCount: 3 });
    expect(worse.channels.map(({ length }) => length)).toEqual([22_050, 22_050, 22_050]);
    expect(worse.channels[0]).not.toEqual(tone);
  });

  it('keeps what was alike alike, and measures the level of each channel', async () => {
    const tone = stereo();
    const { channels, stdout } = await degrade('--snr', '10');
    expect(channels[0]).toEqual(channels[1]);
    // A sine of amplitude 0.1 has the level 20 log 0.1 − 3.01 dB; half of it lies 6.02 dB lower.
    expect(stdout.replace(/\s+/g, ' ')).toContain('signal level -23.0 and -23.0 and -29.0 dB (measured)');
    const noise = [0, 2].map((i) => channels[i].map((x, n) => x - tone[n] / (i === 0 ? 1 : 2)));
    const inThreeKilohertz = measureLevelDb(noise[0]) + 10 * Math.log10(3000 / (11_025 / 2));
    expect(Math.abs(-23.01 - inThreeKilohertz - 10)).toBeLessThan(0.2);
    expect(measureLevelDb(noise[0]) - measureLevelDb(noise[1])).toBeCloseTo(6.02, 1);
  });

  it('takes a given level for the signal', async () => {
    const tone = stereo();
    const { channels } = await degrade('--snr', '10', '--level', '-43.01');
    const noise = channels[0].map((x, n) => x - tone[n]);
    const inThreeKilohertz = measureLevelDb(noise) + 10 * Math.log10(3000 / (11_025 / 2));
    expect(Math.abs(-43.01 - inThreeKilohertz - 10)).toBeLessThan(0.2);
  });

  it('refuses to write over what it reads, silence without a level, and nothing to do', async () => {
    stereo();
    const same = await here(['degrade', inFolder('stereo.wav'), inFolder('stereo.wav'), '--snr', '3']);
    expect(same).toMatchObject({ code: 2, stderr: expect.stringContaining('another file') as string });
    writeFileSync(inFolder('silent.wav'), writeWav({ sampleRate: 8000, channels: [new Float32Array(800)] }));
    const silent = await here(['degrade', inFolder('silent.wav'), inFolder('worse.wav'), '--snr', '3']);
    expect(silent).toMatchObject({ code: 2, stderr: expect.stringContaining('--level') as string });
    const idle = await here(['degrade', inFolder('stereo.wav'), inFolder('worse.wav')]);
    expect(idle).toMatchObject({ code: 2, stderr: expect.stringContaining('--channel') as string });
  });
});
