/**
 * Where expansions stand behind a call: ITU-R M.821-1 §1 (from memory and with doubt, so that both likely framings
 * are read).
 */
import { errorCheck } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';

/** The ends of sequence that close a call or an expansion behind its error check. */
const CLOSING = 2;
const FIRST_SPECIFIER = 100;
const LAST_SPECIFIER = 106;

/**
 * Characters that the longest run of expansions takes: each of the seven once (ITU-R M.821-1, from memory) and at its
 * longest, in a sequence of its own. Specifiers 7, data 4 + 3 + 2 + 2 + 20 + 12 + 2 = 45, ends of sequence and error
 * checks 2 × 7, closing ends of sequence behind the call and each expansion 2 × 8.
 */
export const LONGEST_EXPANSIONS = 82;

function isSpecifier(symbol: number | undefined): boolean {
  return symbol !== undefined && symbol >= FIRST_SPECIFIER && symbol <= LAST_SPECIFIER;
}

/** One expansion sequence that starts at `at`, or undefined where there is none whose error check agrees. */
function expansionAt(characters: readonly (number | undefined)[], at: number): number[] | undefined {
  if (!isSpecifier(characters.at(at))) return undefined;
  const symbols: number[] = [];
  for (const symbol of characters.slice(at)) {
    if (symbol === undefined) return undefined;
    const before = symbols.at(-1);
    symbols.push(symbol);
    if (before !== undefined && END_OF_SEQUENCE_CODES.bySymbol(before)) {
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
 *   two closing ends of sequence, at most as many as there are; `next` is the index of a specifier that begins another
 *   sequence behind them, which is not whole or whose error check disagrees
 */
export function splitExpansions(characters: readonly (number | undefined)[]): {
  expansions: number[][];
  length: number;
  next: number | undefined;
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
  const next = [at + CLOSING, at].find((index) => isSpecifier(characters.at(index)));
  return { expansions, length: Math.min(characters.length, at + CLOSING), next };
}
