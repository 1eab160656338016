/**
 * How often something succeeds, and how sure that is: the Wilson score interval (E. B. Wilson, 1927).
 */

/** Standard deviations of 95 % of a normal distribution. */
const Z = 1.959964;

/** How often something succeeded. */
export interface Success {
  readonly tried: number;
  readonly succeeded: number;
  /** The bounds of the share that is true with a confidence of 95 %, 0–1. */
  readonly low: number;
  readonly high: number;
}

/**
 * A share of successes with its Wilson score interval at 95 %.
 *
 * @param tried - 0 or more; of none the share may be anything
 */
export function successOf(succeeded: number, tried: number): Success {
  if (tried === 0) return { tried, succeeded, low: 0, high: 1 };
  const share = succeeded / tried;
  const square = (Z * Z) / tried;
  const middle = share + square / 2;
  const spread = Z * Math.sqrt((share * (1 - share)) / tried + square / (4 * tried));
  return {
    tried,
    succeeded,
    // The formula gives exactly 0 and 1 there, but for rounding.
    low: succeeded === 0 ? 0 : (middle - spread) / (1 + square),
    high: succeeded === tried ? 1 : (middle + spread) / (1 + square),
  };
}
