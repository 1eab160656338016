/**
 * The bytes of a file on disk, any of which can be left out without being read.
 */
import { open, type FileHandle } from 'node:fs/promises';
import type { SkippableSource } from './audio.js';

const READ_BYTES = 262_144;

/**
 * Reads a file from its beginning; a pipe or a device as it comes.
 *
 * @param onRead - called after each piece with the bytes read or left out so far
 * @param refuse - makes the error to throw where the file cannot be opened or read
 */
export function diskBytes(
  path: string,
  onRead: (readBytes: number) => void,
  refuse: (error: unknown) => Error,
): SkippableSource {
  let file: FileHandle | undefined;
  /** Offset of the next byte. */
  let at = 0;
  const trying = async <Result>(act: () => Promise<Result>): Promise<Result> => {
    try {
      return await act();
    } catch (error) {
      throw refuse(error);
    }
  };
  async function* bytes(): AsyncGenerator<Uint8Array, undefined, undefined> {
    const own = (file = await trying(() => open(path, 'r')));
    try {
      const isFile = (await trying(() => own.stat())).isFile();
      for (;;) {
        const memory = new Uint8Array(READ_BYTES);
        const { bytesRead } = await trying(() => own.read(memory, 0, READ_BYTES, isFile ? at : null));
        if (bytesRead === 0) return;
        at += bytesRead;
        yield memory.subarray(0, bytesRead);
        onRead(at);
      }
    } finally {
      file = undefined;
      await own.close();
    }
  }
  return {
    [Symbol.asyncIterator]: bytes,
    async skip(count) {
      const own = file;
      if (!own) return 0;
      const status = await trying(() => own.stat());
      // What is no file is read, for it has no places.
      if (!status.isFile()) return 0;
      const left = Math.max(0, Math.min(count, status.size - at));
      at += left;
      return left;
    },
  };
}
