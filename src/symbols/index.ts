/**
 * Symbols: the ten-unit code, digit pairs, and what the symbols 100–127 mean in each field.
 *
 * @example
 * ```ts
 * import { NATURES, bitsToLetters, bitsToSymbol, symbolToBits } from 'dotphase/symbols';
 *
 * const bits = symbolToBits(112);
 * console.log(bitsToLetters(bits)); // BBBBYYYYBB
 * console.log(bitsToSymbol(bits)); // 112
 * console.log(NATURES.byName('flooding')?.symbol); // 101
 * ```
 *
 * @packageDocumentation
 */
export { BIT_RATE, type Band } from './band.js';
export {
  BITS_PER_SYMBOL,
  SYMBOL_COUNT,
  SYMBOL_WORDS,
  bitsToLetters,
  bitsToSymbol,
  lettersToBits,
  symbolToBits,
} from './code.js';
export {
  NO_INFORMATION,
  PHASING_DX,
  type CategoryName,
  type Code,
  type Codes,
  type EndOfSequenceName,
  type FirstTelecommandName,
  type FollowOnName,
  type FormatName,
  type NatureName,
  type SecondTelecommandName,
} from './codes.js';
export {
  CATEGORIES,
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  FORMATS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Certainty,
  type Vocabulary,
  type Word,
} from './codetables.js';
export { digitsToSymbols, symbolsToDigits } from './digits.js';
export { errorCheck } from './errorcheck.js';
