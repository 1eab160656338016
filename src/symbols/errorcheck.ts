/**
 * The error-check character: ITU-R M.493 Annex 1 §10 (from memory).
 */

/**
 * The bitwise exclusive-or of the seven-bit values of one format specifier, the body and one end of sequence.
 *
 * @param symbols - those characters, each once, without phasing, repetition and the check itself
 * @returns the error-check symbol, 0–127
 */
export function errorCheck(symbols: readonly number[]): number {
  return symbols.reduce((check, symbol) => check ^ symbol, 0);
}
