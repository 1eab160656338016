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

/** A message that may have lines, and names of files in it. */
const plainLines = (message: string) => message.split('\n').map(plain).join('\n');

/** Prints what is wrong, on standard error. */
export function complain(message: string): void {
  const { colours } = screenOf(process.stderr);
  process.stderr.write(`${colours.red('dotphase:')} ${plainLines(message)}\n`);
}

/** Prints what is odd, on standard error. */
export function warn(message: string): void {
  const { colours } = screenOf(process.stderr);
  process.stderr.write(`${colours.yellow('warning:')} ${plainLines(message)}\n`);
}
