/**
 * The known bits of a phasing, counted from its first, and as rows of the search.
 */
import { BITS_PER_SYMBOL } from '../../symbols/index.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SIGNS } from '../phasingsequence.js';
import { WINDOWS_PER_BIT } from './windows.js';

const KNOWN = Uint8Array.from({ length: PHASING_BITS }, (_, bit) => bit).filter(
  (bit) => PHASING_SIGNS[bit] !== 0,
);
const isB = (bit: number) => PHASING_SIGNS[bit] > 0;
const isDx = (bit: number) => bit % PAIR_BITS < BITS_PER_SYMBOL;

/** Those that are B and those that are Y, in DX and in RX. */
export const DX_B = KNOWN.filter((bit) => isB(bit) && isDx(bit));
export const DX_Y = KNOWN.filter((bit) => !isB(bit) && isDx(bit));
export const RX_B = KNOWN.filter((bit) => isB(bit) && !isDx(bit));
export const RX_Y = KNOWN.filter((bit) => !isB(bit) && !isDx(bit));
export const KNOWN_B = KNOWN.filter(isB);
export const KNOWN_Y = KNOWN.filter((bit) => !isB(bit));

/** Rows from the first bit of the phasing to each of them. */
export const KNOWN_ROWS = Int32Array.from(KNOWN, (bit) => WINDOWS_PER_BIT * bit);

/** +1 where one is B, −1 where it is Y; double precision spares a conversion at every product (measured). */
export const KNOWN_SIGNS = Float64Array.from(KNOWN, (bit) => PHASING_SIGNS[bit]);
