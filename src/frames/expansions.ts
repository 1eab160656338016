/**
 * Where expansions stand behind a call: ITU-R M.821-1 §1 (from memory and with doubt, so that both likely framings
 * are read).
 */
import { errorCheck } from '../symbols/index.js';
import { ENDS_OF_SEQUENCE } from '../symbols/index.js';

/** The ends of sequence that close a call or an expansion behind its error check. */
const CLOSING = 2;
const FIRST_SPECIFIER = 100;
const LAST_SPECIFIER = 106;

/** One expansion sequence that starts at `at`, or undefined where there is none whose error check agrees. */
function expansionAt(characters: readonly (number | undefined)[], at: number): number[] | undefined {
  const specifier = characters.at(at);
  if (specifier === undefined || specifier < FIRST_SPECIFIER || specifier > LAST_SPECIFIER) return undefined;
  const symbols: number[] = [];
  for (const symbol of characters.slice(at)) {
    if (symbol === undefined) return undefined;
    const before = symbols.at(-1);
    symbols.push(symbol);
    if (before !== undefined && ENDS_OF_SEQUENCE.bySymbol(before)) {
      return errorCheck(symbols) === 0 ? symbols : undefined;
    }
  }
  return undefined;
}

/**
 * The expansions in what follows a call's error check: behind the two ends of sequence that close the call, or right
 * there. A sequence counts only where every character of it was read and its error check agrees.
 *
 * @param characters - the characters behind the error check; undefined where one was not read
 * @returns each sequence from its specifier through its error check, and how many characters they take with the
 *   two closing ends of sequence, at most as many as there are
 */
export function splitExpansions(characters: readonly (number | undefined)[]): {
  expansions: number[][];
  length: number;
} {
  const expansions: number[][] = [];
  let at = 0;
  for (;;) {
    const afterEnd = expansionAt(characters, at + CLOSING);
    const expansion = afterEnd ?? expansionAt(characters, at);
    if (!expansion) break;
    expansions.push(expansion);
    at += (afterEnd ? CLOSING : 0) + expansion.length;
  }
  return { expansions, length: Math.min(characters.length, at + CLOSING) };
}
