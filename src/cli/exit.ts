/**
 * How the process ends and what it says about errors.
 */
import { constants } from 'node:os';
import { plain, screenOf } from './terminal.js';

/** What the process ends with. */
export const EXIT = {
  /** All was done. */
  done: 0,
  /** Nothing went wrong, but nothing was decoded, or marked, or read. */
  nothing: 1,
  /** The command was used badly or its input was bad. */
  bad: 2,
} as const;

/** What the process ends with where a signal stops it, as shells have it. */
export const statusOf = (signal: NodeJS.Signals) => 128 + constants.signals[signal];

/** What may come from outside, such as the name of a file, as one line. */
const asLine = (message: string) => plain(message.replace(/\s*\n\s*/g, ' '));

/** Prints one line about an error on standard error. */
export function complain(message: string): void {
  const { colours } = screenOf(process.stderr);
  process.stderr.write(`${colours.red('dotphase:')} ${asLine(message)}\n`);
}

/** Prints one line about something that is odd, on standard error. */
export function warn(message: string): void {
  const { colours } = screenOf(process.stderr);
  process.stderr.write(`${colours.yellow('warning:')} ${asLine(message)}\n`);
}
