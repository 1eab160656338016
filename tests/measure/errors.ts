/** Errors of measured calls whose truth is known, in units of the bound and of the uncertainty stated. */
import { encodeCall } from '../../src/calls/index.js';
import { measureCall } from '../../src/measure/index.js';
import type { Band } from '../../src/symbols/index.js';
import { createChoices } from '../scenes/random.js';
import { boundOf } from './bound.js';
import { madeUpAudio, type MadeUpSet } from './madeupset.js';

/** The characters of a test call from one made-up ship to another. */
export const TEST_CALL = encodeCall({
  kind: 'testCall',
  to: { station: '299123457' },
  self: '299123456',
}).symbols;

/** What is estimated. */
export const ESTIMATED = ['centreHz', 'shiftHz', 'rateErrorPpm', 'levelDifferenceDb', 'start'] as const;

/** The name of an estimate. */
export type Estimated = (typeof ESTIMATED)[number];

/** One error. */
export interface MeasuredError {
  /** In units of the bound. */
  overBound: number;
  /** In units of the standard uncertainty stated. */
  overStated: number;
}

const SETS = {
  'mf-hf': { baud: 100, shiftHz: 170, dots: 200 },
  vhf: { baud: 1200, shiftHz: 800, dots: 20 },
} as const;

/**
 * Errors of one call at a signal-to-noise ratio in 3 kHz: a set with small errors of its own, found a little off.
 *
 * @returns undefined where the call was not measured
 */
export function errorsOf(
  seed: number,
  ratioDb: number,
  band: Band = 'mf-hf',
): Record<Estimated, MeasuredError> | undefined {
  const usual = SETS[band];
  const choices = createChoices(seed);
  const ppm = choices.uniform(-60, 60);
  const set: MadeUpSet = {
    baud: usual.baud * (1 + ppm * 1e-6),
    centreHz: choices.uniform(1690, 1710),
    shiftHz: choices.uniform(usual.shiftHz - 0.5, usual.shiftHz + 0.5),
    dots: usual.dots,
  };
  const before = 0.6 + choices.uniform(0, 0.01);
  const phase = choices.uniform(0, 2 * Math.PI);
  const audio = madeUpAudio(TEST_CALL, set, { ratioDb, seed, before, phase });
  const { centreHz = 0, shiftHz = 0, baud = 0 } = set;
  const measured = measureCall(
    audio,
    {
      // About as far off as the receiver's lock.
      start: before + usual.dots / baud + choices.uniform(-0.05, 0.05) / usual.baud,
      centreHz: centreHz + choices.uniform(-0.5, 0.5),
      baud: usual.baud,
      inverted: false,
      symbols: [...TEST_CALL],
      expansions: [],
    },
    { sampleRate: 12_000 },
  );
  const dots = measured?.figures.dots?.value;
  if (!measured || dots === undefined) return undefined;
  const bound = boundAt(ratioDb, band);
  const { figures } = measured;
  const error = (value: number | undefined, stated: number | undefined, truth: number, least: number) => ({
    overBound: ((value ?? NaN) - truth) / least,
    overStated: ((value ?? NaN) - truth) / (stated ?? NaN),
  });
  const of = (name: Exclude<Estimated, 'start'>, truth: number, least: number) =>
    error(figures[name]?.value, figures[name]?.uncertainty, truth, least);
  return {
    centreHz: of('centreHz', centreHz, bound.centreHz),
    shiftHz: of('shiftHz', shiftHz, bound.shiftHz),
    rateErrorPpm: of('rateErrorPpm', ppm, bound.ratePpm),
    levelDifferenceDb: of('levelDifferenceDb', 0, bound.levelDifferenceDb),
    // Of the first of the dots sent, however many were counted.
    start: error(measured.start + (dots - usual.dots) / baud, measured.timeUncertainty, before, bound.start),
  };
}

const bounds = new Map<string, ReturnType<typeof boundOf>>();

/** The bound hardly hangs on what differs from set to set. */
function boundAt(ratioDb: number, band: Band): ReturnType<typeof boundOf> {
  const key = `${ratioDb} ${band}`;
  const known = bounds.get(key) ?? boundOf(TEST_CALL, SETS[band], { ratioDb });
  bounds.set(key, known);
  return known;
}

/** What many errors come to. */
export interface Summary {
  /** Root mean square over the bound. */
  rms: number;
  /** Mean over the bound. */
  bias: number;
  /** Share of the truths within 1.96 standard uncertainties. */
  coverage: number;
}

export function summary(errors: readonly MeasuredError[]): Summary {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    rms: Math.sqrt(mean(errors.map(({ overBound }) => overBound ** 2))),
    bias: mean(errors.map(({ overBound }) => overBound)),
    coverage: mean(errors.map(({ overStated }) => (Math.abs(overStated) <= 1.96 ? 1 : 0))),
  };
}
