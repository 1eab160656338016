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
export * from './code.js';
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
export * from './codetables.js';
export * from './digits.js';
export { errorCheck } from './errorcheck.js';
