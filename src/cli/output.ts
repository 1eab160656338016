/**
 * Standard output, whose end may be a pipe that closes or a disk that is full.
 */
import { reasonOf } from '../errors.js';
import { EXIT, complain } from './exit.js';

/** Writes to standard output, and waits until it was taken. Where it cannot be, the process ends: see {@link guardOutput}. */
export function send(bytes: Uint8Array | string): Promise<void> {
  return new Promise((resolve) => {
    process.stdout.write(bytes, (error) => {
      if (!error) resolve();
    });
  });
}

/**
 * Ends the process with {@link EXIT}.bad where standard output cannot be written: silently where its reader has
 * closed the pipe, otherwise with one line of error.
 */
export function guardOutput(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') complain(`standard output cannot be written: ${reasonOf(error)}`);
    process.exit(EXIT.bad);
  });
  // The reader of the output has gone.
  process.stderr.on('error', () => undefined);
}
