/**
 * The known bits of a phasing, as rows of the search.
 */
import { PHASING_BITS, PHASING_SIGNS } from '../phasingsequence.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** The known bits, counted from the first of the phasing. */
export const KNOWN = Uint8Array.from({ length: PHASING_BITS }, (_, bit) => bit).filter(
  (bit) => PHASING_SIGNS[bit] !== 0,
);

/** Rows from the first bit of the phasing to each of them. */
export const KNOWN_ROWS = Int32Array.from(KNOWN, (bit) => WINDOWS_PER_BIT * bit);

/** +1 where one is B, −1 where it is Y; double precision spares a conversion at every product (measured). */
export const KNOWN_SIGNS = Float64Array.from(KNOWN, (bit) => PHASING_SIGNS[bit]);
