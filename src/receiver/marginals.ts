/**
 * The probability of each character of a decided call: the forward recursion of the decision and a backward one
 * over the same trellis (Bahl, Cocke, Jelinek and Raviv 1974).
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import type { LayoutNode } from './constraints.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import {
  addMasses,
  at,
  endLogLikelihood,
  isReceived,
  joinSymbols,
  largest,
  logSum,
  weighted,
  type Masses,
  type Visit,
} from './calltrellis.js';

/** One for each parity. */
const ONES: Masses = { values: new Float64Array(SYMBOL_COUNT).fill(1), scale: 0 };

function scaled(logs: Float64Array): Masses {
  const scale = largest(logs);
  return { values: logs.map((log) => (log === -Infinity ? 0 : Math.exp(log - scale))), scale };
}

/** ln of Σ before(parity) × after(parity ⊕ symbol). */
function joined(before: Masses, after: Masses, symbol: number): number {
  let sum = 0;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++)
    sum += before.values[parity] * after.values[parity ^ symbol];
  return Math.log(sum) + before.scale + after.scale;
}

/** For each parity before an end of sequence ln of what it and the characters behind it weigh. */
function endMasses(logLikelihoods: CharacterLogLikelihoods, node: LayoutNode, eos: number): Float64Array {
  const own = at(logLikelihoods, node.depth + 1, eos) + Math.log(node.weights[eos]);
  return Float64Array.from(
    { length: SYMBOL_COUNT },
    (_, parity) => own + endLogLikelihood(logLikelihoods, node.depth, eos, parity ^ eos),
  );
}

/** ln of Σ before(parity) × exp(after(parity)), over all parities or one of them. */
function endSum(before: Masses, after: Float64Array, only?: number): number {
  const terms: number[] = [];
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    if (before.values[parity] === 0 || (only !== undefined && parity !== only)) continue;
    terms.push(Math.log(before.values[parity]) + after[parity]);
  }
  return before.scale + logSum(terms);
}

/**
 * For each character ln of the mass of all calls, ended or open, that have that symbol in that place.
 *
 * @param layers - what the forward recursion came to, from the format specifier on
 * @param symbols - one format specifier through the error check
 */
export function logMarginals(
  logLikelihoods: CharacterLogLikelihoods,
  layers: readonly (readonly Visit[])[],
  symbols: readonly number[],
): number[] {
  const terms: number[][] = symbols.map(() => []);
  /** What may follow each visit. */
  let after = new Map<Visit, Masses[]>();

  for (let depth = layers.length - 1; depth >= 0; depth--) {
    const following = after;
    after = new Map();
    const keep = ({ sources }: Visit, masses: Masses) => {
      for (const { visit, share } of sources)
        after.set(visit, [...(after.get(visit) ?? []), weighted(masses, share)]);
    };
    for (const visit of layers[depth]) {
      const { before, node, worth } = visit;
      const isEnd = node.followers.length === 0;
      if (isEnd ? !isReceived(logLikelihoods, depth) : !worth) {
        // Still open here: nothing that was received says more.
        keep(visit, ONES);
      } else if (worth) {
        const behind = following.get(visit);
        if (!behind) continue;
        const masses = addMasses(behind);
        const own = worth.symbols.indexOf(symbols.at(depth) ?? -1);
        if (own >= 0) {
          const weight = Math.log(worth.weights[own]) + worth.top;
          terms[depth].push(weight + joined(before, masses, worth.symbols[own]));
        }
        keep(visit, joinSymbols(masses, worth));
      } else {
        for (const { symbol: eos } of END_OF_SEQUENCE_CODES.words) {
          if (node.weights[eos] === 0) continue;
          const masses = endMasses(logLikelihoods, node, eos);
          if (eos === symbols.at(depth)) terms[depth].push(endSum(before, masses));
          const check = symbols.at(depth + 1);
          if (check !== undefined) terms[depth + 1].push(endSum(before, masses, check ^ eos));
          keep(visit, scaled(masses));
        }
      }
    }
  }
  return terms.map(logSum);
}
