/**
 * How much a set still answers: test calls at values of one thing (signal-to-noise ratio, level, offset, rate) that are
 * chosen one by one, each where it tells most, and the values at which half and nine tenths of them are acknowledged.
 *
 * The share acknowledged at a value r is taken to be (1 − λ)·Φ((r − m)/s): Φ is the normal distribution, m the value
 * for one half, s how steep it falls, λ the calls that are lost for other reasons. m and s are told by Bayes' rule on a
 * grid; the next value is the one that may be expected to tell most (Kontsevich and Tyler, "Bayesian
 * adaptive estimation of psychometric slope and threshold", 1999; from memory).
 */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import type { Figure } from './figure.js';

/** One test call. */
export interface LadderTrial {
  /** Of what is stepped: signal-to-noise ratio in 3 kHz, dB, or another. */
  readonly value: number;
  readonly isAcknowledged: boolean;
}

/** How a ladder is walked. */
export interface LadderOptions {
  /** Values tried, −100 000 to 100 000. */
  readonly lowest: number;
  readonly highest: number;
  /** How fine the values are told apart; default 0.1. The range holds 10 to 2000 of it. */
  readonly resolution?: number;
  /** Whether fewer calls are acknowledged the higher the value; default false. */
  readonly isFalling?: boolean;
  /** Calls at most, 1–1000; default 60. */
  readonly calls?: number;
  /** It ends where the value for one half is known to this standard uncertainty; default the resolution. */
  readonly until?: number;
  /** What was tried before, to go on from. */
  readonly trials?: readonly LadderTrial[];
}

/** What the ladder knows. */
export interface LadderEstimate {
  /** Value at which half of the calls are acknowledged. */
  readonly half: Figure;
  /** Value at which nine tenths are. */
  readonly nineTenths: Figure;
  /** Whether one half lies within the values tried; otherwise only that it lies at or beyond their end is known. */
  readonly isInRange: boolean;
}

/** A ladder. */
export interface Ladder {
  /** What was tried so far: keep it, and give it to another ladder to go on. */
  readonly trials: readonly LadderTrial[];
  /** The value of the next call; undefined where the ladder has ended. */
  next(): number | undefined;
  /** Takes what came of a call. */
  record(trial: LadderTrial): void;
  /** What is known so far. */
  estimate(): LadderEstimate;
}

const DEFAULT_CALLS = 60;
/** Calls before which it does not end, however sure it is. */
const LEAST_CALLS = 12;
/** After those, one call of so many is for the width. */
const WIDTH_EVERY = 3;
const DEFAULT_RESOLUTION = 0.1;
/** Values that may be asked for lie so many steps of the resolution apart. */
const TRIED_STEPS = 2;
/** Standard deviations of Φ, in steps: in tenths of a decibel white noise gives about 5, fading several tens. */
const WIDTHS = [2, 3, 4.5, 7, 10, 15, 22, 33, 50];
const LEAST_STEPS = 10;
const MOST_STEPS = 2000;
/** Calls lost for other reasons (common practice, no source). */
const LAPSE = 0.01;
/** Φ of it is 0.9. */
const NINE_TENTHS = 1.2816;
/** One half so many steps from the end of what was tried is not known to be within. */
const EDGE_STEPS = 5;
const FARTHEST = 100_000;

/** The normal distribution, to 1e-7 (Abramowitz and Stegun 26.2.17, from memory). */
function normal(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)) * series;
  return x < 0 ? tail : 1 - tail;
}

const share = (value: number, middle: number, width: number) =>
  LAPSE / 2 + (1 - LAPSE) * normal((value - middle) / width);

/** The entropy of a yes or no, in nats. */
function entropy(probability: number): number {
  const no = 1 - probability;
  const term = (p: number) => (p > 0 ? -p * Math.log(p) : 0);
  return term(probability) + term(no);
}

/** @throws DotphaseError when an option is out of range */
export function createLadder(options: LadderOptions): Ladder {
  const lowest = requireNumber('lowest', options.lowest, -FARTHEST, FARTHEST);
  const highest = requireNumber('highest', options.highest, -FARTHEST, FARTHEST);
  const resolution = requireNumber('resolution', options.resolution ?? DEFAULT_RESOLUTION, 0.001, 1000);
  const steps = Math.round((highest - lowest) / resolution);
  if (steps < LEAST_STEPS || steps > MOST_STEPS)
    throw new DotphaseError(
      'highest',
      highest,
      `from ${LEAST_STEPS * resolution} to ${MOST_STEPS * resolution} more than lowest`,
    );
  const calls = requireInteger('calls', options.calls ?? DEFAULT_CALLS, 1, 1000);
  const until = requireNumber('until', options.until ?? resolution, resolution / 10, 100 * resolution);
  const trials: LadderTrial[] = [];
  // Within, values are counted in steps of the resolution from the end where no call is acknowledged.
  const sense = options.isFalling ? -1 : 1;
  const bottom = options.isFalling ? highest : lowest;
  const inside = (value: number) => (sense * (value - bottom)) / resolution;
  const outside = (place: number) => bottom + sense * place * resolution;
  const tried = Array.from({ length: Math.floor(steps / TRIED_STEPS) + 1 }, (_, i) => i * TRIED_STEPS);
  const middles = steps + 1;
  let weights = new Float64Array(middles * WIDTHS.length).fill(1 / (middles * WIDTHS.length));
  const each = (visit: (at: number, middle: number, width: number) => void) => {
    WIDTHS.forEach((width, w) => {
      for (let middle = 0; middle < middles; middle++) visit(w * middles + middle, middle, width);
    });
  };

  const record = ({ value, isAcknowledged }: LadderTrial) => {
    requireNumber('value', value, -2 * FARTHEST, 2 * FARTHEST);
    if (typeof isAcknowledged !== 'boolean')
      throw new DotphaseError('isAcknowledged', isAcknowledged, 'true or false');
    trials.push({ value, isAcknowledged });
    const place = inside(value);
    const updated = new Float64Array(weights.length);
    let total = 0;
    each((at, middle, width) => {
      const probability = share(place, middle, width);
      updated[at] = weights[at] * (isAcknowledged ? probability : 1 - probability);
      total += updated[at];
    });
    weights = updated.map((weight) => weight / total);
  };

  /** Mean and standard deviation of the middle plus so many widths, in steps. */
  const moments = (widths: number): Figure => {
    let [sum, squares] = [0, 0];
    each((at, middle, width) => {
      const value = middle + widths * width;
      sum += weights[at] * value;
      squares += weights[at] * value ** 2;
    });
    return { value: sum, uncertainty: Math.sqrt(Math.max(0, squares - sum ** 2) + 1 / 12) };
  };

  // A share hangs on the steps between value and middle alone.
  const table = WIDTHS.map((width) => {
    const shares = Float64Array.from({ length: 2 * steps + 1 }, (_, i) => share(i - steps, 0, width));
    return { shares, doubts: shares.map(entropy) };
  });

  /** How much a call at a place may be expected to tell: its own entropy less what would be left with all known. */
  const expectedInformation = (place: number): number => {
    let [probability, doubt] = [0, 0];
    table.forEach(({ shares, doubts }, w) => {
      for (let m = 0, at = w * middles; m < middles; m++, at++) {
        probability += weights[at] * shares[place + steps - m];
        doubt += weights[at] * doubts[place + steps - m];
      }
    });
    return entropy(probability) - doubt;
  };

  const nextPlace = (): number => {
    // What tells most of middle and width together lies beside the middle; most calls are for the middle alone.
    if (trials.length >= LEAST_CALLS && trials.length % WIDTH_EVERY !== 0) {
      const { value } = moments(0);
      return tried.reduce((near, place) => (Math.abs(place - value) < Math.abs(near - value) ? place : near));
    }
    let [best, most] = [tried[0], -Infinity];
    for (const place of tried) {
      const information = expectedInformation(place);
      if (information > most) [best, most] = [place, information];
    }
    return best;
  };

  const told = ({ value, uncertainty }: Figure): Figure => ({
    value: outside(value),
    uncertainty: uncertainty * resolution,
  });

  for (const trial of options.trials ?? []) record(trial);
  return {
    trials,
    next() {
      if (trials.length >= calls) return undefined;
      if (trials.length >= LEAST_CALLS && moments(0).uncertainty * resolution <= until) return undefined;
      return Number(outside(nextPlace()).toFixed(6));
    },
    record,
    estimate() {
      const half = moments(0);
      const places = trials.map(({ value }) => inside(value));
      const isInRange =
        trials.some(({ isAcknowledged }) => isAcknowledged) &&
        trials.some(({ isAcknowledged }) => !isAcknowledged) &&
        half.value > Math.min(...places) - EDGE_STEPS &&
        half.value < Math.max(...places) + EDGE_STEPS;
      return { half: told(half), nineTenths: told(moments(NINE_TENTHS)), isInRange };
    },
  };
}
