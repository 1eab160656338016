/**
 * WAV files and streams, and raw samples ⇄ blocks of audio, in any JavaScript environment. Files on disk are in
 * `dotphase/wav/node`.
 *
 * @example
 * ```ts
 * import { readWav, writeWav } from 'dotphase/wav';
 *
 * const bytes = writeWav({ sampleRate: 12000, channels: [Float32Array.of(0, 0.5, -0.5)] });
 * const { sampleRate, channels } = readWav(bytes);
 * console.log(bytes.length, sampleRate, channels[0].length); // 50 12000 3
 * ```
 *
 * @packageDocumentation
 */
export { createWavReader, readWav, readWavBlocks } from './reader.js';
export type { WavAudio, WavEnd, WavInfo, WavReader, WavReaderOptions } from './reader.js';
export { RAW_FORMATS, createRawReader, readRawBlocks } from './raw.js';
export type { RawFormat, RawReaderOptions } from './raw.js';
export { createWavWriter, writeWav } from './writer.js';
export type { WavContent, WavSampleOptions, WavWriter, WavWriterEnd, WavWriterOptions } from './writer.js';
export { originationOf } from './broadcast.js';
export { MAX_CHANNELS, MAX_SAMPLE_RATE, isSkippable } from './audio.js';
export type {
  AudioBlock,
  BlockOptions,
  BlockReader,
  BlocksEnd,
  ByteSource,
  ChannelChoice,
  SkippableSource,
  WavWarning,
  WavWarningKind,
} from './audio.js';
export type { WavFormat } from './format.js';
export type { SampleEncoding, SampleLayout } from './samples.js';
