/**
 * Bytes from a file or from standard input.
 */
import { createReadStream } from 'node:fs';
import { headOf, isRecording, refuseOtherKind } from './recording.js';
import { DotphaseError, reasonOf } from '../errors.js';

/** The file name that stands for standard input, and for standard output. */
export const STANDARD_STREAM = '-';

const MAX_JSON_BYTES = 1_048_576;

/** What was found in a file: a recording, or the text it holds. */
export type Found = { isRecording: true } | { isRecording: false; text: string };

async function readHead(source: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  let length = 0;
  for await (const piece of source) {
    pieces.push(piece);
    length += piece.length;
    if (length > MAX_JSON_BYTES) break;
  }
  return Buffer.concat(pieces);
}

/** Reads a short text from standard input. */
export async function readStandardInput(): Promise<string> {
  return requireText(STANDARD_STREAM, await readHead(process.stdin));
}

/**
 * Looks into a file: a recording is left alone, anything else is read as text.
 *
 * @throws DotphaseError when the file cannot be read or is no text of less than 1 MiB
 */
export async function lookInto(path: string): Promise<Found> {
  try {
    const head = await headOf(path);
    if (isRecording(head)) return { isRecording: true };
    refuseOtherKind(path, head);
    return { isRecording: false, text: requireText(path, await readHead(createReadStream(path))) };
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('file', path, `a file that can be read: ${reasonOf(error)}`);
  }
}

function requireText(path: string, bytes: Uint8Array): string {
  if (bytes.length > MAX_JSON_BYTES) {
    throw new DotphaseError(path, `more than ${MAX_JSON_BYTES} bytes`, 'a call in JSON');
  }
  return Buffer.from(bytes).toString('utf8');
}
