/**
 * The trellis of all calls: positions of the layouts times 128 parities of the error check, walked forwards.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { LayoutNode } from './constraints.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import { newSymbolArray } from './symbolarrays.js';

/** Symbols this much less likely (ln) than the likeliest of their position are left out. */
const LEAST_LOG_WEIGHT = Math.log(1e-14);

/**
 * A parity and a symbol are light where they have less than this share of the heaviest; a light one with a light one is
 * left out. That is nearly all the work in a clear call, and no certainty moves by more than 10⁻⁹ (measured).
 */
const LIGHT = 1e-8;
export const LOG_LIGHT = Math.log(LIGHT);

/** A mass for each parity: `values` times exp(`scale`). */
export interface Masses {
  readonly values: Float64Array;
  readonly scale: number;
}

/** A position that the walk came to. */
export interface Visit {
  readonly node: LayoutNode;
  /** Where it came from, with the prior probability of going on from there to here; nothing at the format specifier. */
  readonly sources: readonly Source[];
  /** All that leads here, the symbol here not included. */
  readonly before: Masses;
  /** The symbols followed here; nothing where the call ends or was not received any further. */
  readonly worth?: Worthwhile;
  /** The same as `before` with the symbol here; where there are symbols that are followed. */
  readonly reached?: Masses;
}

/** See {@link Visit.sources}. */
export interface Source {
  readonly visit: Visit;
  readonly share: number;
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
  /** The first so many of them are not light. */
  readonly heavy: number;
  readonly top: number;
}

export function worthwhile({ logWeights }: LayoutNode, values: Float64Array): Worthwhile {
  let top = -Infinity;
  const logs = newSymbolArray();
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    logs[symbol] = values[symbol] + logWeights[symbol];
    if (logs[symbol] > top) top = logs[symbol];
  }
  const symbols: number[] = [];
  const light: number[] = [];
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    if (logs[symbol] >= top + LOG_LIGHT) symbols.push(symbol);
    else if (logs[symbol] >= top + LEAST_LOG_WEIGHT) light.push(symbol);
  }
  const heavy = symbols.length;
  symbols.push(...light);
  return { symbols, weights: symbols.map((symbol) => Math.exp(logs[symbol] - top)), heavy, top };
}

/** The largest of some numbers. */
export function largest(values: Float64Array): number {
  let most = -Infinity;
  for (let i = 0; i < values.length; i++) if (values[i] > most) most = values[i];
  return most;
}

/** For each parity Σ of value(parity ⊕ symbol) × the symbol's weight: exclusive-or takes a step back as it takes it. */
export function joinSymbols({ values, scale }: Masses, worth: Worthwhile): Masses {
  const { symbols, weights, heavy, top } = worth;
  const joined = newSymbolArray();
  const least = LIGHT * largest(values);
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    const value = values[parity];
    if (value === 0) continue;
    const count = value < least ? heavy : symbols.length;
    for (let i = 0; i < count; i++) joined[parity ^ symbols[i]] += value * weights[i];
  }
  return { values: joined, scale: scale + top };
}

/**
 * One step of the forward recursion; the largest value is 1.
 *
 * @param isOpen - whether no call that goes on from here was received whole: without an error check all may stand at one
 *   parity
 */
export function advance(before: Masses, worth: Worthwhile, isOpen: boolean): Masses {
  if (isOpen) {
    const one = newSymbolArray();
    one[0] = 1;
    const weight = worth.weights.reduce((sum, own) => sum + own, 0);
    return { values: one, scale: logTotal(before) + worth.top + Math.log(weight) };
  }
  const { values, scale } = joinSymbols(before, worth);
  const most = largest(values);
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) values[parity] /= most;
  return { values, scale: scale + Math.log(most) };
}

/** The sum of masses. */
export function addMasses(all: readonly Masses[]): Masses {
  const scale = Math.max(...all.map((masses) => masses.scale));
  if (all.length === 1 || scale === -Infinity) return all[0];
  const values = newSymbolArray();
  for (const masses of all) {
    const share = Math.exp(masses.scale - scale);
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) values[parity] += masses.values[parity] * share;
  }
  return { values, scale };
}

/** Masses times a probability. */
export function weighted({ values, scale }: Masses, probability: number): Masses {
  return { values, scale: scale + Math.log(probability) };
}

/** Whether a call with its end of sequence at a depth was received whole: the error check and two more EOS too. */
export const isReceived = ({ count }: CharacterLogLikelihoods, end: number) => end + 5 <= count;

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

/** ln of the sum over all parities. */
export function logTotal({ values, scale }: Masses): number {
  let sum = 0;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) sum += values[parity];
  return scale + Math.log(sum);
}
