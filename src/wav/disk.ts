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
  /** Bytes of the file; 0 of what is none, for it has no places and is read. */
  const size = async (): Promise<number> => {
    const own = file;
    const status = own && (await trying(() => own.stat()));
    return status?.isFile() ? status.size : 0;
  };
  return {
    [Symbol.asyncIterator]: bytes,
    async skip(count) {
      const left = Math.max(0, Math.min(count, (await size()) - at));
      at += left;
      return left;
    },
    async seek(byte) {
      if (byte >= (await size())) return false;
      at = byte;
      return true;
    },
  };
}
