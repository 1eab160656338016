/**
 * Audio files on disk, for Node: WAV, FLAC, MP3, Ogg with Vorbis, Opus or FLAC, AIFF, block by block in constant memory.
 *
 * @example
 * ```ts
 * import { callToAudio, createReceiver } from 'dotphase';
 * import { audioFileBlocks } from 'dotphase/containers/node';
 * import { writeWavFile } from 'dotphase/wav/node';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * await writeWavFile('call.wav', { sampleRate: 12000 }, [[callToAudio(call, { band: 'mf-hf', sampleRate: 12000 })]]);
 *
 * const receiver = createReceiver({ sampleRate: 12000 });
 * for await (const { channels } of audioFileBlocks('call.wav')) receiver.push(channels[0]);
 * console.log(receiver.flush().length); // 1
 * ```
 *
 * @packageDocumentation
 */
import { stat } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../errors.js';
import type { AudioBlock } from '../wav/index.js';
import { diskBytes } from '../wav/node.js';
import { readAudioBlocks } from './blocks.js';
import type { AudioFileEnd, AudioFileOptions } from './types.js';

/** How to read an audio file from disk. Its length is asked of the file system. */
export interface DiskFileOptions extends Omit<AudioFileOptions, 'totalBytes'> {
  /**
   * Called after each piece read from the file.
   *
   * @param readBytes - bytes read so far
   * @param totalBytes - length of the file; `undefined` for a pipe or a device
   */
  readonly onProgress?: ((readBytes: number, totalBytes: number | undefined) => void) | undefined;
}

/**
 * Reads an audio file block by block. The generator returns what is known at the end.
 *
 * @throws DotphaseError if the file cannot be opened or read, or as `readAudioBlocks`
 */
export async function* audioFileBlocks(
  path: string,
  options: DiskFileOptions = {},
): AsyncGenerator<AudioBlock, AudioFileEnd, undefined> {
  const { onProgress, ...rest } = options;
  const refuse = (error: unknown) =>
    new DotphaseError('file', path, `a file that can be read: ${reasonOf(error)}`);
  let totalBytes: number | undefined;
  try {
    const status = await stat(path);
    if (status.isFile()) totalBytes = status.size;
  } catch (error) {
    throw refuse(error);
  }
  const bytes = diskBytes(path, (read) => onProgress?.(read, totalBytes), refuse);
  return yield* readAudioBlocks(bytes, { ...rest, totalBytes });
}
