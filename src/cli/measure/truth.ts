/**
 * The options that say what a set ought to send of itself.
 */
import type { Command } from 'commander';
import { parseIdentity, parsePosition } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import type { Truth } from '../../measure/index.js';

/** What {@link addTruthFlags} adds. */
export interface TruthFlags {
  readonly identity?: string;
  readonly position?: NonNullable<Truth['position']>;
  readonly time?: string;
}

function readPosition(text: string): NonNullable<Truth['position']> {
  const position = parsePosition(text);
  if (position === 'none') throw new DotphaseError('--position', text, "a position such as 50°30'N 004°12'W");
  return position;
}

function readTime(text: string): string {
  if (!/^([01]\d|2[0-3]):[0-5]\d$/.test(text))
    throw new DotphaseError('--time', text, 'HH:MM in UTC, for example 12:40');
  return text;
}

/** Gives a command `--identity`, `--position` and `--time`. */
export function addTruthFlags(command: Command): Command {
  return command
    .option('--identity <digits>', 'the identity the set ought to send', parseIdentity)
    .option('--position <position>', 'where the set is, to compare with what it sends', readPosition)
    .option('--time <time>', 'the time it ought to send, HH:MM in UTC', readTime);
}

/** What was given of the truth. */
export const truthOf = ({ identity, position, time }: TruthFlags): Truth => ({
  ...(identity !== undefined && { identity }),
  ...(position && { position }),
  ...(time !== undefined && { time }),
});
