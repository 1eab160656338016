/**
 * Whether a figure lies within its limits, told only where its uncertainty allows.
 */
import type { Figure } from './figure.js';
import type { Figures } from './measurecall.js';
import type { Tolerance } from './tolerances.js';

/** `within` and `outside` only where the whole interval lies there; otherwise the measurement cannot tell. */
export type Verdict = 'within' | 'outside' | 'cannotTell';

/** Standard deviations to each side that hold 95 % (JCGM 100:2008 Annex G, from memory). */
export const COVERAGE_FACTOR = 1.96;

/** A verdict on a figure, with what it was held against. */
export interface FigureVerdict extends Tolerance {
  readonly verdict: Verdict;
  readonly measured: Figure;
}

/** Holds one figure against limits. */
export function judge(
  { value, uncertainty }: Figure,
  { lowest = -Infinity, highest = Infinity }: Pick<Tolerance, 'lowest' | 'highest'>,
): Verdict {
  const half = COVERAGE_FACTOR * uncertainty;
  // Written so that what is not a number is never within.
  if (value - half >= lowest && value + half <= highest) return 'within';
  if (value + half < lowest || value - half > highest) return 'outside';
  return 'cannotTell';
}

/** Holds all figures that have limits against them; what was not measured has no verdict. */
export function verdictsOn(figures: Figures, tolerances: readonly Tolerance[]): FigureVerdict[] {
  return tolerances.flatMap((tolerance) => {
    const measured = figures[tolerance.figure];
    return measured ? [{ ...tolerance, measured, verdict: judge(measured, tolerance) }] : [];
  });
}
