/** A number above 0 from the command line. */
import { InvalidArgumentError } from 'commander';

export function positive(text: string): number {
  const value = Number(text);
  if (!(value > 0)) throw new InvalidArgumentError('Expected a number above 0.');
  return value;
}
