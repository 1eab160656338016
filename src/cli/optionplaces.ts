/**
 * Every option reaches the command that it is typed for: none is taken by the command above it, none as the value of
 * another option.
 */
import type { Command } from 'commander';
import { DotphaseError } from '../errors.js';

/** Refuses an option that stands before the name of a command, which it would not reach. */
function refuseMisplaced(command: Command, below: Command): void {
  const misplaced = command.options.find(
    (option) => command.getOptionValueSource(option.attributeName()) === 'cli',
  );
  if (misplaced?.long === undefined) return;
  const { long } = misplaced;
  const isTaken = below.options.some((option) => option.long === long);
  const expected = isTaken ? `${long} behind ${below.name()}` : `no ${long} beside ${below.name()}`;
  throw new DotphaseError(long, `${long} before ${below.name()}`, expected);
}

/** Refuses the name of an option as the value of another, which then lacks its own. */
function refuseNamesAsValues(command: Command): void {
  const names = new Set(command.options.flatMap(({ long, short }) => [long, short]));
  for (const option of command.options) {
    if (!option.required) continue;
    const parse = option.parseArg as ((text: string, before: unknown) => unknown) | undefined;
    option.argParser((text: string, before: unknown) => {
      if (names.has(text)) {
        throw new DotphaseError(option.long ?? option.flags, text, `a value, as in ${option.flags}`);
      }
      return parse ? parse(text, before) : text;
    });
  }
}

/** Makes the options of a command and of all below it stand where they belong, and nowhere else. */
export function keepOptionsInPlace(command: Command): void {
  refuseNamesAsValues(command);
  if (command.commands.length > 0) command.enablePositionalOptions().hook('preSubcommand', refuseMisplaced);
  for (const below of command.commands) keepOptionsInPlace(below);
}
