/**
 * What the arithmetic of the search works by, whatever is searched for. `npm run wasm` compiles these numbers into the
 * vectorised one: rows as whole numbers, all others as 32-bit ones.
 *
 * The sum of the contrasts of n known bits has the variance n / 3 in white noise, see `rows.ts`.
 */
import { LONG_DOTS, PHASING_DX_COUNT } from '../../frames/index.js';
import { BITS_PER_SYMBOL } from '../../symbols/index.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SLOTS } from '../phasingsequence.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** Rows whose powers, contrasts, characters, runs and runs of dots are kept: more than a phasing has. A power of two. */
export const RECENT_ROWS = 1 << 10;

/**
 * Bits whose contrasts are kept where attempts are searched for: more than five sendings and their dots take, a power of
 * two. What a centre's take: the bits of each third one behind the other, and so much room that no two centres lie a
 * power of two apart, which would have them contend for the same places of the cache.
 */
export const KEPT_BITS = 1 << 12;
export const KEPT_ROWS_STRIDE = WINDOWS_PER_BIT * KEPT_BITS + 16;

/**
 * Weights of the three B and the seven Y of 125, which cancel where all contrasts lean to one side, as they do beside a
 * strong signal.
 */
export const B_WEIGHT = 1.4;
export const Y_WEIGHT = 0.6;

/** Sum of the squares of a run's weights: as many bits it counts for in noise. */
const DX_WEIGHT = PHASING_DX_COUNT * (3 * B_WEIGHT ** 2 + 7 * Y_WEIGHT ** 2);

/** How far random bits have the sum of so many contrasts stray. */
const deviation = (bits: number) => Math.sqrt(bits / 3);

/** Where the six DX characters are this likely, by themselves or with the dots before them, the whole pattern is looked at. */
export const LEAST_RUN = 3.5 * deviation(DX_WEIGHT);
export const LEAST_DOTTED = 5 * deviation(DX_WEIGHT + LONG_DOTS);

/** Mean magnitude of contrasts above which single bits can be trusted; 0.5 in noise, 1 without. What a new one counts for in it. */
export const LEAST_ACTIVITY = 0.72;
export const ACTIVITY_SHARE = 1 / 32;

/** Rows of one slot, of a pair, and of six pairs. */
export const SLOT_ROWS = WINDOWS_PER_BIT * BITS_PER_SYMBOL;
export const PAIR_ROWS = 2 * SLOT_ROWS;
export const SIX_PAIRS_ROWS = PAIR_ROWS * PHASING_DX_COUNT;

/** Rows between the end of the last DX phasing character and the end of the phasing. */
export const DX_LEAD = (PHASING_SLOTS - 1 - 2 * (PHASING_DX_COUNT - 1)) * SLOT_ROWS;

/** Bits from the first of the phasing to the end of its last DX character, so many rows, and rows from there to its end. */
export const DX_BITS = PAIR_BITS * (PHASING_DX_COUNT - 1) + BITS_PER_SYMBOL;
export const DX_ROWS = WINDOWS_PER_BIT * DX_BITS;
export const BEHIND_DX = WINDOWS_PER_BIT * (PHASING_BITS - DX_BITS);

/** Rows of a run of dots. */
export const DOT_ROWS = WINDOWS_PER_BIT * LONG_DOTS;

/**
 * No sending counts for more deviations than this in the search for attempts, without dots and with them, so that a
 * strong one alone is not looked at.
 */
const MOST_OF_ONE = 3.5;
export const MOST_RUN = MOST_OF_ONE * deviation(DX_WEIGHT);
export const MOST_DOTTED = MOST_OF_ONE * deviation(DX_WEIGHT + LONG_DOTS);

/**
 * Where contrasts are larger than this in the mean there is a signal. Its runs stray further than those of noise,
 * whatever it says, and count for an attempt by as much less.
 */
export const NOISE_MAGNITUDE = 0.63;

/** Deviations from which an attempt is weighed: about 60 times in a second of noise over the whole passband. */
const LEAST_ATTEMPT = 3.5;

/** The squares of what the sum of three and of five sendings must exceed, with dots before the first or before each. */
const square = (bits: number) => (LEAST_ATTEMPT * deviation(bits)) ** 2;
export const LEAST_THREE = square(3 * DX_WEIGHT);
export const LEAST_FIVE = square(5 * DX_WEIGHT + LONG_DOTS);
export const LEAST_THREE_DOTTED = square(3 * (DX_WEIGHT + LONG_DOTS));
export const LEAST_FIVE_DOTTED = square(5 * (DX_WEIGHT + LONG_DOTS));
