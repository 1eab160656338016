/**
 * Whether a call came as steadily as a set sends it. Over a path that fades, or through a gain that moves, level and
 * phase move within the call: then the fit's own covariance, which knows of white noise alone, promises too much.
 */
import { bitOutputs } from './bitoutputs.js';
import type { Figure } from './figure.js';
import type { Fit } from './fit.js';
import { inverse, times } from './linear.js';
import { DRIFT, TIMING, UPPER, segmentOf } from './normalequations.js';
import { TONE_PARAMETERS, runningSums, sumAt } from './tonemodel.js';

/** Bits whose level is taken together. */
const LEVEL_BITS = 10;
/** A level that moves by more than this, rms, or runs up or down by more than the other from end to end, is no set's. */
const MOST_UNREST_DB = 0.5;
const MOST_DROOP_DB = 6;
/** And by so many times its standard uncertainty. */
const SURE = 3;
/** Pieces of a call whose errors are compared. */
const PIECES = 20;
/** Variances over pieces scatter; up to so many times the one expected they tell nothing. */
const LEAST_EXCESS = 3;
const PER_NEPER_DB = 20 / Math.LN10;

/** How the level moves about its straight line. */
export interface LevelUnrest {
  /** Root mean square, dB, what noise makes of it taken away. */
  readonly unrest: Figure;
  /** Whether it moves more than a set's does. */
  readonly isUnsteady: boolean;
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * How much the level of ten bits moves within the call, each tone against its own.
 *
 * @param variance - of the noise in a sample
 */
export function levelUnrest(
  audio: Float32Array,
  sampleRate: number,
  fit: Fit,
  variance: number,
): LevelUnrest {
  const { parameters, keyed, range } = fit;
  const { upper, lower, bitSeconds } = parameters;
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  const relative = (bit: number) => Math.hypot(re[bit], im[bit]) / (keyed.signs[bit] > 0 ? upper : lower);
  const levels = Array.from({ length: Math.floor((range[1] - range[0]) / LEVEL_BITS) }, (_, block) =>
    mean(Array.from({ length: LEVEL_BITS }, (_, i) => relative(range[0] + block * LEVEL_BITS + i))),
  );
  const level = mean(levels);
  const middle = (levels.length - 1) / 2;
  const weight = levels.reduce((sum, _, i) => sum + (i - middle) ** 2, 0);
  const slope = levels.reduce((sum, value, i) => sum + (value - level) * (i - middle), 0) / weight;
  const squares = levels.map((value, i) => (value - level - slope * (i - middle)) ** 2);
  // A mean and a slope are taken out.
  const seen = squares.reduce((sum, square) => sum + square, 0) / Math.max(1, levels.length - 2);
  const noise = (2 * variance) / (bitSeconds * sampleRate) / (upper * lower) / LEVEL_BITS;
  const doubt = noise * Math.sqrt(2 / Math.max(1, levels.length - 2));
  const rms = Math.sqrt(Math.max(0, seen - noise));
  const unrest: Figure = {
    value: PER_NEPER_DB * rms,
    uncertainty: (PER_NEPER_DB * doubt) / (2 * Math.max(rms, Math.sqrt(doubt))),
  };
  const isMoving = unrest.value - SURE * unrest.uncertainty > MOST_UNREST_DB;
  const droop = PER_NEPER_DB * Math.abs(slope) * levels.length;
  const droopDoubt = PER_NEPER_DB * Math.sqrt(noise / weight) * levels.length;
  return { unrest, isUnsteady: isMoving || droop - SURE * droopDoubt > MOST_DROOP_DB };
}

/**
 * The fit with the covariance that the errors of its pieces show, where it is larger than the model's: the sandwich of
 * White (1980) by pieces (Liang and Zeger 1986; both from memory).
 *
 * @param variance - of the noise in a sample
 */
export function withScatter(audio: Float32Array, sampleRate: number, fit: Fit, variance: number): Fit {
  const { parameters, keyed, range, phases, isBroken, isDrifting } = fit;
  const { shiftHz, instant, bitSeconds, upper, lower } = parameters;
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  const sums = runningSums(keyed.signs);
  const pivotSum = sumAt(sums, keyed.signs, keyed.pivot);
  const bits = Array.from({ length: range[1] - range[0] }, (_, i) => range[0] + i);
  const segments = bits.map((bit) => segmentOf(keyed.segments, bit));
  const amplitudes = bits.map((bit) => (keyed.signs[bit] > 0 ? upper : lower));
  const perAmplitude = (bitSeconds * sampleRate) / (2 * variance);
  // Each row: the slopes of a bit's phase or amplitude, its error, and the weight of both.
  const phaseRows = bits.map((bit, i) => {
    const sign = keyed.signs[bit];
    const position = bit + 0.5;
    const turned = sums[bit] + sign / 2 - pivotSum;
    const phase = phases[segments[i]];
    const since = instant + (position - keyed.pivot) * bitSeconds - keyed.reference;
    const slopes = [
      2 * Math.PI * since,
      Math.PI * bitSeconds * turned,
      ...(isBroken
        ? []
        : [-Math.PI * shiftHz * sign, Math.PI * shiftHz * (turned - sign * (position - keyed.pivot))]),
      ...(isDrifting ? [Math.PI * since ** 2] : []),
    ];
    const error = Math.atan2(im[bit], re[bit]) - phase;
    return {
      slopes,
      error: error - 2 * Math.PI * Math.round(error / (2 * Math.PI)),
      weight: perAmplitude * amplitudes[i] ** 2,
    };
  });
  const amplitudeRows = bits.map((bit, i) => ({
    slopes: keyed.signs[bit] > 0 ? [1, 0] : [0, 1],
    error: re[bit] * Math.cos(phases[segments[i]]) + im[bit] * Math.sin(phases[segments[i]]) - amplitudes[i],
    weight: perAmplitude,
  }));
  const factors = new Float64Array(TONE_PARAMETERS).fill(1);
  const moved = [0, 1, ...(isBroken ? [] : TIMING), ...(isDrifting ? [DRIFT] : [])];
  excesses(centred(phaseRows, segments)).forEach((excess, i) => (factors[moved[i]] = excess));
  excesses(amplitudeRows).forEach((excess, i) => (factors[UPPER + i] = excess));
  const covariance = fit.covariance.map(
    (value, at) => value * factors[Math.floor(at / TONE_PARAMETERS)] * factors[at % TONE_PARAMETERS],
  );
  return { ...fit, covariance };
}

interface Row {
  readonly slopes: readonly number[];
  readonly error: number;
  readonly weight: number;
}

/** Rows less their means over each segment, whose phase is free. */
function centred(rows: readonly Row[], segments: readonly number[]): Row[] {
  const own = new Map<number, Row[]>();
  rows.forEach((row, i) => {
    const list = own.get(segments[i]);
    if (list) list.push(row);
    else own.set(segments[i], [row]);
  });
  const means = new Map(
    [...own].map(([segment, list]) => {
      const total = list.reduce((sum, { weight }) => sum + weight, 0);
      const over = (value: (row: Row) => number) =>
        list.reduce((sum, row) => sum + row.weight * value(row), 0) / total;
      return [
        segment,
        {
          slopes: rows[0].slopes.map((_, i) => over(({ slopes }) => slopes[i])),
          error: over(({ error }) => error),
        },
      ];
    }),
  );
  return rows.map((row, i) => {
    const { slopes, error } = means.get(segments[i]) ?? row;
    return { ...row, slopes: row.slopes.map((slope, k) => slope - slopes[k]), error: row.error - error };
  });
}

/** By how much each parameter's standard deviation over the pieces exceeds the model's; 1 where it does not. */
function excesses(rows: readonly Row[]): number[] {
  const size = rows[0].slopes.length;
  const information = new Float64Array(size * size);
  for (const { slopes, weight } of rows)
    slopes.forEach((a, i) => {
      slopes.forEach((b, j) => (information[i * size + j] += weight * a * b));
    });
  const model = inverse(information, size);
  if (!model) return Array.from({ length: size }, () => 1);
  const perPiece = Math.ceil(rows.length / PIECES);
  const squares = new Float64Array(size);
  for (let at = 0; at < rows.length; at += perPiece) {
    const score = new Float64Array(size);
    for (const { slopes, error, weight } of rows.slice(at, at + perPiece))
      slopes.forEach((slope, i) => (score[i] += weight * slope * error));
    times(model, size, score).forEach((shift, i) => (squares[i] += shift ** 2));
  }
  return Array.from(squares, (square, i) => {
    const excess = square / model[i * size + i];
    return excess > LEAST_EXCESS ? Math.sqrt(excess) : 1;
  });
}
