/**
 * The trellis of all calls: positions of the layout tree times 128 parities of the error check, walked forwards.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { LayoutNode } from './constraints.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';

/** Symbols this much less likely than the likeliest of their position are left out. */
const LEAST_WEIGHT = 1e-14;

/** Everything that leads to a position, the symbol there included. */
export interface Front {
  node: LayoutNode;
  /** Probability of each parity, scaled. */
  parities: Float64Array;
  /** ln of the scale. */
  scale: number;
}

export function at(logLikelihoods: CharacterLogLikelihoods, character: number, symbol: number): number {
  return logLikelihoods.values[character * SYMBOL_COUNT + symbol];
}

export function firstAt(logLikelihoods: CharacterLogLikelihoods, character: number, symbol: number): number {
  return logLikelihoods.first[character * SYMBOL_COUNT + symbol];
}

/** ln of the sum of exponentials. */
export function logSum(values: readonly number[]): number {
  const most = Math.max(...values);
  if (most === -Infinity) return most;
  return most + Math.log(values.reduce((sum, value) => sum + Math.exp(value - most), 0));
}

/** The symbols worth following at a position, with exp(evidence) × prior relative to exp(`top`). */
export interface Worthwhile {
  readonly symbols: number[];
  readonly weights: number[];
  readonly top: number;
}

/** For each parity Σ of mass(parity ⊕ symbol) × the symbol's weight: exclusive-or takes a step back as it takes it. */
export function joinParities(
  masses: Float64Array,
  symbols: readonly number[],
  weights: readonly number[],
): Float64Array {
  const joined = new Float64Array(SYMBOL_COUNT);
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    let sum = 0;
    for (let i = 0; i < symbols.length; i++) sum += masses[parity ^ symbols[i]] * weights[i];
    joined[parity] = sum;
  }
  return joined;
}

export function worthwhile(node: LayoutNode, values: Float64Array): Worthwhile {
  let top = -Infinity;
  const logs = new Float64Array(SYMBOL_COUNT);
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    logs[symbol] = node.weights[symbol] > 0 ? values[symbol] + Math.log(node.weights[symbol]) : -Infinity;
    if (logs[symbol] > top) top = logs[symbol];
  }
  const symbols: number[] = [];
  const weights: number[] = [];
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    const weight = Math.exp(logs[symbol] - top);
    if (weight < LEAST_WEIGHT) continue;
    symbols.push(symbol);
    weights.push(weight);
  }
  return { symbols, weights, top };
}

/** One step of the forward recursion. */
export function advance(
  from: Float64Array,
  scale: number,
  node: LayoutNode,
  { symbols, weights, top }: Worthwhile,
): Front {
  const parities = joinParities(from, symbols, weights);
  let most = 0;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) most = Math.max(most, parities[parity]);
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) parities[parity] /= most;
  return { node, parities, scale: scale + top + Math.log(most) };
}

/** What the characters after an end of sequence say for it: the error check of a parity and two more EOS. */
export function endLogLikelihood(
  logLikelihoods: CharacterLogLikelihoods,
  depth: number,
  eos: number,
  parity: number,
): number {
  return (
    at(logLikelihoods, depth + 2, parity) +
    firstAt(logLikelihoods, depth + 3, eos) +
    firstAt(logLikelihoods, depth + 4, eos)
  );
}

/** ln of the sum over all parities, not scaled back. */
export function logTotal(front: Front): number {
  return Math.log(front.parities.reduce((sum, probability) => sum + probability, 0));
}
