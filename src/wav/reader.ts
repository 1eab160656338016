/**
 * WAV files and streams → blocks of audio.
 */
import { requireInteger } from '../errors.js';
import type { AudioBlock, BlockOptions, BlockReader, BlocksEnd, ByteSource, WavWarning } from './audio.js';
import { guardReader, pumpBlocks, requireBlockOptions, requireBytes, requireChannel } from './audio.js';
import type { DataChunk } from './container.js';
import { ContainerParser } from './container.js';
import { BlockCutter } from './cutter.js';
import type { WavFormat } from './format.js';

/** How to read a WAV file or stream. */
export interface WavReaderOptions extends BlockOptions {
  /**
   * Length of the whole file in bytes, if known. It tells apart sizes that a recorder could not know or that lost
   * their upper bits beyond 4 GiB.
   */
  readonly totalBytes?: number | undefined;
  /** Take everything behind the header of the data chunk for samples, whatever size it gives. */
  readonly toEnd?: boolean | undefined;
}

/** What the header of a WAV file says. */
export interface WavInfo extends WavFormat {
  /** Frames the header promises; `undefined` if it does not say, as in a stream. */
  readonly declaredFrames: number | undefined;
}

/** What is left at the end of a WAV stream. */
export interface WavEnd extends BlocksEnd {
  /** What the header said. */
  readonly info: WavInfo;
}

/** A push reader for WAV. */
export interface WavReader extends BlockReader<WavEnd> {
  /** What the header says; `undefined` until the data chunk was reached. */
  readonly info: WavInfo | undefined;
}

/** A WAV file read whole. */
export interface WavAudio extends WavInfo {
  /** The samples of each channel given, full scale ±1. */
  readonly channels: Float32Array[];
  /** What was wrong in the file without stopping the reading, in the order it was met. */
  readonly warnings: readonly WavWarning[];
}

/**
 * A reader for WAV as it comes: RIFF, RF64 and BW64; PCM of 1 to 32 bits, floating point of 32 and 64 bits, A-law
 * and µ-law; up to 1024 channels; 1 to 768000 Hz. It holds no more than one block, however long the stream.
 *
 * A data chunk of size 0 at the end of the RIFF chunk, or of a size that stands for "not known" (0xFFFFFFFF and its
 * likes), is read to the end of the stream.
 *
 * @throws `DotphaseError` if an option is wrong; while reading, for a byte that cannot be understood and for a
 *   channel that the file does not have.
 */
export function createWavReader(options: WavReaderOptions = {}): WavReader {
  requireBlockOptions(options);
  if (options.totalBytes !== undefined) {
    requireInteger('totalBytes', options.totalBytes, 0, Number.MAX_SAFE_INTEGER);
  }
  const warnings: WavWarning[] = [];
  let blocks: AudioBlock[] = [];
  let info: WavInfo | undefined;
  let cutter: BlockCutter | undefined;
  const warn = (warning: WavWarning): void => {
    warnings.push(warning);
    options.onWarning?.(warning);
  };
  const parser = new ContainerParser(
    {
      data: (chunk) => {
        requireChannel(options.channel ?? 'each', chunk.format.channelCount);
        info = infoOf(chunk);
        cutter = new BlockCutter(chunk.format, chunk.format.sampleRate, chunk.start, options);
      },
      samples: (bytes) => cutter?.push(bytes, blocks),
      warning: warn,
    },
    options,
  );
  const taken = (): AudioBlock[] => {
    const given = blocks;
    blocks = [];
    return given;
  };
  const reader = guardReader<WavEnd>({
    push(chunk) {
      parser.push(chunk);
      return taken();
    },
    get toSkip() {
      return Math.min(cutter?.toSkip ?? 0, parser.samplesLeft);
    },
    skip(bytes) {
      cutter?.skip(bytes);
      parser.skip(bytes);
    },
    end() {
      const chunk = parser.end();
      cutter?.end(blocks).forEach(warn);
      return { blocks: taken(), warnings, frames: cutter?.frames ?? 0, info: infoOf(chunk) };
    },
  });
  return {
    push: (chunk) => reader.push(chunk),
    get toSkip() {
      return reader.toSkip;
    },
    skip: (bytes) => {
      reader.skip(bytes);
    },
    end: () => reader.end(),
    get info() {
      return info;
    },
  };
}

function infoOf({ format, bytes }: DataChunk): WavInfo {
  const frames = Math.floor(bytes / (format.bytesPerSample * format.channelCount));
  return { ...format, declaredFrames: bytes === Infinity ? undefined : frames };
}

/**
 * Reads WAV from a source of bytes, block by block. The generator returns what {@link WavReader.end} gives; use
 * `onWarning` to see the warnings within a `for await` loop.
 */
export function readWavBlocks(
  source: ByteSource,
  options: WavReaderOptions = {},
): AsyncGenerator<AudioBlock, WavEnd, undefined> {
  return pumpBlocks(source, createWavReader(options));
}

/**
 * Reads a whole WAV file from memory.
 *
 * @throws `DotphaseError` naming the byte that cannot be understood.
 */
export function readWav(bytes: Uint8Array, options: WavReaderOptions = {}): WavAudio {
  requireBytes('bytes', bytes);
  const reader = createWavReader({ totalBytes: bytes.length, ...options });
  const blocks = reader.push(bytes);
  return joinBlocks(blocks, reader.end(), options);
}

/** Joins the blocks of a file. */
export function joinBlocks(blocks: readonly AudioBlock[], end: WavEnd, options: BlockOptions): WavAudio {
  const count = options.channel === undefined || options.channel === 'each' ? end.info.channelCount : 1;
  const channels = Array.from({ length: count }, () => new Float32Array(end.frames));
  let at = 0;
  for (const block of [...blocks, ...end.blocks]) {
    block.channels.forEach((samples, channel) => {
      channels[channel].set(samples, at);
    });
    at += block.channels[0].length;
  }
  return { ...end.info, channels, warnings: end.warnings };
}
