/**
 * Audio files of the kinds that recorders write → blocks of audio, in any JavaScript environment: WAV, FLAC, MP3, Ogg
 * with Vorbis, Opus or FLAC, AIFF; told by their content.
 *
 * @example
 * ```ts
 * import { readAudioBlocks } from 'dotphase/containers';
 * import { writeWav } from 'dotphase/wav';
 *
 * const bytes = writeWav({ sampleRate: 12000, channels: [Float32Array.of(0, 0.5, -0.5)] });
 * for await (const { sampleRate, channels } of readAudioBlocks([bytes])) {
 *   console.log(sampleRate, channels[0].length); // 12000 3
 * }
 * ```
 *
 * @packageDocumentation
 */
export { readAudioBlocks } from './blocks.js';
export { audioKindOf, type AudioKind } from './kinds.js';
export type { AudioFileEnd, AudioFileOptions, AudioFileWarning } from './types.js';
