/**
 * Commands of the system, as a person types them.
 */
import { accessSync, constants, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { DotphaseError } from '../../errors.js';

/** A program and its arguments. */
export type CommandLine = readonly [program: string, ...args: string[]];

/**
 * The words of a command line. Quotes of either kind hold a word together; nothing else has a meaning, so that paths
 * of any system stay as they are.
 *
 * @param flag - the option's name, for errors
 * @throws DotphaseError where there is no word, or a quote is not closed
 */
export function splitCommand(text: string, flag: string): CommandLine {
  const words: string[] = [];
  let word: string | undefined;
  let quote = '';
  for (const letter of text) {
    if (quote !== '') {
      if (letter === quote) quote = '';
      else word = (word ?? '') + letter;
    } else if (letter === '"' || letter === "'") {
      quote = letter;
      word ??= '';
    } else if (/\s/.test(letter)) {
      if (word !== undefined) words.push(word);
      word = undefined;
    } else {
      word = (word ?? '') + letter;
    }
  }
  if (word !== undefined) words.push(word);
  const [program, ...args] = words as [string | undefined, ...string[]];
  if (program === undefined || program === '' || quote !== '') {
    throw new DotphaseError(flag, text, 'a program with its arguments, each quote closed');
  }
  return [program, ...args];
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/** Whether the system finds a program by its name. */
export function isInstalled(program: string): boolean {
  const { PATH = '', PATHEXT = '' } = process.env;
  const endings = process.platform === 'win32' ? PATHEXT.split(';') : [''];
  return PATH.split(delimiter).some((folder) =>
    endings.some((ending) => isExecutable(join(folder, `${program}${ending}`))),
  );
}
