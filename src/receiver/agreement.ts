/**
 * Whether a sending says what others say, or something else: sendings that differ must not be added up.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { positionLogLikelihoods, type CharacterLogLikelihoods } from './loglikelihoods.js';

/**
 * The chance that a character of the next sending differs, where anything does: the position and the time move on, the
 * rest stays.
 */
const CHANGE = 0.1;

/** The chance that sendings of one attempt differ at all. */
const DIFFERENT = 0.1;

/**
 * ln of the odds that a sending says exactly what is given against the same with one or more characters changed, whatever
 * its error check then is.
 *
 * @param symbols - one format specifier through the error check
 */
export function logOddsOfSame(logLikelihoods: CharacterLogLikelihoods, symbols: readonly number[]): number {
  const check = symbols.length - 1;
  const eos = symbols.length - 2;
  /** Mass of what was changed so far, by how much its parity differs; the unchanged sequence is 1. */
  let changed = new Float64Array(SYMBOL_COUNT);
  for (let place = 0; place < eos; place++) {
    const values = positionLogLikelihoods(logLikelihoods, place);
    const weights = Float64Array.from({ length: SYMBOL_COUNT }, (_, difference) =>
      difference === 0
        ? 1
        : (CHANGE / (1 - CHANGE) / (SYMBOL_COUNT - 1)) *
          Math.exp(values[symbols[place] ^ difference] - values[symbols[place]]),
    );
    const next = weights.slice();
    next[0] = 0;
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      if (changed[parity] === 0) continue;
      for (let difference = 0; difference < SYMBOL_COUNT; difference++)
        next[parity ^ difference] += changed[parity] * weights[difference];
    }
    changed = next;
  }
  const values = positionLogLikelihoods(logLikelihoods, check);
  const all = changed.reduce(
    (sum, mass, parity) => sum + mass * Math.exp(values[symbols[check] ^ parity] - values[symbols[check]]),
    0,
  );
  // The chance of no change at all, given that characters change independently.
  const unchanged = (1 - CHANGE) ** eos;
  const odds = (1 - DIFFERENT) / ((DIFFERENT * all * unchanged) / (1 - unchanged));
  return Math.log(odds);
}
