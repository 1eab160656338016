/**
 * Audio → WAV files and streams.
 */
import { isFloat32Array } from '../dsp/index.js';
import { DotphaseError, requireInteger } from '../errors.js';
import { MAX_BLOCK_SAMPLES, MAX_CHANNELS, MAX_SAMPLE_RATE } from './audio.js';
import { wavHeader } from './header.js';
import type { WrittenSamples } from './samples.js';
import { encodeSamples } from './samples.js';

/** Keeps every size of a file, frames × 1024 channels × 4 bytes, an exact number. */
const MAX_FRAMES = 2 ** 40;

/** How the samples are written. */
export interface WavSampleOptions {
  /** Bits of a sample: 8 (unsigned), 16, 24 or 32; 16 by default, 32 with `float`. */
  readonly bitDepth?: 8 | 16 | 24 | 32 | undefined;
  /** Write 32-bit floating point instead of integers. */
  readonly float?: boolean | undefined;
}

/** What a streaming writer must know before the first sample. */
export interface WavWriterOptions extends WavSampleOptions {
  /** Frames per second, an integer from 1 to 768000 Hz. */
  readonly sampleRate: number;
  /** Number of channels: 1 to 1024, 1 by default. */
  readonly channels?: number | undefined;
  /** Frames that will be written, if known: the header is right from the start, then, and the count is checked. */
  readonly frames?: number | undefined;
}

/** Audio to write as a whole. */
export interface WavContent extends WavSampleOptions {
  /** Frames per second, an integer from 1 to 768000 Hz. */
  readonly sampleRate: number;
  /** The samples of each channel, full scale ±1; all of the same length. */
  readonly channels: readonly Float32Array[];
}

/** What is left to do at the end of a written stream. */
export interface WavWriterEnd {
  /** Bytes to append: the pad byte of an odd data chunk, or nothing. */
  readonly tail: Uint8Array;
  /**
   * The header with the true sizes, as long as the one written first: put it over that one if the sink can be
   * written again. RF64 if the file grew beyond 4 GiB.
   */
  readonly header: Uint8Array;
  /** Frames written in all. */
  readonly frames: number;
  /** Samples beyond ±1 that were clipped; none in floating point. */
  readonly clipped: number;
}

/** A push writer: blocks of audio in, bytes out. */
export interface WavWriter {
  /** The bytes to write first. Without `frames` its sizes are 0xFFFFFFFF, which stands for "to the end". */
  readonly header: Uint8Array;
  /**
   * The bytes of the next frames. Samples beyond ±1 are clipped unless they are written in floating point.
   *
   * @param channels - one array per channel, all of the same length
   * @throws `DotphaseError` if a sample is not a finite number, the channels do not match each other or the
   *   options, more frames come than were announced, or the stream was ended.
   */
  push(channels: readonly Float32Array[]): Uint8Array;
  /**
   * Says that the audio is over.
   *
   * @throws `DotphaseError` if fewer frames came than were announced.
   */
  end(): WavWriterEnd;
}

/**
 * A writer for WAV as the audio comes. It holds nothing.
 *
 * @throws `DotphaseError` if an option is wrong.
 */
export function createWavWriter(options: WavWriterOptions): WavWriter {
  const { sampleRate, channels: channelCount = 1, frames: announced } = options;
  const format = writtenSamples(options);
  requireInteger('sampleRate', sampleRate, 1, MAX_SAMPLE_RATE);
  requireInteger('channels', channelCount, 1, MAX_CHANNELS);
  if (announced !== undefined) requireInteger('frames', announced, 0, MAX_FRAMES);
  const fixed = { ...format, sampleRate, channelCount, roomForLongSizes: announced === undefined };
  const frameBytes = (channelCount * format.bitDepth) / 8;
  let frames = 0;
  let clipped = 0;
  let ended = false;
  const requireOpen = (call: string): void => {
    if (ended) throw new DotphaseError(call, 'a call after end()', 'no call after end()');
  };
  return {
    header: wavHeader({ ...fixed, frames: announced }),
    push(channels) {
      requireOpen('push');
      requireChannels(channels, channelCount);
      const length = channels[0].length;
      if (frames + length > (announced ?? MAX_FRAMES)) {
        throw new DotphaseError(
          'frames',
          frames + length,
          `at most the ${announced ?? MAX_FRAMES} announced`,
        );
      }
      const bytes = new Uint8Array(length * frameBytes);
      const step = Math.floor(MAX_BLOCK_SAMPLES / channelCount);
      for (let at = 0; at < length; at += step) {
        const block = channels.map((samples) => samples.subarray(at, at + step));
        const encoded = encodeSamples(block, format, frames + at);
        bytes.set(encoded.bytes, at * frameBytes);
        clipped += encoded.clipped;
      }
      frames += length;
      return bytes;
    },
    end() {
      requireOpen('end');
      if (announced !== undefined && frames < announced) {
        throw new DotphaseError('frames', frames, `the ${announced} announced`);
      }
      ended = true;
      const tail = new Uint8Array((frames * frameBytes) % 2);
      return { tail, header: wavHeader({ ...fixed, frames }), frames, clipped };
    },
  };
}

/**
 * Writes a whole WAV file into memory: the header of 44 bytes (58 in floating point) and the samples. Samples beyond
 * ±1 are clipped unless they are written in floating point.
 *
 * @throws `DotphaseError` if an option is wrong, a sample is not a finite number or the channels differ in
 *   length.
 */
export function writeWav(content: WavContent): Uint8Array {
  const { channels, ...options } = content;
  requireChannels(channels, undefined);
  const writer = createWavWriter({ ...options, channels: channels.length, frames: channels[0].length });
  const parts = [writer.header, writer.push(channels), writer.end().tail];
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

function writtenSamples({ bitDepth, float = false }: WavSampleOptions): WrittenSamples {
  const depth = bitDepth ?? (float ? 32 : 16);
  if (float && depth !== 32) throw new DotphaseError('bitDepth', depth, '32 for floating point');
  if (![8, 16, 24, 32].includes(depth)) throw new DotphaseError('bitDepth', depth, '8, 16, 24 or 32');
  return { bitDepth: depth, float };
}

function requireChannels(channels: readonly Float32Array[], count: number | undefined): void {
  const given: unknown = channels;
  const expected = `${count ?? 'one or more'} arrays of samples`;
  if (!Array.isArray(given)) throw new DotphaseError('channels', given, expected);
  if (given.length === 0 || given.length !== (count ?? given.length)) {
    throw new DotphaseError('channels', `${given.length} arrays`, expected);
  }
  given.forEach((samples: unknown, channel) => {
    if (!isFloat32Array(samples)) {
      throw new DotphaseError(`channels[${channel}]`, samples, 'samples in a Float32Array');
    }
    if (samples.length !== channels[0].length) {
      const value = `${samples.length} samples`;
      throw new DotphaseError(`channels[${channel}]`, value, `${channels[0].length}, as in the first`);
    }
  });
}
