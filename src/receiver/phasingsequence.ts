/**
 * The bits of a sequence that are known beforehand: its phasing (ITU-R M.493 Annex 1 §3, from memory).
 */
import { PHASING_RX, phasingSymbol } from '../frames/index.js';
import { BITS_PER_SYMBOL, SYMBOL_WORDS } from '../symbols/index.js';

/** Slots from the first DX phasing character to the last RX one. */
export const PHASING_SLOTS = 2 * PHASING_RX.length;

/** Bits from the first bit of the phasing to its last. */
export const PHASING_BITS = PHASING_SLOTS * BITS_PER_SYMBOL;

/** Bits from one DX character to the next. */
export const PAIR_BITS = 2 * BITS_PER_SYMBOL;

/** The signs of a symbol's ten bits in the order they are sent: +1 for B (the higher tone), −1 for Y. */
export function symbolSigns(symbol: number): Int8Array {
  const word = SYMBOL_WORDS[symbol];
  return Int8Array.from({ length: BITS_PER_SYMBOL }, (_, bit) => ((word >> bit) & 1 ? -1 : 1));
}

/** The sign of each bit of the phasing, 0 where an information character stands. */
export const PHASING_SIGNS: Int8Array = (() => {
  const signs = new Int8Array(PHASING_BITS);
  for (let slot = 0; slot < PHASING_SLOTS; slot++) {
    const symbol = phasingSymbol(slot);
    if (symbol !== undefined) signs.set(symbolSigns(symbol), slot * BITS_PER_SYMBOL);
  }
  return signs;
})();

/** How many bits of the phasing are known. */
export const KNOWN_BITS = PHASING_SIGNS.reduce((sum, sign) => sum + Math.abs(sign), 0);
