/**
 * The ten-unit error-detecting code: ITU-R M.493 Annex 1 §1, Table A1-1 (from memory).
 *
 * Bits 1–7 carry the symbol number, least significant first, Y = 1 and B = 0. Bits 8–10 carry the count of
 * B elements among bits 1–7, most significant first. On the air B is the higher tone, Y the lower.
 */
import { DotphaseError, requireInteger } from '../errors.js';

/** Bits in a character. */
export const BITS_PER_SYMBOL = 10;

/** Symbols of the alphabet, numbered 0 to 127. */
export const SYMBOL_COUNT = 128;

const INFORMATION_BITS = 7;

function encodeWord(symbol: number): number {
  let ones = 0;
  for (let bit = 0; bit < INFORMATION_BITS; bit++) ones += (symbol >> bit) & 1;
  const bCount = INFORMATION_BITS - ones;
  let word = symbol;
  for (let bit = 0; bit < 3; bit++) word |= ((bCount >> (2 - bit)) & 1) << (INFORMATION_BITS + bit);
  return word;
}

/**
 * Each symbol's ten bits packed into an integer: the bit sent first is the least significant, Y = 1.
 * Indexed by symbol number, 0–127.
 */
export const SYMBOL_WORDS: Uint16Array = Uint16Array.from({ length: SYMBOL_COUNT }, (_, s) => encodeWord(s));

/** Symbol number of each ten-bit word (first-sent bit least significant), or −1 where the check bits disagree. */
const WORD_SYMBOLS: Int16Array = (() => {
  const table = new Int16Array(1 << BITS_PER_SYMBOL).fill(-1);
  SYMBOL_WORDS.forEach((word, symbol) => (table[word] = symbol));
  return table;
})();

/**
 * The ten bits of one symbol in the order they are sent, 1 for Y and 0 for B.
 *
 * @param symbol - symbol number, integer 0–127
 * @returns ten elements
 * @throws DotphaseError when the number is outside 0–127
 */
export function symbolToBits(symbol: number): Uint8Array {
  requireInteger('symbol', symbol, 0, SYMBOL_COUNT - 1);
  const word = SYMBOL_WORDS[symbol];
  return Uint8Array.from({ length: BITS_PER_SYMBOL }, (_, bit) => (word >> bit) & 1);
}

/**
 * The symbol that ten received bits spell, or undefined where the check bits do not agree with bits 1–7.
 *
 * @param bits - at least `offset + 10` elements, 1 for Y and 0 for B
 * @param offset - where the character starts in `bits`
 * @throws DotphaseError when fewer than ten bits follow the offset
 */
export function bitsToSymbol(bits: ArrayLike<number>, offset = 0): number | undefined {
  if (!(offset >= 0 && offset + BITS_PER_SYMBOL <= bits.length && Number.isInteger(offset))) {
    throw new DotphaseError('offset', offset, `the index of a bit that nine of ${bits.length} follow`);
  }
  let word = 0;
  for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) word |= (bits[offset + bit] & 1) << bit;
  const symbol = WORD_SYMBOLS[word];
  return symbol < 0 ? undefined : symbol;
}

/** Bits as the letters the standard prints, `B` for 0 and `Y` for 1. */
export function bitsToLetters(bits: ArrayLike<number>): string {
  let letters = '';
  for (let i = 0; i < bits.length; i++) letters += bits[i] === 0 ? 'B' : 'Y';
  return letters;
}

/**
 * The reverse of {@link bitsToLetters}.
 *
 * @throws DotphaseError naming the first letter that is neither B nor Y
 */
export function lettersToBits(letters: string): Uint8Array {
  return Uint8Array.from(letters, (letter, at) => {
    if (letter !== 'B' && letter !== 'Y') throw new DotphaseError(`letter ${at + 1}`, letter, 'B or Y');
    return letter === 'Y' ? 1 : 0;
  });
}
