import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { AudioBlock, WavWarning } from '../../src/wav/index.js';
import { createWavWriter, readRawBlocks, readWav, readWavBlocks, writeWav } from '../../src/wav/index.js';
import { readWavFile, wavFileBlocks, writeWavFile } from '../../src/wav/node.js';
import { chunk, fmt16, identical, plain, riff, s16 } from './build.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-wav-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const file = (name: string): string => join(folder, name);

describe('files', () => {
  const samples = Float32Array.from({ length: 300_000 }, (_, i) => (((i * 7919) % 65536) - 32768) / 32768);

  it('written block by block and read block by block', async () => {
    const path = file('blocks.wav');
    function* halves(): Generator<Float32Array[]> {
      yield [samples.subarray(0, 123_457)];
      yield [samples.subarray(123_457)];
    }
    expect(await writeWavFile(path, { sampleRate: 12000 }, halves())).toEqual({
      frames: 300_000,
      clipped: 0,
    });

    const onProgress = vi.fn<(read: number, total: number | undefined) => void>();
    let frames = 0;
    for await (const block of wavFileBlocks(path, { onProgress })) {
      expect(block.sampleRate).toBe(12000);
      const [given] = block.channels;
      expect(identical(given, samples.subarray(frames, frames + given.length))).toBe(true);
      frames += given.length;
    }
    expect(frames).toBe(300_000);
    expect(onProgress.mock.calls.length).toBeGreaterThan(1);
    expect(onProgress).toHaveBeenLastCalledWith(600_080, 600_080);
    expect(onProgress.mock.calls[0]).toEqual([262_144, 600_080]);
  });

  it('read whole', async () => {
    const path = file('whole.wav');
    writeFileSync(path, writeWav({ sampleRate: 8000, channels: [samples, samples], bitDepth: 24 }));
    const { channels, ...info } = await readWavFile(path);
    const { channels: expected, ...expectedInfo } = readWav(readFileSync(path));
    expect(info).toEqual(expectedInfo);
    expect(channels.map((given, c) => identical(given, expected[c]))).toEqual([true, true]);
    const mix = await readWavFile(path, { channel: 'mix' });
    expect(mix.channels.map((given) => identical(given, samples))).toEqual([true]);
  });

  it('of known length', async () => {
    const path = file('known.wav');
    await writeWavFile(path, { sampleRate: 12000, frames: 2 }, [[Float32Array.of(0.5, -0.5)]]);
    expect(new Uint8Array(readFileSync(path))).toEqual(plain(16384, -16384));
  });

  it('whose source fails keep what was written, with a true header', async () => {
    const path = file('failed.wav');
    function* failing(): Generator<Float32Array[]> {
      yield [Float32Array.of(0.5)];
      throw new Error('the source failed');
    }
    await expect(writeWavFile(path, { sampleRate: 12000 }, failing())).rejects.toThrow('the source failed');
    expect(await readWavFile(path)).toMatchObject({ declaredFrames: 1, warnings: [] });
  });

  it('tell warnings, and are closed when the loop is left', async () => {
    const path = file('short.wav');
    writeFileSync(path, riff([chunk('fmt ', fmt16()), chunk('data', s16(1, 2), { size: 8 })]));
    expect((await readWavFile(path)).warnings.map(({ kind }) => kind)).toEqual(['data-cut-short']);
    const lowestFree = (): number => {
      const descriptor = openSync(path, 'r');
      closeSync(descriptor);
      return descriptor;
    };
    const before = lowestFree();
    for await (const block of wavFileBlocks(path)) {
      expect(block.channels[0]).toHaveLength(2);
      break;
    }
    await expect(readWavFile(path, { channel: 3 })).rejects.toThrow('channel: got 3');
    expect(lowestFree()).toBe(before);
  });

  it('that cannot be opened are refused by path', async () => {
    await expect(readWavFile(file('none.wav'))).rejects.toThrow(
      /^path: got .* expected a file that can be read \(there is no such file/,
    );
    await expect(readWavFile(folder)).rejects.toThrow(/^path: got .*\(it is a folder\)/);
    await expect(writeWavFile(join(folder, 'none', 'x.wav'), { sampleRate: 12000 }, [])).rejects.toThrow(
      /^path: got/,
    );
    await expect(writeWavFile(folder, { sampleRate: 12000 }, [])).rejects.toThrow(
      /^path: got .*\(it is a folder\)/,
    );
  });

  it('are not touched if an option is wrong', async () => {
    const path = file('kept.wav');
    writeFileSync(path, 'kept');
    await expect(writeWavFile(path, { sampleRate: 0 }, [])).rejects.toThrow('sampleRate: got 0');
    expect(readFileSync(path, 'utf8')).toBe('kept');
  });
});

describe('sox', () => {
  beforeAll(() => {
    if (spawnSync('sox', ['--version']).status !== 0) {
      throw new Error('These tests need sox on the PATH (Debian: apt-get install sox).');
    }
  });

  const sox = (...args: string[]): void => {
    execFileSync('sox', ['-D', ...args], { stdio: ['ignore', 'ignore', 'pipe'] });
  };
  /** Half a second of 1700 Hz at half scale. */
  const tone = ['synth', '0.5', 'sine', '1700', 'vol', '0.5'];
  const ideal = (rate: number): Float32Array =>
    Float32Array.from({ length: rate / 2 }, (_, i) => 0.5 * Math.sin((2 * Math.PI * 1700 * i) / rate));

  function worst(samples: Float32Array, expected: Float32Array): number {
    expect(samples).toHaveLength(expected.length);
    return samples.reduce((most, value, i) => Math.max(most, Math.abs(value - expected[i])), 0);
  }

  for (const [name, args, step, encoding] of [
    ['8 bit', ['-b', '8'], 2 ** -7, 'pcm'],
    ['16 bit', ['-b', '16'], 2 ** -15, 'pcm'],
    ['24 bit', ['-b', '24'], 2 ** -23, 'pcm'],
    ['32 bit', ['-b', '32'], 2 ** -24, 'pcm'],
    ['float', ['-e', 'float', '-b', '32'], 2 ** -24, 'float'],
    ['double', ['-e', 'float', '-b', '64'], 2 ** -24, 'float'],
    // the largest step of either law at half scale, on a 16-bit scale: 512
    ['A-law', ['-e', 'a-law'], 512 / 32768, 'alaw'],
    ['µ-law', ['-e', 'mu-law'], 512 / 32768, 'mulaw'],
  ] as const) {
    for (const channels of ['1', '2']) {
      it(`writes ${name}, ${channels} channels: read within a step`, async () => {
        const path = file(`sox-${name}-${channels}.wav`);
        sox('-r', '12000', '-n', '-c', channels, ...args, path, ...tone);
        const audio = await readWavFile(path);
        expect(audio).toMatchObject({
          sampleRate: 12000,
          channelCount: Number(channels),
          encoding,
          warnings: [],
        });
        for (const samples of audio.channels) expect(worst(samples, ideal(12000))).toBeLessThanOrEqual(step);
      });
    }
  }

  it('reads every kind that is written, back to 16 bit', async () => {
    const channels = [ideal(12000), ideal(12000).map((value) => -value)];
    for (const [name, options] of Object.entries({
      a: { bitDepth: 16 },
      b: { bitDepth: 24 },
      c: { bitDepth: 32 },
      d: { float: true },
    } as const)) {
      await writeWavFile(file(`${name}.wav`), { sampleRate: 12000, channels: 2, ...options }, [channels]);
      sox(file(`${name}.wav`), '-b', '16', file(`${name}-16.wav`));
      const audio = await readWavFile(file(`${name}-16.wav`));
      for (const [c, samples] of audio.channels.entries())
        expect(worst(samples, channels[c])).toBeLessThan(2 ** -15);
    }
  });

  it('resamples what is written: the tone keeps its frequency and level', async () => {
    await writeWavFile(file('12k.wav'), { sampleRate: 12000 }, [[ideal(12000)]]);
    for (const rate of [8000, 11025, 44100, 192000]) {
      sox(file('12k.wav'), '-r', String(rate), file('resampled.wav'));
      const audio = await readWavFile(file('resampled.wav'));
      expect(audio.sampleRate).toBe(rate);
      // the projection on 1700 Hz over the middle 0.4 s, a whole number of periods
      let real = 0;
      let imaginary = 0;
      const first = Math.round(0.05 * rate);
      const count = Math.round(0.4 * rate);
      for (let i = first; i < first + count; i++) {
        const phase = (2 * Math.PI * 1700 * i) / rate;
        real += audio.channels[0][i] * Math.sin(phase);
        imaginary += audio.channels[0][i] * Math.cos(phase);
      }
      expect((2 * Math.hypot(real, imaginary)) / count).toBeCloseTo(0.5, 3);
      expect(Math.atan2(imaginary, real)).toBeCloseTo(0, 2);
    }
  });

  /** What sox writes to a pipe that goes through another program, so that it cannot put the header right. */
  async function piped(format: string): Promise<{ samples: Float32Array; warnings: readonly WavWarning[] }> {
    const command = `sox -D -r 12000 -n -b 16 -c 2 -t ${format} - ${tone.join(' ')} 2>/dev/null | cat`;
    const child = spawn('sh', ['-c', command], { stdio: ['ignore', 'pipe', 'inherit'] });
    const source =
      format === 'wav'
        ? readWavBlocks(child.stdout, { channel: 1 })
        : readRawBlocks(child.stdout, { format: 's16', sampleRate: 12000, channels: 2, channel: 1 });
    const blocks: AudioBlock[] = [];
    for (;;) {
      const next = await source.next();
      if (next.done) {
        const samples = blocks.flatMap((block) => [...block.channels[0]]);
        return { samples: Float32Array.from(samples), warnings: next.value.warnings };
      }
      blocks.push(next.value);
    }
  }

  for (const format of ['wav', 's16']) {
    it(`${format} from a pipe`, async () => {
      const { samples, warnings } = await piped(format);
      expect(warnings).toEqual([]);
      expect(worst(samples, ideal(12000))).toBeLessThan(2 ** -15);
    });
  }

  it('reads a stream whose header was never put right', async () => {
    const path = file('unpatched.wav');
    const writer = createWavWriter({ sampleRate: 12000 });
    writeFileSync(path, Buffer.concat([writer.header, writer.push([ideal(12000)])]));
    sox('--ignore-length', path, file('patched.wav'));
    expect(worst((await readWavFile(file('patched.wav'))).channels[0], ideal(12000))).toBeLessThan(2 ** -15);
  });
});

describe('the face of the room', () => {
  it('reaches nothing of Node', () => {
    const reached = new Set<string>();
    const visit = (path: string): void => {
      if (reached.has(path)) return;
      reached.add(path);
      const source = readFileSync(new URL(path, import.meta.url), 'utf8');
      for (const [, specifier] of source.matchAll(/from '([^']+)'/g)) {
        expect(specifier, path).not.toMatch(/^node:/);
        if (specifier.startsWith('./')) visit(`../../src/wav/${specifier.slice(2).replace(/\.js$/, '.ts')}`);
      }
    };
    visit('../../src/wav/index.ts');
    expect(reached.size).toBeGreaterThan(8);
  });
});
