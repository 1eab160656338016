/**
 * How likely it is that the characters of a call were on the air at all: a call may break off or fade, and noise too fits
 * some characters that the tables allow.
 */
import { RX_DELAY_PAIRS } from '../frames/index.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';

/** How often a character is lost in a fade, and how often a call breaks off before it, in a call that is not sure. */
const FADED_SHARE = 0.02;
const BROKEN_SHARE = 0.02;

/** With one of 128 symbols noise agrees by chance: so much (ln) an agreement must exceed. */
const CHANCE = Math.log(SYMBOL_COUNT);

/** What the two sendings of a symbol say for it, ln against random bits; 0 where nothing was received. */
interface Sent {
  readonly dx: number;
  readonly rx: number;
  readonly isHeard: boolean;
}

/** How much likelier (ln) a symbol is with a signal than without; `isRepeated` where its RX was on the air too. */
function gainOf({ dx, rx, isHeard }: Sent, isRepeated: boolean): number {
  return isHeard ? dx + (isRepeated ? rx : 0) - CHANCE : 0;
}

/** Where a call broke off before the DX of a symbol, RX was on the air of those this many before it. */
const isRepeatedAt = (symbol: number, end: number) => symbol < end - RX_DELAY_PAIRS;

/** Probabilities from their logarithms, but for a common factor. */
function shares(logs: readonly number[]): number[] {
  const most = Math.max(...logs);
  const masses = logs.map((log) => Math.exp(log - most));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return masses.map((mass) => mass / total);
}

/**
 * For each symbol the probability that it was on the air: that the call had not broken off before it, wherever that may
 * have been, and that it was not lost in a fade.
 *
 * @param symbols - one format specifier through the error check
 * @param charactersOf - the information characters in which a symbol is sent
 */
export function presence(
  { values, first, received, count }: CharacterLogLikelihoods,
  symbols: readonly number[],
  charactersOf: (symbol: number) => readonly number[],
): number[] {
  const sent = symbols.map((symbol, i): Sent => {
    const heard = charactersOf(i).filter((character) => character < count && received[character] > 0);
    const sumOf = (of: Float64Array) =>
      heard.reduce((sum, character) => sum + of[character * SYMBOL_COUNT + symbol], 0);
    const dx = sumOf(first);
    return { dx, rx: sumOf(values) - dx, isHeard: heard.length > 0 };
  });
  /** The call broke off before the DX of the first symbol, the second … and not at all. */
  const ends = shares(
    Array.from({ length: symbols.length + 1 }, (_, end) => {
      const isWhole = end === symbols.length;
      return sent
        .slice(0, end)
        .reduce(
          (sum, each, i) => sum + gainOf(each, isWhole || isRepeatedAt(i, end)),
          isWhole ? 0 : Math.log(BROKEN_SHARE),
        );
    }),
  );
  return sent.map((each, i) =>
    ends.slice(i + 1).reduce((sum, share, behind) => {
      const end = i + 1 + behind;
      const isThere =
        (1 - FADED_SHARE) * Math.exp(gainOf(each, end === symbols.length || isRepeatedAt(i, end)));
      return sum + (share * isThere) / (isThere + FADED_SHARE);
    }, 0),
  );
}
