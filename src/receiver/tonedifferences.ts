/**
 * What the search looks at: for every centre and every third of a bit how much more power the upper tone has than
 * the lower one, and how well that agrees with the DX phasing characters.
 *
 * The contrast (upper − lower) / (upper + lower) of two tone powers is uniform on −1…1 in white noise, whatever
 * the level, so that the sum over n known bits has the variance n / 3 and thresholds are set in its deviations.
 */
import { PHASING_DX_COUNT } from '../frames/index.js';
import { WINDOWS_PER_BIT, createToneBank } from '../modem/internal.js';
import { PAIR_BITS } from './phasingsequence.js';
import { WORKING_RATE, type BandParameters } from './bandparameters.js';

/** Rows whose contrasts can be looked back upon, a power of two: an attempt of five sendings and its dots. */
const KEPT_ROWS = 1 << 14;
/** A row stands in `values` at (row & ROWS_MASK) times the number of centres. */
export const ROWS_MASK = KEPT_ROWS - 1;

/** Rows whose tone powers and runs can be looked back upon, a power of two: the phasing and what the search waits behind it. */
const RECENT_ROWS = 1 << 10;
const RECENT_MASK = RECENT_ROWS - 1;

/**
 * Weights of the three B and the seven Y of 125, which cancel where all contrasts lean to one side, as they do beside a
 * strong signal.
 */
const B_WEIGHT = 1.4;
const Y_WEIGHT = 0.6;

/** Sum of the squares of a run's weights: as many bits it counts for in noise. */
export const DX_WEIGHT = PHASING_DX_COUNT * (3 * B_WEIGHT ** 2 + 7 * Y_WEIGHT ** 2);

/** Rows that one call may take. */
export const MOST_ROWS = 64;

/** What is kept of the latest rows; a row is a third of a bit. */
export interface ToneDifferences {
  /** Samples a row takes. */
  readonly hop: number;
  /** How many centres there are; the lower tones of neighbours lie one tone apart. */
  readonly width: number;
  /** Rows so far. */
  readonly rows: number;
  /** Takes as many rows, at most {@link MOST_ROWS}, from `samples[at]` on. */
  take(samples: Float32Array, at: number, count: number): void;
  /** Where a row begins in the arrays, one element a centre; rows before the first are 0. */
  placeOf(row: number): number;
  /** The contrast of each row and centre; positive for B. */
  readonly values: Float32Array;
  /** Where a row begins in `runs`; they are kept for less long. */
  runPlaceOf(row: number): number;
  /** The correlation with the six DX phasing characters, were the last of them to end with the row. */
  readonly runs: Float32Array;
  /** The amplitude of the upper tone less that of the lower one, for rows of the last ten characters of phasing. */
  difference(row: number, tone: number): number;
  /** Hertz midway between the tones. */
  centreHz(tone: number): number;
}

/**
 * @param parameters - the modulation looked for
 * @param centres - the lowest and the highest centre, hertz
 */
export function createToneDifferences(
  parameters: BandParameters,
  centres: readonly [number, number],
): ToneDifferences {
  const { tonesPerShift } = parameters;
  const spacing = WORKING_RATE / parameters.period;
  const toneAt = (centreHz: number) => (centreHz - parameters.modulation.shiftHz / 2) / spacing;
  // Every centre lies within half a tone of one that is watched.
  const lowest = Math.max(1, Math.floor(toneAt(centres[0]) + 0.5));
  const width = Math.max(1, Math.ceil(toneAt(centres[1]) - 0.5) - lowest + 1);
  const range = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i);
  // Few centres leave a gap between their lower tones and their upper ones.
  const upperAt = Math.min(tonesPerShift, width);
  const tones = [...range(lowest, upperAt), ...range(lowest + tonesPerShift, width)];
  const bank = createToneBank({ bitSamples: parameters.bitSamples, period: parameters.period, tones });
  const powers = new Float32Array(RECENT_ROWS * tones.length);
  const values = new Float32Array(KEPT_ROWS * width);
  const characters = new Float32Array(RECENT_ROWS * width);
  const runs = new Float32Array(RECENT_ROWS * width);
  const block = new Float32Array(MOST_ROWS * tones.length);
  let rows = 0;

  const placeOf = (row: number) => (row & ROWS_MASK) * width;
  const runPlaceOf = (row: number) => (row & RECENT_MASK) * width;
  const powersOf = (row: number) => (row & RECENT_MASK) * tones.length;

  function measure(row: number, from: number): void {
    powers.set(block.subarray(from, from + tones.length), powersOf(row));
    const at = placeOf(row);
    for (let tone = 0; tone < width; tone++) {
      const lower = block[from + tone];
      const upper = block[from + tone + upperAt];
      values[at + tone] = (upper - lower) / (upper + lower + 1e-30);
    }
  }

  /** The match with one DX phasing character, and the run of six of them. */
  function correlate(row: number): void {
    // 125 is Y B Y Y Y Y Y B B Y; written out, for this is the innermost loop of the search.
    const bit = WINDOWS_PER_BIT;
    const b0 = placeOf(row - 9 * bit);
    const b1 = placeOf(row - 8 * bit);
    const b2 = placeOf(row - 7 * bit);
    const b3 = placeOf(row - 6 * bit);
    const b4 = placeOf(row - 5 * bit);
    const b5 = placeOf(row - 4 * bit);
    const b6 = placeOf(row - 3 * bit);
    const b7 = placeOf(row - 2 * bit);
    const b8 = placeOf(row - bit);
    const b9 = placeOf(row);
    const pair = WINDOWS_PER_BIT * PAIR_BITS;
    const before = runPlaceOf(row - pair);
    const leaving = runPlaceOf(row - pair * PHASING_DX_COUNT);
    const own = runPlaceOf(row);
    for (let tone = 0; tone < width; tone++) {
      const character =
        B_WEIGHT * (values[b1 + tone] + values[b7 + tone] + values[b8 + tone]) -
        Y_WEIGHT *
          (values[b0 + tone] +
            values[b2 + tone] +
            values[b3 + tone] +
            values[b4 + tone] +
            values[b5 + tone] +
            values[b6 + tone] +
            values[b9 + tone]);
      runs[own + tone] = runs[before + tone] + character - characters[leaving + tone];
      characters[own + tone] = character;
    }
  }

  return {
    hop: bank.hop,
    width,
    get rows() {
      return rows;
    },
    take(samples, at, count) {
      bank.steps(samples, at, count, block, 0);
      for (let n = 0; n < count; n++, rows++) {
        measure(rows, n * tones.length);
        correlate(rows);
      }
    },
    placeOf,
    runPlaceOf,
    values,
    runs,
    difference(row, tone) {
      const at = powersOf(row) + tone;
      return Math.sqrt(powers[at + upperAt]) - Math.sqrt(powers[at]);
    },
    centreHz: (tone) => (lowest + tone + tonesPerShift / 2) * spacing,
  };
}
