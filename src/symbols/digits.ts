/**
 * Digit pairs: symbols 00–99 carry two decimal digits each (ITU-R M.493 Annex 1 §1, from memory).
 */
import { DotphaseError } from '../errors.js';

/** The highest symbol that carries a digit pair; 100–127 are service commands. */
export const LAST_DIGIT_PAIR = 99;

/**
 * Packs an even number of decimal digits into symbols, two digits each.
 *
 * @param digits - decimal digits only, even in number
 * @throws DotphaseError when the text holds anything else
 */
export function digitsToSymbols(digits: string): number[] {
  if (!/^(\d\d)*$/.test(digits))
    throw new DotphaseError('digits', digits, 'an even number of decimal digits');
  return Array.from({ length: digits.length / 2 }, (_, i) => Number(digits.slice(2 * i, 2 * i + 2)));
}

/** The digits that symbols 00–99 carry, or undefined where one of them is a service command. */
export function symbolsToDigits(symbols: readonly number[]): string | undefined {
  let digits = '';
  for (const symbol of symbols) {
    if (!(symbol >= 0 && symbol <= LAST_DIGIT_PAIR)) return undefined;
    digits += String(symbol).padStart(2, '0');
  }
  return digits;
}
