/**
 * FLAC from somewhere within a file on: the same samples as of the whole file, whatever its seek table (RFC 9639 §8.5)
 * says, and no more work than it spares. Files are made by another program, which writes no table; tables are put in.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { FLACDecoder } from '@wasm-audio-decoders/flac';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { readAudioBlocks } from '../../src/containers/index.js';
import { audioFileBlocks } from '../../src/containers/node.js';
import { writeWav, type AudioBlock } from '../../src/wav/index.js';
import { createChoices } from '../scenes/random.js';

const RATE = 8000;
/** 49 frames of 4096 samples, and a short one. */
const FRAMES = 49 * 4096 + 100;
const STREAM_INFO_END = 42;
const PLACEHOLDER = 0xffff_ffff_ffff_ffffn;

interface Point {
  readonly sample: number | bigint;
  readonly offset: number | bigint;
}

let folder: string;
let made: Buffer;
/** Where each frame begins, in bytes behind the metadata. */
let offsets: number[];
const path = (name: string) => join(folder, name);

/** Where the last metadata block and the first frame begin: blocks have 24 bits of length, the last one its first bit set (§8.1). */
function metadataOf(bytes: Buffer): { last: number; end: number } {
  for (let at = 4; ;) {
    const end = at + 4 + bytes.readUIntBE(at + 1, 3);
    if ((bytes[at] & 0x80) !== 0) return { last: at, end };
    at = end;
  }
}

/** The head of a frame with so low a number, coded as one or two bytes, from a file of fixed block size (§9.1). */
const headOf = (head: Buffer, number: number) =>
  Buffer.concat([
    head,
    number < 128 ? Buffer.of(number) : Buffer.of(0xc0 | (number >> 6), 0x80 | (number & 63)),
  ]);

/** A table of so many points, behind STREAMINFO or behind all other metadata. */
function withTable(bytes: Buffer, points: readonly Point[], { isLast = false, cut = 0 } = {}): Buffer {
  const table = Buffer.alloc(4 + 18 * points.length - cut);
  table.writeUInt8(3 | (isLast ? 0x80 : 0), 0);
  table.writeUIntBE(table.length - 4, 1, 3);
  points.forEach(({ sample, offset }, i) => {
    const point = Buffer.alloc(18);
    point.writeBigUInt64BE(BigInt(sample), 0);
    point.writeBigUInt64BE(BigInt(offset), 8);
    point.writeUInt16BE(4096, 16);
    point.copy(table, 4 + 18 * i);
  });
  const { last, end } = metadataOf(bytes);
  const at = isLast ? end : STREAM_INFO_END;
  const before = Buffer.from(bytes.subarray(0, at));
  if (isLast) before[last] &= 0x7f;
  return Buffer.concat([before, table, bytes.subarray(at)]);
}

const pointAt = (frame: number): Point => ({ sample: frame * 4096, offset: offsets[frame] });
const everyFifth = () => [0, 5, 10, 15, 20, 25, 30, 35, 40, 45].map(pointAt);

async function read(
  name: string,
  from: number,
): Promise<{ samples: Buffer[]; warnings: string[]; reads: number }> {
  const parts: Float32Array[][] = [];
  const warnings: string[] = [];
  let reads = 0;
  for await (const { channels } of audioFileBlocks(path(name), {
    from,
    onWarning: ({ text }) => void warnings.push(text),
    onProgress: () => {
      reads++;
    },
  }))
    parts.push(channels);
  return { samples: joined(parts), warnings, reads };
}

/** The samples of both channels one after the other, in blocks, as bytes. */
const joined = (parts: readonly Float32Array[][]) =>
  [0, 1].map((channel) =>
    Buffer.concat(
      parts.map((part) => {
        const { buffer, byteOffset, byteLength } = part[channel];
        return Buffer.from(buffer, byteOffset, byteLength);
      }),
    ),
  );

async function streamed(name: string, from: number): Promise<Buffer[]> {
  const bytes = readFileSync(path(name));
  const pieces = Array.from({ length: Math.ceil(bytes.length / 7001) }, (_, i) =>
    bytes.subarray(7001 * i, 7001 * (i + 1)),
  );
  const parts: AudioBlock[] = [];
  for await (const block of readAudioBlocks(pieces, { from })) parts.push(block);
  return joined(parts.map(({ channels }) => channels));
}

/** Edges of frames, and places between them. */
const PLACES = [
  1,
  4096,
  5 * 4096,
  5 * 4096 - 1,
  45 * 4096,
  123_456,
  49 * 4096,
  FRAMES - 1,
  FRAMES,
  2 * FRAMES,
];
/** To the sample, where a division rounds down. */
const secondsOf = (sample: number) => (sample + 0.25) / RATE;

/** Tables, by name: those that tell the truth first. */
const TRUE_TABLES: Record<string, () => Buffer> = {
  'a table': () => withTable(made, everyFifth()),
  'a table behind all other metadata': () => withTable(made, everyFifth(), { isLast: true }),
  placeholders: () =>
    withTable(made, [
      ...everyFifth(),
      ...Array.from({ length: 5 }, () => ({ sample: PLACEHOLDER, offset: 0 })),
    ]),
  'unsorted points': () => withTable(made, everyFifth().reverse()),
  'a last point that is cut off': () => withTable(made, [...everyFifth(), pointAt(47)], { cut: 1 }),
};
const OTHERS: Record<string, () => Buffer> = {
  'no table': () => made,
  'an empty table': () => withTable(made, []),
  'placeholders alone': () => withTable(made, [{ sample: PLACEHOLDER, offset: 0 }]),
  'points at the frame behind': () =>
    withTable(
      made,
      everyFifth().map(({ sample }, i) => ({ sample, offset: offsets[5 * i + 1] })),
    ),
  'points at the frame before': () =>
    withTable(
      made,
      everyFifth().map(({ sample }, i) => ({ sample, offset: offsets[Math.max(0, 5 * i - 1)] })),
    ),
  'points within frames': () =>
    withTable(
      made,
      everyFifth().map(({ sample, offset }) => ({ sample, offset: Number(offset) + 1 })),
    ),
  'points behind the file': () =>
    withTable(
      made,
      everyFifth().map(({ sample, offset }) => ({ sample, offset: Number(offset) + 10_000_000 })),
    ),
  'points at its last bytes': () =>
    withTable(
      made,
      everyFifth().map(({ sample }, i) => ({ sample, offset: dataBytes() - 1 - 3 * i })),
    ),
  'points beyond all numbers': () =>
    withTable(
      made,
      everyFifth().map(({ sample }) => ({ sample, offset: PLACEHOLDER - 1n })),
    ),
  'a table and a cut end': () => withTable(made, everyFifth()).subarray(0, 650_000),
  'a table and a damaged frame at a point': () => damaged(withTable(made, everyFifth()), 45, 100),
  'a table and a damaged head at a point': () => damaged(withTable(made, everyFifth()), 45, 2),
};
const dataBytes = () => made.length - metadataOf(made).end;
function damaged(bytes: Buffer, frame: number, at: number): Buffer {
  bytes[metadataOf(bytes).end + offsets[frame] + at] ^= 0x55;
  return bytes;
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'flacseek-'));
  const choices = createChoices(3);
  const channels = [0, 1].map(() => Float32Array.from({ length: FRAMES }, () => choices.uniform(-0.9, 0.9)));
  writeFileSync(path('made.wav'), writeWav({ sampleRate: RATE, channels, bitDepth: 16 }));
  execFileSync('sox', ['-D', path('made.wav'), path('made.flac')]);
  made = readFileSync(path('made.flac'));
  const data = made.subarray(metadataOf(made).end);
  offsets = Array.from({ length: 50 }, (_, number) =>
    data.indexOf(headOf(data.subarray(0, number < 49 ? 4 : 2), number)),
  );
  // The last frame tells its own block size.
  offsets[49] = data.lastIndexOf(Buffer.of(0xff, 0xf8));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('FLAC from a second on', () => {
  it.each([...Object.keys(TRUE_TABLES), ...Object.keys(OTHERS)])(
    'with %s is what the whole holds there',
    async (name) => {
      writeFileSync(path('it.flac'), { ...TRUE_TABLES, ...OTHERS }[name]());
      const whole = await read('it.flac', 0);
      expect(whole.samples[0].length).toBeGreaterThan(4 * 150_000);
      const same = (a: readonly Buffer[], b: readonly Buffer[]) => a.every((bytes, i) => bytes.equals(b[i]));
      for (const first of PLACES) {
        const expected = whole.samples.map((bytes) => bytes.subarray(4 * first));
        const { samples, warnings } = await read('it.flac', secondsOf(first));
        expect(same(samples, expected), `${first}`).toBe(true);
        if (first > 40 * 4096) expect(same(await streamed('it.flac', secondsOf(first)), expected)).toBe(true);
        // Damage is told by whoever reads it.
        const isRead = name.includes('cut') || first <= 45 * 4096;
        if (isRead) expect(warnings).toEqual(whole.warnings);
      }
    },
  );

  it.each(Object.keys(TRUE_TABLES))('is reached by %s without reading what lies before', async (name) => {
    writeFileSync(path('it.flac'), TRUE_TABLES[name]());
    expect((await read('it.flac', 0)).reads).toBeGreaterThan(2);
    // The first piece, which has the metadata, then the last one.
    expect((await read('it.flac', secondsOf(47 * 4096))).reads).toBeLessThanOrEqual(2);
  });

  it('without a table is not decoded before it', async () => {
    writeFileSync(path('it.flac'), made);
    const decoded = vi.spyOn(FLACDecoder.prototype, 'decodeFrames');
    try {
      await read('it.flac', secondsOf(45 * 4096));
      expect(decoded).toHaveBeenCalledTimes(5);
    } finally {
      decoded.mockRestore();
    }
  });

  it('behind its end has no channel that the file has not', async () => {
    writeFileSync(path('it.flac'), made);
    const blocks = audioFileBlocks(path('it.flac'), { from: secondsOf(2 * FRAMES), channel: 2 });
    await expect(blocks.next()).rejects.toThrow(/channel: got 2, expected a channel below 2/);
  });
});
