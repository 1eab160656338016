/**
 * A measured value with its standard uncertainty, in the sense of the Guide to the expression of uncertainty in
 * measurement (JCGM 100:2008, from memory): one standard deviation of what the value may be off.
 */

/** A value and its standard uncertainty, both in the same unit. */
export interface Figure {
  readonly value: number;
  /** One standard deviation; 0 for a count that leaves no doubt. */
  readonly uncertainty: number;
}

/** A value without doubt. */
export const exactly = (value: number): Figure => ({ value, uncertainty: 0 });

/** The root of the sum of squares: standard uncertainties that have nothing to do with each other, together. */
export const together = (...uncertainties: readonly number[]): number => Math.hypot(...uncertainties);

/**
 * The mean of figures, each weighing by its inverse variance. Where they lie further apart than their uncertainties
 * tell, the uncertainty grows by the root of reduced chi-square (Birge's ratio).
 *
 * @param figures - at least one
 */
export function weightedMean(figures: readonly Figure[]): Figure {
  const exact = figures.filter(({ uncertainty }) => uncertainty === 0);
  if (exact.length > 0) return meanByScatter(figures);
  const weights = figures.map(({ uncertainty }) => uncertainty ** -2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const value = figures.reduce((sum, figure, i) => sum + weights[i] * figure.value, 0) / total;
  const chiSquare = figures.reduce((sum, figure, i) => sum + weights[i] * (figure.value - value) ** 2, 0);
  const birge = figures.length > 1 ? Math.sqrt(Math.max(1, chiSquare / (figures.length - 1))) : 1;
  return { value, uncertainty: birge / Math.sqrt(total) };
}

/** The plain mean, its uncertainty from the scatter alone: for counts. */
function meanByScatter(figures: readonly Figure[]): Figure {
  const count = figures.length;
  const value = figures.reduce((sum, figure) => sum + figure.value, 0) / count;
  const squares = figures.reduce((sum, figure) => sum + (figure.value - value) ** 2, 0);
  return {
    value,
    uncertainty: count > 1 ? Math.sqrt(squares / (count - 1) / count) : figures[0].uncertainty,
  };
}
