/**
 * The Cramér–Rao bound of a made-up set's parameters, by finite differences of its audio: Fisher's information is the
 * sum of products of the derivatives over the variance of the noise (Kay, Fundamentals of Statistical Signal
 * Processing, volume 1, 3.9; from memory).
 */
import { madeUpAudio, type MadeUpSet } from './madeupset.js';

/** Standard deviations that no unbiased estimator goes below. */
export interface Bound {
  centreHz: number;
  shiftHz: number;
  ratePpm: number;
  levelDifferenceDb: number;
  /** Of the first bit of the dots, seconds. */
  start: number;
}

/** The inverse of a matrix by Gauss and Jordan. */
function inverse(matrix: number[][]): number[][] {
  const size = matrix.length;
  const scale = matrix.map((row, i) => 1 / Math.sqrt(row[i]));
  const rows = matrix.map((row, i) => [
    ...row.map((value, j) => value * scale[i] * scale[j]),
    ...row.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let i = 0; i < size; i++) {
    const pivot = rows[i][i];
    rows[i] = rows[i].map((value) => value / pivot);
    for (let k = 0; k < size; k++) {
      if (k === i) continue;
      const factor = rows[k][i];
      rows[k] = rows[k].map((value, j) => value - factor * rows[i][j]);
    }
  }
  return rows.map((row, i) => row.slice(size).map((value, j) => value * scale[i] * scale[j]));
}

/**
 * Seconds before the call: no bit begins on a sample, which would lie on the other side of the step when the start or
 * the rate is moved a little, so that the difference would be no derivative.
 */
const BEFORE = 0.600031;

/** @param set - with both amplitudes alike; the first and the last bit are left out, as the fit does */
export function boundOf(
  symbols: readonly number[],
  set: MadeUpSet,
  { ratioDb, sampleRate = 12_000 }: { ratioDb: number; sampleRate?: number },
): Bound {
  const { baud = 100, centreHz = 1700, shiftHz = 170, b = 0.5, y = 0.5 } = set;
  // Six DX phasing characters, the second format specifier and two more ends: so many pairs of slots.
  const bits = 20 * (symbols.length + 9) + (set.dots ?? 200);
  const [first, end] = [
    Math.ceil((BEFORE + 1 / baud) * sampleRate),
    Math.floor((BEFORE + (bits - 1) / baud) * sampleRate),
  ];
  const audio = (change: MadeUpSet, more: { before?: number; phase?: number } = {}) =>
    madeUpAudio(symbols, { ...set, ...change }, { sampleRate, before: BEFORE, after: 0.2, ...more });
  const still = audio({});
  // Small enough for a straight line, large enough for single precision; amplitudes are linear.
  const slopes = [
    [audio({ centreHz: centreHz + 1e-4 }), 1e-4],
    [audio({ shiftHz: shiftHz + 1e-3 }), 1e-3],
    [audio({ baud: baud * (1 + 1e-6) }), 1],
    [audio({}, { before: BEFORE + 1e-6 }), 1e-6],
    [audio({ b: b * 1.01 }), 0.01],
    [audio({ y: y * 1.01 }), 0.01],
    [audio({}, { phase: 1e-3 }), 1e-3],
  ].map(([moved, step]) => {
    const samples = moved as Float32Array;
    return Float64Array.from(
      { length: end - first },
      (_, n) => (samples[first + n] - still[first + n]) / (step as number),
    );
  });
  const variance = (0.125 / 10 ** (ratioDb / 10)) * (sampleRate / 2 / 3000);
  const information = slopes.map((one) =>
    slopes.map((other) => one.reduce((sum, value, n) => sum + value * other[n], 0) / variance),
  );
  const covariance = inverse(information);
  const deviation = (i: number) => Math.sqrt(covariance[i][i]);
  const difference = covariance[4][4] + covariance[5][5] - 2 * covariance[4][5];
  return {
    centreHz: deviation(0),
    shiftHz: deviation(1),
    ratePpm: deviation(2),
    start: deviation(3),
    levelDifferenceDb: (20 / Math.LN10) * Math.sqrt(difference),
  };
}
