/**
 * The probability of each character of a decided call: the forward recursion of the decision and a backward one
 * over the same trellis (Bahl, Cocke, Jelinek and Raviv 1974).
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import type { LayoutNode } from './constraints.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import { at, endLogLikelihood, joinParities, logSum, type Front, type Worthwhile } from './calltrellis.js';

/** A place of the tree that the forward recursion came to. */
export interface Visit {
  /** What leads there; undefined at the format specifier. */
  readonly from: Front | undefined;
  readonly node: LayoutNode;
  /** What the recursion made of it, unless the place ends the call. */
  readonly reached?: Front;
}

/** All places of one depth. */
export interface Layer {
  readonly visits: readonly Visit[];
  /** The symbols followed at a node; undefined behind the last character received. */
  readonly worthAt: ((node: LayoutNode) => Worthwhile) | undefined;
}

/** Masses for each parity of what was before; times exp(`scale`). */
interface Masses {
  readonly values: Float64Array;
  readonly scale: number;
}

function scaled(logs: Float64Array): Masses {
  const scale = logs.reduce((most, log) => Math.max(most, log), -Infinity);
  return { values: logs.map((log) => (log === -Infinity ? 0 : Math.exp(log - scale))), scale };
}

function add(a: Masses | undefined, b: Masses): Masses {
  if (!a || a.scale === -Infinity) return b;
  const scale = Math.max(a.scale, b.scale);
  const [shareOfA, shareOfB] = [Math.exp(a.scale - scale), Math.exp(b.scale - scale)];
  return { values: a.values.map((value, i) => value * shareOfA + b.values[i] * shareOfB), scale };
}

/** ln of Σ before(parity) × after(parity ⊕ symbol). */
function joined(before: Front | undefined, after: Masses, symbol: number): number {
  if (!before) return Math.log(after.values[symbol]) + after.scale;
  let sum = 0;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++)
    sum += before.parities[parity] * after.values[parity ^ symbol];
  return Math.log(sum) + before.scale + after.scale;
}

/** For each parity before an end of sequence ln of what it and the characters behind it weigh. */
function endMasses(logLikelihoods: CharacterLogLikelihoods, node: LayoutNode, eos: number): Float64Array {
  const own = at(logLikelihoods, node.depth + 1, eos) + Math.log(node.weights[eos] * node.ends);
  return Float64Array.from(
    { length: SYMBOL_COUNT },
    (_, parity) => own + endLogLikelihood(logLikelihoods, node.depth, eos, parity ^ eos),
  );
}

/** ln of Σ before(parity) × exp(after(parity)), over all parities or one of them. */
function endSum(before: Front, after: Float64Array, only?: number): number {
  const terms: number[] = [];
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    if (before.parities[parity] === 0 || (only !== undefined && parity !== only)) continue;
    terms.push(Math.log(before.parities[parity]) + after[parity]);
  }
  return before.scale + logSum(terms);
}

function step({ symbols, weights, top }: Worthwhile, after: Masses): Masses {
  return { values: joinParities(after.values, symbols, weights), scale: after.scale + top };
}

/**
 * For each character ln of the mass of all calls, ended or open, that have that symbol in that place.
 *
 * @param layers - what the forward recursion came to, from the format specifier on
 * @param symbols - one format specifier through the error check
 */
export function logMarginals(
  logLikelihoods: CharacterLogLikelihoods,
  layers: readonly Layer[],
  symbols: readonly number[],
): number[] {
  const terms: number[][] = symbols.map(() => []);
  /** What may follow each front. */
  let after = new Map<Front, Masses>();

  for (let depth = layers.length - 1; depth >= 0; depth--) {
    const { visits, worthAt } = layers[depth];
    const before = new Map<Front, Masses>();
    const keep = (from: Front | undefined, masses: Masses) => {
      if (from) before.set(from, add(before.get(from), masses));
    };
    for (const { from, node, reached } of visits) {
      if (!worthAt || (node.ends > 0 && depth + 5 > logLikelihoods.count)) {
        // Still open here: nothing that was received says more.
        const prior = worthAt ? node.ends : node.total;
        keep(from, { values: new Float64Array(SYMBOL_COUNT).fill(1), scale: Math.log(prior) });
      } else if (node.ends > 0 && from) {
        for (const { symbol: eos } of END_OF_SEQUENCE_CODES.words) {
          if (node.weights[eos] === 0) continue;
          const masses = endMasses(logLikelihoods, node, eos);
          if (eos === symbols.at(depth)) terms[depth].push(endSum(from, masses));
          const check = symbols.at(depth + 1);
          if (check !== undefined) terms[depth + 1].push(endSum(from, masses, check ^ eos));
          keep(from, scaled(masses));
        }
      } else {
        const following = reached && after.get(reached);
        if (!following) continue;
        const worth = worthAt(node);
        const own = worth.symbols.indexOf(symbols.at(depth) ?? -1);
        if (own >= 0) {
          const weight = Math.log(worth.weights[own]) + worth.top;
          terms[depth].push(weight + joined(from, following, worth.symbols[own]));
        }
        keep(from, step(worth, following));
      }
    }
    after = before;
  }
  return terms.map(logSum);
}
