/**
 * Exact decision of a whole call: every sequence that the call tables allow, weighed by its likelihood, under the
 * parity of the error check.
 *
 * The tables are a tree of positions and the error check is an exclusive-or, so that the sum over all calls runs
 * over 128 parities at each position (a forward recursion), and the best call of a layout is found by Viterbi's
 * algorithm on the same trellis.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import { CHARACTERS_AROUND, layoutTree, type LayoutNode } from './constraints.js';
import { positionLogLikelihoods, type CharacterLogLikelihoods } from './loglikelihoods.js';
import { logMarginals, type Layer, type Visit } from './marginals.js';
import {
  advance,
  at,
  endLogLikelihood,
  firstAt,
  logSum,
  logTotal,
  worthwhile,
  type Front,
  type Worthwhile,
} from './calltrellis.js';

/** The best call and how sure it is. */
export interface Decision {
  /** One format specifier through the error check. */
  readonly symbols: number[];
  /** Probability that another call was sent, or that the call has not ended yet. */
  readonly errorProbability: number;
  /** Probability, given all received so far, that the call is one of those longer than what was received. */
  readonly unfinished: number;
  /** ln of how much likelier all calls together make the characters than random bits do. */
  readonly logEvidence: number;
  /** The same of all calls together that have ended or may still go on. */
  readonly logEvidenceSoFar: number;
  /** Probability of each of `symbols`, that the sent call has it in its place; worked out when asked for. */
  certainty(): number[];
}

/** A decision while more may come. */
export interface DecisionSoFar {
  /** None where no call can have ended yet. */
  readonly decision?: Decision;
  /** Information characters of the shortest call that may have been sent and is longer than what was received. */
  readonly nextLength: number;
}

/** Paths this many nats behind the best of their length are left out. */
const BEAM = 26;

/** Ends tried by Viterbi's algorithm. */
const MOST_ENDS = 4;

interface End {
  node: LayoutNode;
  eos: number;
  /** ln of the mass of all calls that end so. */
  mass: number;
}

function endsAt(logLikelihoods: CharacterLogLikelihoods, before: Front, node: LayoutNode): End[] {
  const ends: End[] = [];
  for (const { symbol: eos } of END_OF_SEQUENCE_CODES.words) {
    if (node.weights[eos] === 0) continue;
    const terms: number[] = [];
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      if (before.parities[parity] === 0) continue;
      terms.push(
        Math.log(before.parities[parity]) + endLogLikelihood(logLikelihoods, node.depth, eos, parity ^ eos),
      );
    }
    const own = at(logLikelihoods, node.depth + 1, eos) + Math.log(node.weights[eos] * node.ends);
    ends.push({ node, eos, mass: before.scale + own + logSum(terms) });
  }
  return ends;
}

/** The likeliest symbols on the path to an end. */
function viterbi(logLikelihoods: CharacterLogLikelihoods, end: End): number[] {
  const path: LayoutNode[] = [];
  for (let node = end.node.parent; node; node = node.parent) path.unshift(node);
  let scores = new Float64Array(SYMBOL_COUNT).fill(-Infinity);
  scores[0] = 0;
  const choices: Uint8Array[] = [];
  for (const node of path) {
    const { symbols, weights } = worthwhile(node, positionLogLikelihoods(logLikelihoods, node.depth));
    const gains = weights.map(Math.log);
    const next = new Float64Array(SYMBOL_COUNT);
    const choice = new Uint8Array(SYMBOL_COUNT);
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      let best = -Infinity;
      for (let i = 0; i < symbols.length; i++) {
        const score = scores[parity ^ symbols[i]] + gains[i];
        if (score <= best) continue;
        best = score;
        choice[parity] = symbols[i];
      }
      next[parity] = best;
    }
    scores = next;
    choices.push(choice);
  }
  let best = 0;
  let bestScore = -Infinity;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    const score =
      scores[parity] + endLogLikelihood(logLikelihoods, end.node.depth, end.eos, parity ^ end.eos);
    if (score > bestScore) [best, bestScore] = [parity, score];
  }
  const symbols: number[] = [];
  let parity = best;
  for (let i = choices.length - 1; i >= 0; i--) {
    const symbol = choices[i][parity];
    symbols.unshift(symbol);
    parity ^= symbol;
  }
  return [...symbols, end.eos, best ^ end.eos];
}

/** ln of the prior of a sequence, over every layout that spells it. */
function logPrior(symbols: readonly number[]): number {
  const last = symbols.length - 2;
  let sum = 0;
  const visit = (node: LayoutNode, product: number) => {
    const own = product * node.weights[symbols[node.depth]];
    if (own === 0) return;
    if (node.depth === last) sum += own * node.ends;
    else for (const child of node.children) visit(child, own);
  };
  for (const root of layoutTree()) visit(root, 1);
  return Math.log(sum);
}

/** What a sequence the tables do not foresee has for a prior, before 1/128 for each character. */
const UNFORESEEN_PRIOR = 1e-4;

/** ln of the likelihood ratio of one given sequence against random bits. */
export function sequenceLogLikelihood(
  logLikelihoods: CharacterLogLikelihoods,
  symbols: readonly number[],
): number {
  const end = symbols.length + 1;
  const eos = symbols[symbols.length - 2];
  const twice = [symbols[0], ...symbols].reduce((sum, symbol, i) => sum + at(logLikelihoods, i, symbol), 0);
  return twice + firstAt(logLikelihoods, end, eos) + firstAt(logLikelihoods, end + 1, eos);
}

/**
 * Decides which call was sent.
 *
 * @param logLikelihoods - of each information character, format specifiers first
 * @param read - a sequence that a textbook reading found complete and with an agreeing error check: it competes
 *   although the tables may not foresee it
 */
export function decideSoFar(
  logLikelihoods: CharacterLogLikelihoods,
  read?: readonly number[],
): DecisionSoFar {
  const start = new Float64Array(SYMBOL_COUNT);
  start[0] = 1;
  const ends: End[] = [];
  /** Calls that go on: ln of their mass, and how long they are at least. */
  const open: { mass: number; length: number }[] = [];
  const goOn = (from: Front, probability: number, end: number) =>
    open.push({
      mass: from.scale + logTotal(from) + Math.log(probability),
      length: end + 1 + CHARACTERS_AROUND,
    });
  const layers: Layer[] = [];
  let visits: readonly Visit[] = layoutTree().map((node) => ({ from: undefined, node }));

  // The characters of a position and the three that follow an end of sequence must have been received.
  for (let depth = 0; visits.length > 0; depth++) {
    if (depth + 2 > logLikelihoods.count) {
      for (const { from, node } of visits) if (from) goOn(from, node.total, node.nearestEnd);
      layers.push({ visits, worthAt: undefined });
      break;
    }
    const values = positionLogLikelihoods(logLikelihoods, depth);
    const known = new Map<Float64Array, Worthwhile>();
    const worthAt = (node: LayoutNode): Worthwhile => {
      const worth = known.get(node.weights) ?? worthwhile(node, values);
      known.set(node.weights, worth);
      return worth;
    };
    const layer = visits.map(({ from, node }): Visit => {
      if (node.ends > 0 && from && depth + 5 <= logLikelihoods.count)
        ends.push(...endsAt(logLikelihoods, from, node));
      if (node.ends > 0 && from && depth + 5 > logLikelihoods.count) goOn(from, node.ends, depth);
      if (node.children.length === 0) return { from, node };
      const reached = advance(from?.parities ?? start, from?.scale ?? 0, node, worthAt(node));
      return { from, node, reached };
    });
    layers.push({ visits: layer, worthAt });
    const fronts = layer.flatMap(({ reached }) => reached ?? []);
    const mass = (front: Front) => front.scale + Math.log(front.node.total);
    const best = Math.max(...fronts.map(mass));
    visits = fronts
      .filter((front) => mass(front) > best - BEAM)
      .flatMap((from) => from.node.children.map((node) => ({ from, node })));
  }
  const goingOn = logSum(open.map(({ mass }) => mass));
  const likely = open.filter(({ mass }) => mass > goingOn - BEAM);
  const nextLength = Math.min(...likely.map(({ length }) => length));
  if (ends.length === 0) return { nextLength };

  ends.sort((a, b) => b.mass - a.mass);
  const finished = logSum(ends.map((end) => end.mass));
  const candidates = ends
    .slice(0, MOST_ENDS)
    .map((end) => viterbi(logLikelihoods, end))
    .map((symbols) => ({
      symbols,
      mass: sequenceLogLikelihood(logLikelihoods, symbols) + logPrior(symbols),
    }));
  const unforeseen: number[] = [];
  if (read && read.length + 3 <= logLikelihoods.count) {
    const free =
      sequenceLogLikelihood(logLikelihoods, read) +
      Math.log(UNFORESEEN_PRIOR) -
      read.length * Math.log(SYMBOL_COUNT);
    unforeseen.push(free);
    const known = candidates.find(({ symbols }) => symbols.join() === read.join());
    if (known) known.mass = logSum([known.mass, free]);
    else candidates.push({ symbols: [...read], mass: free });
  }
  const everything = logSum([finished, ...unforeseen, goingOn]);
  const best = candidates.reduce((a, b) => (b.mass > a.mass ? b : a));
  const decision: Decision = {
    symbols: best.symbols,
    errorProbability: Math.min(1, Math.max(0, -Math.expm1(best.mass - everything))),
    unfinished: Math.exp(goingOn - everything),
    logEvidence: logSum([finished, ...unforeseen]),
    logEvidenceSoFar: everything,
    certainty: () =>
      logMarginals(logLikelihoods, layers, best.symbols).map((mass, i) => {
        const alike = unforeseen.filter(() => read?.[i] === best.symbols[i]);
        return Math.min(1, Math.exp(logSum([mass, ...alike]) - everything));
      }),
  };
  return { decision, nextLength };
}

/** Decides which call was sent; nothing where no call can have ended yet. See {@link decideSoFar}. */
export function decide(
  logLikelihoods: CharacterLogLikelihoods,
  read?: readonly number[],
): Decision | undefined {
  return decideSoFar(logLikelihoods, read).decision;
}
