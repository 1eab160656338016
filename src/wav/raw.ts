/**
 * Samples without a container, as programs pass them through pipes → blocks of audio.
 */
import { DotphaseError, requireInteger } from '../errors.js';
import type { AudioBlock, BlockOptions, BlockReader, BlocksEnd, ByteSource } from './audio.js';
import {
  MAX_CHANNELS,
  MAX_SAMPLE_RATE,
  guardReader,
  pumpBlocks,
  requireBlockOptions,
  requireChannel,
} from './audio.js';
import { BlockCutter } from './cutter.js';
import type { SampleEncoding } from './samples.js';

const FORMATS: Readonly<Record<RawFormat, { encoding: SampleEncoding; bytesPerSample: number }>> = {
  u8: { encoding: 'pcm', bytesPerSample: 1 },
  s16: { encoding: 'pcm', bytesPerSample: 2 },
  s24: { encoding: 'pcm', bytesPerSample: 3 },
  s32: { encoding: 'pcm', bytesPerSample: 4 },
  f32: { encoding: 'float', bytesPerSample: 4 },
};

/**
 * Samples without a container, little endian: unsigned bytes with silence at 128, signed integers of 16, 24 or 32
 * bits, or 32-bit floating point.
 */
export type RawFormat = 'u8' | 's16' | 's24' | 's32' | 'f32';

/** Every {@link RawFormat}. */
export const RAW_FORMATS = Object.keys(FORMATS) as readonly RawFormat[];

/** What nothing in a raw stream tells, and how to hand over its samples. */
export interface RawReaderOptions extends BlockOptions {
  /** How the samples are coded. */
  readonly format: RawFormat;
  /** Frames per second, an integer from 1 to 768000 Hz. */
  readonly sampleRate: number;
  /** Samples in a frame, one of each channel in turn: 1 to 1024, 1 by default. */
  readonly channels?: number | undefined;
}

/**
 * A reader for raw samples.
 *
 * @throws `DotphaseError` if an option is wrong. Any bytes are samples, so reading cannot fail.
 */
export function createRawReader(options: RawReaderOptions): BlockReader {
  requireBlockOptions(options);
  const { format, sampleRate, channels: channelCount = 1 } = options;
  if (!Object.hasOwn(FORMATS, format)) throw new DotphaseError('format', format, RAW_FORMATS.join(', '));
  requireInteger('sampleRate', sampleRate, 1, MAX_SAMPLE_RATE);
  requireInteger('channels', channelCount, 1, MAX_CHANNELS);
  requireChannel(options.channel ?? 'each', channelCount);
  const cutter = new BlockCutter({ ...FORMATS[format], channelCount }, sampleRate, 0, options);
  return guardReader<BlocksEnd>({
    push(chunk) {
      const blocks: AudioBlock[] = [];
      cutter.push(chunk, blocks);
      return blocks;
    },
    get toSkip() {
      return cutter.toSkip;
    },
    skip(bytes) {
      cutter.skip(bytes);
    },
    end() {
      const blocks: AudioBlock[] = [];
      const warnings = cutter.end(blocks);
      for (const warning of warnings) options.onWarning?.(warning);
      return { blocks, warnings, frames: cutter.frames };
    },
  });
}

/** Reads raw samples from a source of bytes, block by block; returns what the reader's `end()` gives. */
export function readRawBlocks(
  source: ByteSource,
  options: RawReaderOptions,
): AsyncGenerator<AudioBlock, BlocksEnd, undefined> {
  return pumpBlocks(source, createRawReader(options));
}
