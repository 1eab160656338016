/**
 * Contrasts of one centre added up over bits of a phasing, from where what is asked for lies closest together.
 */
import { KEPT_BITS } from './rowconstants.js';
import type { Rows } from './rows.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** Adds up contrasts. */
export interface BitSums {
  /** Sum of the squares of all that was added up since it was set to 0. */
  squares: number;
  /** The sum of a centre's contrasts at some bits, counted from the one that ends with row `first`. */
  add(bits: Uint8Array, first: number, centre: number): number;
}

export function createBitSums(rows: Rows): BitSums {
  const { contrasts, rowOf, keptContrasts, keptBitsOf } = rows;

  const ofKept: BitSums = {
    squares: 0,
    add(bits, first, centre) {
      const ring = keptBitsOf(centre, first);
      const bit = Math.floor(first / WINDOWS_PER_BIT);
      let sum = 0;
      let squares = 0;
      for (let i = 0; i < bits.length; i++) {
        const value = keptContrasts[ring + ((bit + bits[i]) & (KEPT_BITS - 1))];
        sum += value;
        squares += value * value;
      }
      this.squares += squares;
      return sum;
    },
  };

  const ofRecent: BitSums = {
    squares: 0,
    add(bits, first, centre) {
      let sum = 0;
      let squares = 0;
      for (let i = 0; i < bits.length; i++) {
        const value = contrasts[rowOf(first + WINDOWS_PER_BIT * bits[i]) + centre];
        sum += value;
        squares += value * value;
      }
      this.squares += squares;
      return sum;
    },
  };

  return keptContrasts.length > 0 ? ofKept : ofRecent;
}
