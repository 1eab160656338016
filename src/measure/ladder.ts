/**
 * How weak a signal a set still answers: test calls at signal-to-noise ratios that are chosen one by one, each where it
 * tells most, and the ratio at which half and nine tenths of them are acknowledged.
 *
 * The share acknowledged at a ratio r is taken to be (1 − λ)·Φ((r − m)/s): Φ is the normal distribution, m the ratio
 * for one half, s how steep it falls, λ the calls that are lost for other reasons. m and s are told by Bayes' rule on a
 * grid; the next ratio is the one that may be expected to tell most (Kontsevich and Tyler, "Bayesian
 * adaptive estimation of psychometric slope and threshold", 1999; from memory).
 */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import type { Figure } from './figure.js';

/** One test call. */
export interface LadderTrial {
  /** Signal-to-noise ratio in 3 kHz, or whatever is stepped, in dB. */
  readonly ratioDb: number;
  readonly isAcknowledged: boolean;
}

/** How a ladder is walked. */
export interface LadderOptions {
  /** Ratios tried, dB: −60 to 100. */
  readonly lowestDb: number;
  readonly highestDb: number;
  /** Calls at most, 1–1000; default 60. */
  readonly calls?: number;
  /** It ends where the ratio for one half is known to this standard uncertainty, dB; default 0.1. */
  readonly untilDb?: number;
  /** What was tried before, to go on from. */
  readonly trials?: readonly LadderTrial[];
}

/** What the ladder knows. */
export interface LadderEstimate {
  /** Ratio at which half of the calls are acknowledged, dB. */
  readonly half: Figure;
  /** Ratio at which nine tenths are, dB. */
  readonly nineTenths: Figure;
  /** Whether one half lies within the ratios tried; otherwise only that it lies at or beyond their end is known. */
  readonly isInRange: boolean;
}

/** A ladder of ratios. */
export interface Ladder {
  /** What was tried so far: keep it, and give it to another ladder to go on. */
  readonly trials: readonly LadderTrial[];
  /** The ratio of the next call, dB; undefined where the ladder has ended. */
  next(): number | undefined;
  /** Takes what came of a call. */
  record(trial: LadderTrial): void;
  /** What is known so far. */
  estimate(): LadderEstimate;
}

const DEFAULT_CALLS = 60;
const DEFAULT_UNTIL_DB = 0.1;
/** Calls before which it does not end, however sure it is. */
const LEAST_CALLS = 12;
/** After those, one call of so many is for the width. */
const WIDTH_EVERY = 3;
const STEP_DB = 0.1;
/** Ratios that may be asked for lie this far apart. */
const TRIED_STEP_DB = 0.2;
/** Standard deviations of Φ, dB: white noise gives about 0.5, fading several. */
const WIDTHS_DB = [0.2, 0.3, 0.45, 0.7, 1, 1.5, 2.2, 3.3, 5];
/** Calls lost for other reasons (common practice, no source). */
const LAPSE = 0.01;
/** Φ of it is 0.9. */
const NINE_TENTHS = 1.2816;
/** One half this close to the end of what was tried is not known to be within. */
const EDGE_DB = 0.5;

/** The normal distribution, to 1e-7 (Abramowitz and Stegun 26.2.17, from memory). */
function normal(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)) * series;
  return x < 0 ? tail : 1 - tail;
}

const share = (ratioDb: number, middle: number, width: number) =>
  LAPSE / 2 + (1 - LAPSE) * normal((ratioDb - middle) / width);

/** The entropy of a yes or no, in nats. */
function entropy(probability: number): number {
  const no = 1 - probability;
  const term = (p: number) => (p > 0 ? -p * Math.log(p) : 0);
  return term(probability) + term(no);
}

/** @throws DotphaseError when an option is out of range */
export function createLadder(options: LadderOptions): Ladder {
  const lowest = requireNumber('lowestDb', options.lowestDb, -60, 100, 'dB');
  const highest = requireNumber('highestDb', options.highestDb, -60, 100, 'dB');
  if (highest - lowest < 1) throw new DotphaseError('highestDb', highest, 'at least 1 dB more than lowestDb');
  const calls = requireInteger('calls', options.calls ?? DEFAULT_CALLS, 1, 1000);
  const until = requireNumber('untilDb', options.untilDb ?? DEFAULT_UNTIL_DB, 0.01, 10, 'dB');
  const trials: LadderTrial[] = [];
  const middles = Float64Array.from(
    { length: Math.round((highest - lowest) / STEP_DB) + 1 },
    (_, i) => lowest + i * STEP_DB,
  );
  const tried = Array.from({ length: Math.floor((highest - lowest) / TRIED_STEP_DB + 1e-9) + 1 }, (_, i) =>
    Number((lowest + i * TRIED_STEP_DB).toFixed(3)),
  );
  let weights = new Float64Array(middles.length * WIDTHS_DB.length).fill(
    1 / (middles.length * WIDTHS_DB.length),
  );
  const each = (visit: (at: number, middle: number, width: number) => void) => {
    WIDTHS_DB.forEach((width, w) => {
      middles.forEach((middle, m) => {
        visit(w * middles.length + m, middle, width);
      });
    });
  };

  const record = ({ ratioDb, isAcknowledged }: LadderTrial) => {
    requireNumber('ratioDb', ratioDb, -100, 200, 'dB');
    if (typeof isAcknowledged !== 'boolean')
      throw new DotphaseError('isAcknowledged', isAcknowledged, 'true or false');
    trials.push({ ratioDb, isAcknowledged });
    const updated = new Float64Array(weights.length);
    let total = 0;
    each((at, middle, width) => {
      const probability = share(ratioDb, middle, width);
      updated[at] = weights[at] * (isAcknowledged ? probability : 1 - probability);
      total += updated[at];
    });
    weights = updated.map((weight) => weight / total);
  };

  /** Mean and standard deviation of the middle plus so many widths. */
  const moments = (widths: number): Figure => {
    let [sum, squares] = [0, 0];
    each((at, middle, width) => {
      const value = middle + widths * width;
      sum += weights[at] * value;
      squares += weights[at] * value ** 2;
    });
    return { value: sum, uncertainty: Math.sqrt(Math.max(0, squares - sum ** 2) + STEP_DB ** 2 / 12) };
  };

  // Ratios and middles lie on one grid, so that a share hangs on the steps between them alone.
  const steps = middles.length - 1;
  const table = WIDTHS_DB.map((width) => {
    const shares = Float64Array.from({ length: 2 * steps + 1 }, (_, i) =>
      share((i - steps) * STEP_DB, 0, width),
    );
    return { shares, doubts: shares.map(entropy) };
  });

  /** How much a call at a ratio may be expected to tell: its own entropy less what would be left with all known. */
  const expectedInformation = (ratioDb: number): number => {
    const place = Math.round((ratioDb - lowest) / STEP_DB) + steps;
    let [probability, doubt] = [0, 0];
    table.forEach(({ shares, doubts }, w) => {
      for (let m = 0, at = w * middles.length; m < middles.length; m++, at++) {
        probability += weights[at] * shares[place - m];
        doubt += weights[at] * doubts[place - m];
      }
    });
    return entropy(probability) - doubt;
  };

  for (const trial of options.trials ?? []) record(trial);
  return {
    trials,
    next() {
      if (trials.length >= calls) return undefined;
      if (trials.length >= LEAST_CALLS && moments(0).uncertainty <= until) return undefined;
      // What tells most of middle and width together lies beside the middle; most calls are for the middle alone.
      if (trials.length >= LEAST_CALLS && trials.length % WIDTH_EVERY !== 0) {
        const { value } = moments(0);
        return tried.reduce((near, ratioDb) =>
          Math.abs(ratioDb - value) < Math.abs(near - value) ? ratioDb : near,
        );
      }
      let best = tried[0];
      let most = -Infinity;
      for (const ratioDb of tried) {
        const information = expectedInformation(ratioDb);
        if (information > most) [best, most] = [ratioDb, information];
      }
      return best;
    },
    record,
    estimate() {
      const half = moments(0);
      const ratios = trials.map(({ ratioDb }) => ratioDb);
      const isInRange =
        trials.some(({ isAcknowledged }) => isAcknowledged) &&
        trials.some(({ isAcknowledged }) => !isAcknowledged) &&
        half.value > Math.min(...ratios) - EDGE_DB &&
        half.value < Math.max(...ratios) + EDGE_DB;
      return { half, nineTenths: moments(NINE_TENTHS), isInRange };
    },
  };
}
