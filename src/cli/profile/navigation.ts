/**
 * The own position from a stream of IEC 61162-1 sentences.
 */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { addAbortSignal, type Readable } from 'node:stream';
import { DotphaseError, reasonOf } from '../../errors.js';
import type { OwnPosition } from '../../navigation/index.js';
import { STANDARD_STREAM } from '../input.js';

/** A device that says nothing for so long has nothing to say, milliseconds. */
const PATIENCE_MS = 10_000;

function open(file: string): Readable {
  return file === STANDARD_STREAM ? process.stdin : createReadStream(file);
}

function unreadable(file: string, error: unknown): DotphaseError {
  return new DotphaseError('--navigation', file, `a file or device that can be read: ${reasonOf(error)}`);
}

async function isRegular(file: string): Promise<boolean> {
  if (file === STANDARD_STREAM) return false;
  try {
    return (await stat(file)).isFile();
  } catch (error) {
    throw unreadable(file, error);
  }
}

/**
 * Reads a file to its end, and a device, a pipe or standard input until it has given a position, ended, or been silent
 * for ten seconds.
 *
 * @throws DotphaseError when it cannot be read
 */
export async function readNavigation(file: string, ownPosition: OwnPosition): Promise<void> {
  const whole = await isRegular(file);
  const stream = open(file);
  const silence = AbortSignal.timeout(PATIENCE_MS);
  if (!whole) addAbortSignal(silence, stream);
  try {
    for await (const bytes of stream) {
      ownPosition.push((bytes as Buffer).toString('latin1'));
      if (!whole && ownPosition.latest()) break;
    }
    ownPosition.push('\n');
  } catch (error) {
    if (!silence.aborted) throw unreadable(file, error);
  }
}

/**
 * Follows a device or a pipe until told to stop; a file is read to its end.
 *
 * @param onEnd - told when it has ended, with the error where there was one
 * @returns stops it
 */
export function followNavigation(
  file: string,
  ownPosition: OwnPosition,
  onEnd: (error?: DotphaseError) => void,
): () => void {
  const stream = open(file);
  stream.on('data', (bytes: Buffer) => {
    ownPosition.push(bytes.toString('latin1'));
  });
  stream.on('end', () => {
    ownPosition.push('\n');
    onEnd();
  });
  stream.on('error', (error) => {
    onEnd(unreadable(file, error));
  });
  return () => stream.destroy();
}
