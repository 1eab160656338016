/**
 * What the search looks at: for every centre and every third of a bit how much more power the upper tone has than
 * the lower one, and how well that agrees with the DX phasing characters.
 *
 * The contrast (upper − lower) / (upper + lower) of two tone powers is uniform on −1…1 in white noise, whatever
 * the level, so that the sum over n known bits has the variance n / 3 and thresholds are set in its deviations.
 */
import { PHASING_DX_COUNT } from '../frames/index.js';
import { WINDOWS_PER_BIT, createToneBank } from '../modem/internal.js';
import { PAIR_BITS, PHASING_BITS } from './phasingsequence.js';
import { WORKING_RATE, type BandParameters } from './bandparameters.js';

/** Rows that can be looked back upon: the phasing. */
const HISTORY = WINDOWS_PER_BIT * (PHASING_BITS + 10);

/** Rows that one call may take. */
export const MOST_ROWS = 64;

/** Rows kept for each tone. */
const CAPACITY = 2 * HISTORY;

/** ToneDifferences of the latest rows; a row is a third of a bit. */
export interface ToneDifferences {
  /** Samples a row takes. */
  readonly hop: number;
  /** How many centres there are; the lower tones of neighbours lie one tone apart. */
  readonly width: number;
  /** Rows so far. */
  readonly rows: number;
  /** Takes as many rows, at most {@link MOST_ROWS}, from `samples[at]` on. */
  take(samples: Float32Array, at: number, count: number): void;
  /** Where a row lies in the arrays of a tone. */
  place(row: number, tone: number): number;
  /** The contrast of each row and tone, at its place; positive for B. */
  readonly values: Float32Array;
  /** The correlation with the six DX phasing characters, were the last of them to end with the row, at its place. */
  readonly runs: Float32Array;
  /** The amplitude of the upper tone less that of the lower one. */
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
  const powers = new Float32Array(CAPACITY * tones.length);
  const values = new Float32Array(CAPACITY * width);
  const characters = new Float32Array(CAPACITY * width);
  const runs = new Float32Array(CAPACITY * width);
  let rows = 0;
  /** The row at the beginning of the arrays. */
  let oldest = -HISTORY;

  function makeRoom(): void {
    const from = rows - HISTORY - oldest;
    powers.copyWithin(0, from * tones.length, (from + HISTORY) * tones.length);
    for (const array of [values, characters, runs]) {
      for (let tone = 0; tone < width; tone++) {
        const start = tone * CAPACITY;
        array.copyWithin(start, start + from, start + from + HISTORY);
      }
    }
    oldest = rows - HISTORY;
  }

  function measure(tone: number, from: number, to: number): void {
    const start = tone * CAPACITY;
    let at = from * tones.length + tone;
    for (let n = from; n < to; n++, at += tones.length) {
      const lower = powers[at];
      const upper = powers[at + upperAt];
      values[start + n] = (upper - lower) / (upper + lower + 1e-30);
    }
  }

  /** The match with one DX phasing character, and the run of six of them. */
  function correlate(tone: number, from: number, to: number): void {
    const lag = WINDOWS_PER_BIT;
    const before = WINDOWS_PER_BIT * PAIR_BITS;
    const leaving = before * PHASING_DX_COUNT;
    const start = tone * CAPACITY;
    // 125 is Y B Y Y Y Y Y B B Y; written out, for this is the innermost loop of the search.
    for (let n = start + from; n < start + to; n++) {
      const character =
        values[n - lag * 8] +
        values[n - lag * 2] +
        values[n - lag] -
        values[n - lag * 9] -
        values[n - lag * 7] -
        values[n - lag * 6] -
        values[n - lag * 5] -
        values[n - lag * 4] -
        values[n - lag * 3] -
        values[n];
      runs[n] = runs[n - before] + character - characters[n - leaving];
      characters[n] = character;
    }
  }

  return {
    hop: bank.hop,
    width,
    get rows() {
      return rows;
    },
    take(samples, at, count) {
      if (rows + count - oldest > CAPACITY) makeRoom();
      const from = rows - oldest;
      bank.steps(samples, at, count, powers, from * tones.length);
      for (let tone = 0; tone < width; tone++) {
        measure(tone, from, from + count);
        correlate(tone, from, from + count);
      }
      rows += count;
    },
    place: (row, tone) => tone * CAPACITY + row - oldest,
    values,
    runs,
    difference(row, tone) {
      const at = (row - oldest) * tones.length + tone;
      return Math.sqrt(powers[at + upperAt]) - Math.sqrt(powers[at]);
    },
    centreHz: (tone) => (lowest + tone + tonesPerShift / 2) * spacing,
  };
}
