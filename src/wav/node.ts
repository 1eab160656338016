/**
 * WAV files on disk, for Node: read and written block by block, in constant memory.
 *
 * @example
 * ```ts
 * import { callToAudio, createReceiver } from 'dotphase';
 * import { wavFileBlocks, writeWavFile } from 'dotphase/wav/node';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = callToAudio(call, { band: 'mf-hf', sampleRate: 12000 });
 * await writeWavFile('test.wav', { sampleRate: 12000 }, [[audio]]);
 *
 * const receiver = createReceiver({ sampleRate: 12000 });
 * for await (const { channels } of wavFileBlocks('test.wav')) receiver.push(channels[0]);
 * console.log(receiver.flush().length); // 1
 * ```
 *
 * @packageDocumentation
 */
import type { FileHandle } from 'node:fs/promises';
import { open, stat } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../errors.js';
import type { AudioBlock } from './audio.js';
import { diskBytes } from './disk.js';
import type { WavAudio, WavEnd, WavReaderOptions } from './reader.js';
import { joinBlocks, readWavBlocks } from './reader.js';
import type { WavWriterEnd, WavWriterOptions } from './writer.js';
import { createWavWriter } from './writer.js';
export { diskBytes } from './disk.js';

/** How to read a WAV file. Its length is asked of the file system. */
export interface WavFileOptions extends Omit<WavReaderOptions, 'totalBytes'> {
  /**
   * Called after each piece read from the file.
   *
   * @param readBytes - bytes read so far
   * @param totalBytes - length of the file; `undefined` for a pipe or a device
   */
  readonly onProgress?: ((readBytes: number, totalBytes: number | undefined) => void) | undefined;
}

/**
 * Reads a WAV file block by block. The generator returns what the reader's `end()` gives; use `onWarning` to see the
 * warnings within a `for await` loop.
 *
 * @throws `DotphaseError` if the file cannot be opened or read, or naming the byte that cannot be understood.
 */
export async function* wavFileBlocks(
  path: string,
  options: WavFileOptions = {},
): AsyncGenerator<AudioBlock, WavEnd, undefined> {
  const refuse = (error: unknown) => fileError(path, error, 'a file that can be read');
  let totalBytes: number | undefined;
  try {
    const status = await stat(path);
    if (status.isFile()) totalBytes = status.size;
  } catch (error) {
    throw refuse(error);
  }
  const bytes = diskBytes(path, (read) => options.onProgress?.(read, totalBytes), refuse);
  return yield* readWavBlocks(bytes, { ...options, totalBytes });
}

/**
 * Reads a whole WAV file into memory.
 *
 * @throws `DotphaseError` as {@link wavFileBlocks}.
 */
export async function readWavFile(path: string, options: WavFileOptions = {}): Promise<WavAudio> {
  const blocks: AudioBlock[] = [];
  const source = wavFileBlocks(path, options);
  for (;;) {
    const next = await source.next();
    if (next.done) return joinBlocks(blocks, next.value, options);
    blocks.push(next.value);
  }
}

/**
 * Writes a WAV file block by block; each block is one array of samples per channel. The header is written first with
 * unknown sizes (unless `frames` is given) and put right at the end, also when the source of the blocks fails, so that
 * the file can be read at any time. A sink that cannot be written twice, such as a pipe, keeps the first header.
 *
 * @throws `DotphaseError` if an option or a sample is wrong or the file cannot be written.
 */
export async function writeWavFile(
  path: string,
  options: WavWriterOptions,
  blocks: AsyncIterable<readonly Float32Array[]> | Iterable<readonly Float32Array[]>,
): Promise<Pick<WavWriterEnd, 'frames' | 'clipped'>> {
  const writer = createWavWriter(options);
  const file = await openToWrite(path);
  try {
    await writeAll(path, file, writer.header);
    try {
      for await (const channels of blocks) await writeAll(path, file, writer.push(channels));
    } catch (error) {
      if (options.frames === undefined) await finish(path, file, writer.end());
      throw error;
    }
    const end = writer.end();
    await finish(path, file, end);
    return { frames: end.frames, clipped: end.clipped };
  } finally {
    await file.close();
  }
}

async function finish(path: string, file: FileHandle, { tail, header }: WavWriterEnd): Promise<void> {
  await writeAll(path, file, tail);
  if ((await file.stat()).isFile()) await writeAll(path, file, header, 0);
}

async function openToWrite(path: string): Promise<FileHandle> {
  try {
    return await open(path, 'w');
  } catch (error) {
    throw fileError(path, error, 'a file that can be written');
  }
}

/** Writes all of `bytes`, at the end of what was written or at `position`. */
async function writeAll(path: string, file: FileHandle, bytes: Uint8Array, position?: number): Promise<void> {
  for (let at = 0; at < bytes.length;) {
    const place = position === undefined ? null : position + at;
    try {
      at += (await file.write(bytes, at, bytes.length - at, place)).bytesWritten;
    } catch (error) {
      throw fileError(path, error, 'a file that can be written');
    }
  }
}

function fileError(path: string, error: unknown, expected: string): DotphaseError {
  return new DotphaseError('path', path, `${expected} (${reasonOf(error)})`);
}
