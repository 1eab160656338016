/** WAV files and raw samples, whole, in pieces, cut short, and from disk. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  RAW_FORMATS,
  createRawReader,
  createWavReader,
  readWav,
  writeWav,
  type AudioBlock,
  type BlockReader,
  type ChannelChoice,
} from '../../../src/wav/index.js';
import { wavFileBlocks } from '../../../src/wav/node.js';
import { chunk, fmt16, fmt40, ascii, le32 } from '../../wav/build.js';
import { Material } from '../material.js';
import { hold, orRefused, orRefusedLater, same, type Target } from '../target.js';

const CHOICES: readonly ChannelChoice[] = ['each', 'mix', 0, 1];
const BLOCKS: readonly (number | undefined)[] = [undefined, 1, 7, 4096];

const TONE = Float32Array.from({ length: 24 }, (_, n) => Math.sin(n));
const riff = (body: readonly number[], size = body.length + 4) => [
  ...ascii('RIFF'),
  ...le32(size),
  ...ascii('WAVE'),
  ...body,
];

const SEEDS: readonly (readonly number[] | Uint8Array)[] = [
  ...([8, 16, 24, 32] as const).map((bitDepth) =>
    writeWav({ channels: [TONE], sampleRate: 12_000, bitDepth }),
  ),
  writeWav({ channels: [TONE, TONE], sampleRate: 48_000, float: true }),
  riff([...chunk('fmt ', fmt16()), ...chunk('data', [1, 2, 3, 4, 5, 6])]),
  riff([
    ...chunk('fmt ', fmt40({ channels: 3, bits: 24, validBits: 20 })),
    ...chunk('LIST', [1, 2, 3]),
    ...chunk(
      'data',
      Array.from({ length: 27 }, (_, i) => i * 9),
    ),
  ]),
  riff([
    ...chunk('fmt ', fmt16({ tag: 6, bits: 8 })),
    ...chunk('fact', le32(6)),
    ...chunk('data', [1, 2, 3, 4, 5, 6]),
  ]),
  riff(
    [...chunk('fmt ', fmt16({ tag: 7, bits: 8 })), ...chunk('data', [1, 2, 3], { size: 0xffff_ffff })],
    0xffff_ffff,
  ),
  riff([
    ...chunk('fmt ', fmt16({ tag: 3, bits: 64 })),
    ...chunk(
      'data',
      Array.from({ length: 32 }, (_, i) => i * 7),
    ),
  ]),
  [
    ...ascii('RF64'),
    ...le32(0xffff_ffff),
    ...ascii('WAVE'),
    ...chunk('ds64', [...le32(100), ...le32(0), ...le32(8), ...le32(0), ...le32(4), ...le32(0), ...le32(0)]),
    ...chunk('fmt ', fmt16()),
    ...chunk('data', [1, 2, 3, 4, 5, 6, 7, 8], { size: 0xffff_ffff }),
  ],
];

/** The samples of each channel in blocks, one after another. */
function joined(blocks: readonly AudioBlock[]): number[][] {
  const channels: number[][] = [];
  for (const block of blocks) {
    const [{ length }] = block.channels;
    hold(length > 0 && length <= 1_048_576, () => `a block of ${length} frames`);
    block.channels.forEach((samples, i) => {
      hold(samples.length === length, () => 'channels of unequal length');
      for (const sample of samples) {
        hold(Number.isFinite(sample), () => 'a sample that is no finite number');
        (channels[i] ??= []).push(sample);
      }
    });
  }
  return channels;
}

/** What comes out when bytes go in by pieces; `undefined` as end where reading stopped with a refusal. */
function pushed(
  reader: BlockReader,
  bytes: Uint8Array,
  piece: number,
): { blocks: AudioBlock[]; frames: number | undefined } {
  const blocks: AudioBlock[] = [];
  for (let at = 0; at < bytes.length; at += piece) {
    const given = orRefused(() => reader.push(bytes.slice(at, at + piece)));
    if (!given) return { blocks, frames: undefined };
    blocks.push(...given);
  }
  const end = orRefused(() => reader.end());
  return { blocks: [...blocks, ...(end?.blocks ?? [])], frames: end?.frames };
}

function requireBeginning(
  part: readonly (readonly number[])[],
  whole: readonly (readonly number[])[],
  what: string,
): void {
  part.forEach((samples, i) => {
    same(samples, (whole.at(i) ?? []).slice(0, samples.length), what);
  });
}

export const wav: Target = {
  name: 'wav',
  seeds: () => SEEDS.map((bytes) => Uint8Array.from([0, 0, 3, ...bytes])),
  words: [
    'RIFF',
    'RF64',
    'BW64',
    'WAVE',
    'fmt ',
    'data',
    'ds64',
    'fact',
    'LIST',
    'JUNK',
    'bext',
    '\u0000\u0000\u0000\u0000',
  ],
  maxBytes: 4096,
  limitMs: (bytes) => 100 + bytes,
  limitMiB: 32,
  run(input) {
    const material = new Material(input);
    const options = { channel: material.pick(CHOICES), blockFrames: material.pick(BLOCKS) };
    const piece = 1 + material.byte();
    const bytes = material.take(material.left);
    const whole = orRefused(() => readWav(bytes, options));
    if (whole) {
      const frames = whole.channels[0].length;
      hold(
        frames * whole.channels.length <= bytes.length * 8,
        () => `${frames} frames out of ${bytes.length} bytes`,
      );
      hold(
        whole.sampleRate >= 1 && whole.sampleRate <= 768_000,
        () => `a sample rate of ${whole.sampleRate} Hz`,
      );
    }
    const known = pushed(createWavReader({ ...options, totalBytes: bytes.length }), bytes, piece);
    hold((known.frames === undefined) === (whole === undefined), () => 'whole and in pieces, one is refused');
    if (whole)
      same(
        joined(known.blocks),
        whole.channels[0].length === 0 ? [] : whole.channels.map((samples) => Array.from(samples)),
        'samples in pieces',
      );
    // What was given of a stream stays right, whatever comes after it.
    const stream = pushed(createWavReader(options), bytes, piece);
    const cut = pushed(createWavReader(options), bytes.subarray(0, Math.floor(bytes.length * 0.7)), 5);
    if (typeof options.channel === 'string' || options.channel < 1)
      requireBeginning(joined(cut.blocks), joined(stream.blocks), 'the beginning of a stream');
  },
};

export const raw: Target = {
  name: 'raw',
  seeds: () => RAW_FORMATS.map((_, i) => Uint8Array.from([i, 0, 0, 2, 5, ...TONE.keys()])),
  maxBytes: 4096,
  limitMs: (bytes) => 100 + bytes,
  limitMiB: 32,
  run(input) {
    const material = new Material(input);
    const [format, channel, blockFrames] = [
      material.pick(RAW_FORMATS),
      material.pick(CHOICES),
      material.pick(BLOCKS),
    ];
    const options = { format, channel, blockFrames, channels: material.byte() % 5, sampleRate: 12_000 };
    const piece = 1 + material.byte();
    const bytes = material.take(material.left);
    const whole = orRefused(() => pushed(createRawReader(options), bytes, 1 << 20));
    if (!whole) return;
    hold(whole.frames !== undefined, () => 'raw samples refused');
    same(
      joined(pushed(createRawReader(options), bytes, piece).blocks),
      joined(whole.blocks),
      'samples in pieces',
    );
  },
};

let file: string | undefined;

export const wavFile: Target = {
  name: 'wav-file',
  seeds: () => SEEDS.map((bytes) => Uint8Array.from(bytes)),
  words: wav.words ?? [],
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 32,
  async run(input) {
    file ??= join(mkdtempSync(join(tmpdir(), 'dotphase-fuzz-')), 'input.wav');
    const path = file;
    writeFileSync(path, input);
    const blocks: AudioBlock[] = [];
    const whole = orRefused(() => readWav(input));
    const end = await orRefusedLater(async () => {
      for await (const block of wavFileBlocks(path)) blocks.push(block);
      return true;
    });
    hold((end === undefined) === (whole === undefined), () => 'from memory and from disk, one is refused');
    if (whole)
      same(
        joined(blocks),
        whole.channels[0].length === 0 ? [] : whole.channels.map((samples) => Array.from(samples)),
        'samples from disk',
      );
  },
};
