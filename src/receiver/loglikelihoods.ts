/**
 * What was received says about each character of a call.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';

/** Natural logarithms of likelihood ratios, each symbol against random bits, for each information character. */
export interface CharacterLogLikelihoods {
  /** Both sendings together: 128 values a character; character 0 and 1 are the two format specifiers. */
  readonly values: Float64Array;
  /** The first sending (DX) alone, likewise: all there is of the last two characters. */
  readonly first: Float64Array;
  /** How many bits of each character were received, all its sendings together; one sending has ten. */
  readonly received: Float64Array;
  /** How many characters there are. */
  readonly count: number;
}

/** The evidence of a position in the tree: the format specifier is received twice. */
export function positionLogLikelihoods(logLikelihoods: CharacterLogLikelihoods, depth: number): Float64Array {
  const { values } = logLikelihoods;
  if (depth > 0) return values.subarray((depth + 1) * SYMBOL_COUNT, (depth + 2) * SYMBOL_COUNT);
  return Float64Array.from(
    { length: SYMBOL_COUNT },
    (_, symbol) => values[symbol] + values[SYMBOL_COUNT + symbol],
  );
}

/** Adds up what several sendings of one call say, for as many characters as all of them have. */
export function addLogLikelihoods(parts: readonly CharacterLogLikelihoods[]): CharacterLogLikelihoods {
  const count = Math.min(...parts.map((part) => part.count));
  const add = (pick: (part: CharacterLogLikelihoods) => Float64Array, length: number) => {
    const sum = new Float64Array(length);
    for (const part of parts) {
      const values = pick(part);
      for (let i = 0; i < length; i++) sum[i] += values[i];
    }
    return sum;
  };
  return {
    values: add((part) => part.values, count * SYMBOL_COUNT),
    first: add((part) => part.first, count * SYMBOL_COUNT),
    received: add((part) => part.received, count),
    count,
  };
}
