import fc from '../property.js';
import { describe, expect, it, vi } from 'vitest';
import { DotphaseError } from '../../src/errors.js';
import type { AudioBlock, BlocksEnd, ChannelChoice, RawFormat, WavWarning } from '../../src/wav/index.js';
import {
  RAW_FORMATS,
  createRawReader,
  createWavReader,
  readRawBlocks,
  readWav,
  readWavBlocks,
} from '../../src/wav/index.js';
import { chunk, fmt16, fmt40, le32, plain, riff, s16 } from './build.js';

/** Cuts `bytes` into pieces of the lengths given, over and over. */
function* pieces(bytes: Uint8Array, lengths: readonly number[]): Generator<Uint8Array> {
  for (let at = 0, i = 0; at < bytes.length; i++) {
    const length = lengths[i % lengths.length];
    yield bytes.slice(at, at + length);
    at += length;
  }
}

function join(blocks: readonly AudioBlock[]): number[][] {
  const channels: number[][] = [];
  for (const block of blocks) {
    for (const [i, samples] of block.channels.entries()) (channels[i] ??= []).push(...samples);
  }
  return channels;
}

const cuts = fc.array(fc.integer({ min: 1, max: 23 }), { minLength: 1, maxLength: 8 });
const anyFmt = fc.constantFrom(
  fmt16(),
  fmt16({ bits: 8 }),
  fmt16({ bits: 24, channels: 3 }),
  fmt16({ bits: 32, channels: 2 }),
  fmt40({ bits: 32, subTag: 3, channels: 2 }),
  fmt16({ tag: 7, bits: 8, channels: 2 }),
);
const bytes = (maxLength: number): fc.Arbitrary<number[]> =>
  fc.array(fc.integer({ min: 0, max: 255 }), { maxLength });

describe('pieces of any length', () => {
  it('give what the whole gives', () => {
    const property = fc.property(
      anyFmt,
      bytes(200),
      bytes(9),
      cuts,
      fc.constantFrom(undefined, 1, 7, 64),
      fc.constantFrom<ChannelChoice>('each', 'mix', 0),
      (fmt, data, extra, lengths, blockFrames, channel) => {
        const file = riff([
          chunk('JUNK', extra),
          chunk('fmt ', fmt),
          chunk('data', data),
          chunk('LIST', extra),
        ]);
        const whole = readWav(file, { channel });
        const reader = createWavReader({ channel, blockFrames, totalBytes: file.length });
        const blocks = [...pieces(file, lengths)].flatMap((piece) => {
          const given = reader.push(piece);
          piece.fill(0xa5); // the chunk is not kept
          return given;
        });
        const end = reader.end();
        blocks.push(...end.blocks);
        expect(join(blocks)).toEqual(whole.channels[0].length > 0 ? whole.channels.map((c) => [...c]) : []);
        expect(end.warnings).toEqual(whole.warnings);
        expect(end.frames).toBe(whole.channels[0].length);
        expect(reader.info).toEqual(end.info);
        if (blockFrames !== undefined) {
          const lengthsSeen = blocks.map((block) => block.channels[0].length);
          expect(lengthsSeen.slice(0, -1).every((length) => length === blockFrames)).toBe(true);
        }
      },
    );
    fc.assert(property, { numRuns: 300 });
  });

  it('samples are given as soon as they are whole', () => {
    const reader = createWavReader();
    expect(reader.info).toBeUndefined();
    reader.push(plain(1, 2, 3).subarray(0, 44));
    expect(reader.info?.declaredFrames).toBe(3);
    expect(reader.push(Uint8Array.of(0))).toEqual([]);
    expect(join(reader.push(Uint8Array.of(0x40, 0, 0xc0, 1)))).toEqual([[0.5, -0.5]]);
    const { blocks, warnings } = reader.end();
    expect(blocks).toEqual([]);
    expect(warnings.map(({ kind }) => kind)).toEqual(['data-cut-short', 'partial-frame']);
  });
});

describe('arbitrary bytes', () => {
  /** Reads; anything but a result or the library's own error fails. */
  const survives = (file: Uint8Array, lengths: readonly number[]): void => {
    const reader = createWavReader();
    let error: unknown;
    try {
      for (const piece of pieces(file, lengths)) {
        for (const block of reader.push(piece)) {
          expect(block.channels.length * block.channels[0].length).toBeLessThanOrEqual(65_536);
          for (const samples of block.channels) expect(samples.every(Number.isFinite)).toBe(true);
        }
      }
      reader.end();
    } catch (caught) {
      error = caught;
    }
    if (error === undefined) return;
    expect(error).toBeInstanceOf(DotphaseError);
    expect(() => reader.push(Uint8Array.of(0))).toThrow(error);
    expect(() => reader.end()).toThrow(error);
  };

  it('never crash', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 120 }), cuts, (file, lengths) => {
        survives(file, lengths);
      }),
      { numRuns: 300 },
    );
  });

  it('in a file that was sound never crash', () => {
    const damage = fc.array(fc.tuple(fc.nat(110), fc.integer({ min: 0, max: 255 })), { maxLength: 6 });
    fc.assert(
      fc.property(anyFmt, bytes(60), damage, cuts, fc.nat(120), (fmt, data, damages, lengths, length) => {
        const file = riff([
          chunk('JUNK', [1, 2, 3]),
          chunk('fmt ', fmt),
          chunk('data', data),
          chunk('LIST', [1]),
        ]);
        for (const [at, value] of damages) file[at % file.length] = value;
        survives(file.subarray(0, length), lengths);
      }),
      { numRuns: 1000 },
    );
  });

  it('nothing is allocated by the claims of a header', () => {
    const hostile = [
      riff([
        chunk('fmt ', fmt16({ channels: 1024, bits: 64, tag: 3 })),
        chunk('data', [1, 2], { size: 0xfffffff0 }),
      ]),
      riff([chunk('fmt ', fmt16(), { size: 0xfffffff0 }), chunk('data', [1, 2])]),
      riff([chunk('LIST', [], { size: 0xfffffff0 })]),
      riff([chunk('fmt ', fmt16()), chunk('data', [1, 2], { size: 0x70000000 })]),
    ];
    const before = process.memoryUsage().arrayBuffers;
    const readers = hostile.map((file) => {
      const reader = createWavReader({ blockFrames: 1_048_576 });
      reader.push(file);
      return reader;
    });
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(200_000);
    expect(readers).toHaveLength(4);
  });
});

describe('from a source', () => {
  async function* source(parts: Iterable<Uint8Array>): AsyncGenerator<Uint8Array> {
    for (const part of parts) yield await Promise.resolve(part);
  }

  async function all<End extends BlocksEnd>(
    generator: AsyncGenerator<AudioBlock, End>,
  ): Promise<{ blocks: AudioBlock[]; end: End }> {
    const blocks: AudioBlock[] = [];
    for (;;) {
      const next = await generator.next();
      if (next.done) return { blocks, end: next.value };
      blocks.push(next.value);
    }
  }

  it('gives blocks, then the end; warnings as they arise', async () => {
    const file = riff([chunk('fmt ', fmt16()), chunk('data', s16(16384, -16384), { size: 8 })]);
    const onWarning = vi.fn<(warning: WavWarning) => void>();
    const { blocks, end } = await all(readWavBlocks(source(pieces(file, [5])), { onWarning }));
    expect(join(blocks)).toEqual([[0.5, -0.5]]);
    expect(blocks[0].sampleRate).toBe(12000);
    expect(end).toMatchObject({
      frames: 2,
      info: { declaredFrames: 4 },
      warnings: [{ kind: 'data-cut-short' }],
    });
    expect(onWarning.mock.calls.map(([{ kind }]) => kind)).toEqual(['data-cut-short']);
  });

  it('keeps blocks small however large the pieces are', async () => {
    const file = riff([chunk('fmt ', fmt16({ channels: 2, bits: 8 }))], { size: 0 });
    const data = new Uint8Array(3_000_000).fill(128);
    const head = Uint8Array.from([...file, 0x64, 0x61, 0x74, 0x61, ...le32(0)]);
    const { blocks, end } = await all(readWavBlocks([head, data]));
    expect(end.frames).toBe(1_500_000);
    expect(Math.max(...blocks.map((block) => block.channels[0].length))).toBe(32_768);
  });

  it('raw samples', async () => {
    const { blocks, end } = await all(
      readRawBlocks(source(pieces(Uint8Array.from([...s16(16384, -16384, 8192, 0), 7]), [3])), {
        format: 's16',
        sampleRate: 8000,
        channels: 2,
      }),
    );
    expect(join(blocks)).toEqual([
      [0.5, 0.25],
      [-0.5, 0],
    ]);
    expect(end).toMatchObject({ frames: 2, warnings: [{ kind: 'partial-frame', byte: 8 }] });
  });

  it('refuses text', async () => {
    await expect(all(readWavBlocks(['RIFF'] as unknown as Uint8Array[]))).rejects.toThrow(
      'chunk: got "RIFF"',
    );
  });
});

describe('raw samples by hand', () => {
  const cases: Record<RawFormat, [number[], number[]]> = {
    u8: [
      [0, 128, 192],
      [-1, 0, 0.5],
    ],
    s16: [
      [0, 0x80, 0, 0x40],
      [-1, 0.5],
    ],
    s24: [
      [0, 0, 0x80, 0, 0, 0x40],
      [-1, 0.5],
    ],
    s32: [
      [0, 0, 0, 0x80, 0, 0, 0, 0x40],
      [-1, 0.5],
    ],
    f32: [
      [0, 0, 0x80, 0xbf, 0, 0, 0, 0x3f],
      [-1, 0.5],
    ],
  };
  for (const format of RAW_FORMATS) {
    it(format, () => {
      const [data, expected] = cases[format];
      const reader = createRawReader({ format, sampleRate: 12000 });
      expect(join(reader.push(Uint8Array.from(data)))).toEqual([expected]);
      expect(reader.end()).toEqual({ blocks: [], warnings: [], frames: expected.length });
    });
  }

  it('no number is given as 0, with its place in the stream', () => {
    const reader = createRawReader({ format: 'f32', sampleRate: 12000 });
    reader.push(Uint8Array.from(le32(0x3f000000)));
    expect(join(reader.push(Uint8Array.from(le32(0x7fc00000))))).toEqual([[0]]);
    expect(reader.end().warnings).toMatchObject([{ kind: 'non-finite-samples', byte: 4 }]);
  });
});

describe('bad use', () => {
  it('is refused by name', () => {
    const raw = { format: 's16', sampleRate: 8000 } as const;
    expect(() => createRawReader({ ...raw, format: 's12' as RawFormat })).toThrow(
      'format: got "s12", expected u8, s16',
    );
    expect(() => createRawReader({ ...raw, format: 'toString' as RawFormat })).toThrow(
      'format: got "toString"',
    );
    expect(() => createRawReader({ ...raw, sampleRate: 0 })).toThrow('sampleRate: got 0');
    expect(() => createRawReader({ ...raw, sampleRate: 8000.5 })).toThrow('sampleRate: got 8000.5');
    expect(() => createRawReader({ ...raw, channels: 1025 })).toThrow('channels: got 1025');
    expect(() => createRawReader({ ...raw, channels: 2, channel: 2 })).toThrow('channel: got 2');
    expect(() => createWavReader({ blockFrames: 0 })).toThrow('blockFrames: got 0');
    expect(() => createWavReader({ totalBytes: -1 })).toThrow('totalBytes: got -1');
    expect(() => readWav('RIFF' as unknown as Uint8Array)).toThrow('bytes: got "RIFF"');
  });

  it('after the end', () => {
    const reader = createWavReader();
    reader.push(plain(1));
    reader.end();
    expect(() => reader.push(plain(1))).toThrow('push: got "a call after end()"');
    expect(() => reader.end()).toThrow('end: got "a call after end()"');
  });
});
