/** Audio from somewhere within a file on: what a file holds there, whether what lies before is read or not. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readAudioBlocks, type AudioFileOptions } from '../../src/containers/index.js';
import { audioFileBlocks } from '../../src/containers/node.js';
import { createRawReader, writeWav, type AudioBlock } from '../../src/wav/index.js';
import { wavFileBlocks } from '../../src/wav/node.js';
import { createChoices } from '../scenes/random.js';
import fc from '../property.js';
import { sized } from '../size.js';

const RATE = 8000;
/** Longer than what is read from a disk at a time, 262 144 bytes, in every form. */
const FRAMES = 300_000;
const SECONDS = FRAMES / RATE;
const choices = createChoices(1);
const CHANNELS = [0, 1].map(() => Float32Array.from({ length: FRAMES }, () => choices.uniform(-0.9, 0.9)));

let folder: string;
const path = (name: string) => join(folder, name);

/** The same samples in every form that has places which can be jumped to. */
const NAMES = [
  'pcm8.wav',
  'pcm16.wav',
  'pcm24.wav',
  'float.wav',
  'long.wav',
  'open.wav',
  'cut.wav',
  'lies.wav',
];
const OTHERS = ['twos.aiff', 'cut.aiff', 'whole.flac'];

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'from-'));
  const wav = (options: object) => writeWav({ sampleRate: RATE, channels: CHANNELS, ...options });
  writeFileSync(path('pcm8.wav'), wav({ bitDepth: 8 }));
  writeFileSync(path('pcm16.wav'), wav({ bitDepth: 16 }));
  writeFileSync(path('pcm24.wav'), wav({ bitDepth: 24 }));
  writeFileSync(path('float.wav'), wav({ bitDepth: 32, float: true }));
  const bytes = wav({ bitDepth: 16 });
  const change = (name: string, at: number, sizes: readonly number[], cutTo = bytes.length) => {
    const changed = Buffer.from(bytes.subarray(0, cutTo));
    sizes.forEach((size, i) => changed.writeUInt32LE(size, at + 4 * i));
    writeFileSync(path(name), changed);
  };
  // The sizes of the RIFF chunk at byte 4 and of the data chunk at byte 40.
  change('open.wav', 40, [0xffff_ffff]);
  change('cut.wav', 40, [bytes.length - 44], 800_001);
  change('lies.wav', 40, [400_000]);
  // RF64 (EBU Tech 3306, from memory): a ds64 chunk of 28 bytes behind "WAVE", sizes of 64 bits in it.
  const long = Buffer.alloc(36 + bytes.length);
  long.set(bytes.subarray(0, 12));
  long.write('RF64', 0, 'latin1');
  long.writeUInt32LE(0xffff_ffff, 4);
  long.write('ds64', 12, 'latin1');
  long.writeUInt32LE(28, 16);
  long.writeBigUInt64LE(BigInt(long.length - 8), 20);
  long.writeBigUInt64LE(BigInt(bytes.length - 44), 28);
  long.set(bytes.subarray(12), 48);
  long.writeUInt32LE(0xffff_ffff, 76);
  writeFileSync(path('long.wav'), long);
  const sox = (...args: string[]) => execFileSync('sox', ['-D', path('pcm16.wav'), ...args]);
  sox(path('twos.aiff'));
  sox(path('whole.flac'));
  writeFileSync(path('cut.aiff'), readFileSync(path('twos.aiff')).subarray(0, 900_003));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

async function joined(blocks: AsyncIterable<AudioBlock>): Promise<Float32Array[]> {
  const parts: Float32Array[][] = [];
  for await (const { channels } of blocks) parts.push(channels);
  const frames = parts.reduce((sum, [first]) => sum + first.length, 0);
  const whole = (parts.at(0) ?? []).map(() => new Float32Array(frames));
  let at = 0;
  for (const part of parts) {
    part.forEach((samples, channel) => {
      whole[channel].set(samples, at);
    });
    at += part[0].length;
  }
  return whole;
}

interface Read {
  readonly channels: Float32Array[];
  readonly warnings: string[];
  /** Pieces that were read from the disk. */
  readonly reads: number;
}

async function fromDisk(name: string, options: AudioFileOptions): Promise<Read> {
  const warnings: string[] = [];
  const seen: number[] = [];
  const onWarning = ({ text }: { text: string }) => void warnings.push(text);
  const onProgress = (bytes: number) => void seen.push(bytes);
  const channels = await joined(audioFileBlocks(path(name), { ...options, onWarning, onProgress }));
  return { channels, warnings, reads: seen.length };
}

const same = (a: readonly Float32Array[], b: readonly Float32Array[]) =>
  a.length === b.length && a.every((samples, i) => Buffer.compare(bytesOf(samples), bytesOf(b[i])) === 0);
const bytesOf = (samples: Float32Array) =>
  Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength);

describe('audio from a second on', () => {
  it.each([...NAMES, ...OTHERS])('of %s is what the whole file holds there', async (name) => {
    const bytes = readFileSync(path(name));
    const whole = {
      each: await fromDisk(name, {}),
      mix: await fromDisk(name, { channel: 'mix' }),
      0: await fromDisk(name, { channel: 0 }),
    };
    const seconds = fc.oneof(fc.double({ min: 0, max: 1.1 * SECONDS, noNaN: true }), fc.nat(40));
    const choice = fc.constantFrom<(0 | 'mix' | 'each')[]>(0, 'mix', 'each');
    await fc.assert(
      fc.asyncProperty(seconds, choice, async (from, channel) => {
        const { channels, warnings } = whole[channel];
        const first = Math.floor(from * RATE);
        const isIn = channels[0].length > first;
        const expected = isIn ? channels.map((samples) => samples.subarray(first)) : [];
        const read = await fromDisk(name, { from, channel });
        expect(same(read.channels, expected)).toBe(true);
        // What is wrong with the file is said as of the whole; a frame that is cut off only by whoever reads up to it.
        const isSaid = (text: string) => isIn || !text.startsWith('The last frame');
        expect(read.warnings).toEqual(warnings.filter(isSaid));
        const streamed = joined(readAudioBlocks([bytes], { from, channel, totalBytes: bytes.length }));
        expect(same(await streamed, expected)).toBe(true);
      }),
      { numRuns: sized(6, 12) },
    );
  });

  it.each(['pcm8.wav', 'pcm24.wav', 'float.wav', 'long.wav', 'open.wav', 'cut.wav', 'twos.aiff'])(
    'of %s is reached without reading what lies before',
    async (name) => {
      const { channels, reads } = await fromDisk(name, {});
      expect(reads).toBeGreaterThan(2);
      // The first piece, which has the header, then the last tenth of a second.
      const from = channels[0].length / RATE - 0.1;
      expect((await fromDisk(name, { from })).reads).toBeLessThanOrEqual(2);
    },
  );

  it('of a WAV file and of samples without a header is the same', async () => {
    const all = await joined(wavFileBlocks(path('pcm16.wav')));
    const late = await joined(wavFileBlocks(path('pcm16.wav'), { from: 30.00001 }));
    expect(
      same(
        late,
        all.map((samples) => samples.subarray(240_000)),
      ),
    ).toBe(true);
    const raw = readFileSync(path('pcm16.wav')).subarray(44);
    const reader = createRawReader({ format: 's16', sampleRate: RATE, channels: 2, from: 30.00001 });
    expect(reader.toSkip).toBe(960_000);
    // Some is pushed, some left out, some pushed again.
    const blocks = reader.push(raw.subarray(0, 1001));
    reader.skip(900_000);
    expect(reader.toSkip).toBe(58_999);
    blocks.push(...reader.push(raw.subarray(901_001)), ...reader.end().blocks);
    expect(blocks.map(({ channels }) => channels[0].length).reduce((a, b) => a + b)).toBe(60_000);
    expect(blocks[0].channels.map(([first]) => first)).toEqual(late.map(([first]) => first));
  });

  it.each([-1, NaN, Infinity, 1e10])('is refused from %s', async (from) => {
    await expect(fromDisk('pcm16.wav', { from })).rejects.toThrow(/from: got .*, expected a number from 0/);
    expect(() => createRawReader({ format: 's16', sampleRate: RATE, from })).toThrow(/from: got/);
  });
});
