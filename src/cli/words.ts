/**
 * Words as people type them: `man overboard`, `man-overboard` and `manOverboard` are one.
 */
import { DotphaseError } from '../errors.js';

function folded(text: string): string {
  return text.toLowerCase().replace(/[^a-z0-9]/g, '');
}

/** The word among `words` that a person typed, or undefined. */
export function findWord<Word extends string>(text: string, words: readonly Word[]): Word | undefined {
  return words.find((word) => folded(word) === folded(text));
}

/**
 * The word among `words` that a person typed.
 *
 * @throws DotphaseError naming `field` and the words there are
 */
export function parseWord<Word extends string>(text: string, words: readonly Word[], field: string): Word {
  const word = findWord(text, words);
  if (word === undefined) throw new DotphaseError(field, text, `one of ${words.map(kebab).join(', ')}`);
  return word;
}

/** A name of the library as the command line prints it: `man-overboard`. */
export function kebab(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
