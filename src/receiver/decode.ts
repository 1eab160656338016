/**
 * Exact decision of a whole call: every sequence that the call tables allow, weighed by its likelihood, under the
 * parity of the error check.
 *
 * The tables are a graph of positions and the error check is an exclusive-or, so that the sum over all calls runs
 * over 128 parities at each position (a forward recursion), and the best call with an end is found by Viterbi's
 * algorithm on the same trellis.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import { CHARACTERS_AROUND, layoutRoots, type Follower, type LayoutNode } from './constraints.js';
import { LikeliestPaths } from './likeliestpath.js';
import { positionLogLikelihoods, type CharacterLogLikelihoods } from './loglikelihoods.js';
import { logMarginals } from './marginals.js';
import {
  addMasses,
  advance,
  at,
  endLogLikelihood,
  firstAt,
  isReceived,
  logSum,
  logTotal,
  weighted,
  worthwhile,
  type Masses,
  type Source,
  type Visit,
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

/** Positions this many nats behind the best of their depth are left out. */
const BEAM = 26;

/** Ends tried by Viterbi's algorithm. */
const MOST_ENDS = 4;

interface End {
  readonly visit: Visit;
  readonly eos: number;
  /** ln of the mass of all calls that end so. */
  readonly mass: number;
}

function endsAt(logLikelihoods: CharacterLogLikelihoods, visit: Visit): End[] {
  const { before, node } = visit;
  const ends: End[] = [];
  for (const { symbol: eos } of END_OF_SEQUENCE_CODES.words) {
    if (node.weights[eos] === 0) continue;
    const terms: number[] = [];
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      if (before.values[parity] === 0) continue;
      terms.push(
        Math.log(before.values[parity]) + endLogLikelihood(logLikelihoods, node.depth, eos, parity ^ eos),
      );
    }
    const own = at(logLikelihoods, node.depth + 1, eos) + Math.log(node.weights[eos]);
    ends.push({ visit, eos, mass: before.scale + own + logSum(terms) });
  }
  return ends;
}

/** The positions that follow those visited. */
function followersOf(visits: readonly Visit[]): Visit[] {
  const sources = new Map<LayoutNode, Source[]>();
  for (const visit of visits) {
    for (const { node, share } of visit.node.followers) {
      const own = sources.get(node);
      if (own) own.push({ visit, share });
      else sources.set(node, [{ visit, share }]);
    }
  }
  return [...sources].map(([node, own]) => ({
    node,
    sources: own,
    before: addMasses(
      own.flatMap(({ visit, share }) => (visit.reached ? weighted(visit.reached, share) : [])),
    ),
  }));
}

/** The beginnings of all calls. */
function firstVisits(): Visit[] {
  const values = new Float64Array(SYMBOL_COUNT);
  values[0] = 1;
  return layoutRoots().map(({ node, share }) => ({
    node,
    sources: [],
    before: { values, scale: Math.log(share) },
  }));
}

/** ln of the prior of a sequence, over every layout that spells it. */
function logPrior(symbols: readonly number[]): number {
  const last = symbols.length - 2;
  let sum = 0;
  const visit = ({ node, share }: Follower, product: number) => {
    const own = product * share * node.weights[symbols[node.depth]];
    if (own === 0) return;
    if (node.depth < last) for (const follower of node.followers) visit(follower, own);
    else if (node.followers.length === 0) sum += own;
  };
  for (const root of layoutRoots()) visit(root, 1);
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
  const ends: End[] = [];
  /** Calls that go on: ln of their mass, and how long they are at least. */
  const open: { mass: number; length: number }[] = [];
  const goOn = (before: Masses, end: number) =>
    open.push({ mass: logTotal(before), length: end + 1 + CHARACTERS_AROUND });
  const layers: Visit[][] = [];
  let visits = firstVisits();

  // The characters of a position and the three that follow an end of sequence must have been received.
  for (let depth = 0; visits.length > 0; depth++) {
    if (depth + 2 > logLikelihoods.count) {
      for (const { before, node } of visits) goOn(before, node.nearestEnd);
      layers.push(visits);
      break;
    }
    const values = positionLogLikelihoods(logLikelihoods, depth);
    const known = new Map<Float64Array, Worthwhile>();
    const layer = visits.map((visit): Visit => {
      const { before, node } = visit;
      if (node.followers.length === 0) {
        if (isReceived(logLikelihoods, depth)) ends.push(...endsAt(logLikelihoods, visit));
        else goOn(before, depth);
        return visit;
      }
      const worth = known.get(node.weights) ?? worthwhile(node, values);
      known.set(node.weights, worth);
      const isOpen = !isReceived(logLikelihoods, node.nearestEnd);
      return { ...visit, worth, reached: advance(before, worth, isOpen) };
    });
    layers.push(layer);
    const totals = layer.map(({ reached }) => (reached ? logTotal(reached) : -Infinity));
    const best = Math.max(...totals);
    visits = followersOf(layer.filter((_, i) => totals[i] > best - BEAM));
  }
  const goingOn = logSum(open.map(({ mass }) => mass));
  const likely = open.filter(({ mass }) => mass > goingOn - BEAM);
  const nextLength = Math.min(...likely.map(({ length }) => length));
  if (ends.length === 0) return { nextLength };

  ends.sort((a, b) => b.mass - a.mass);
  const finished = logSum(ends.map((end) => end.mass));
  const paths = new LikeliestPaths(logLikelihoods);
  const candidates = ends
    .slice(0, MOST_ENDS)
    .filter(({ mass }) => mass >= ends[0].mass - BEAM)
    .map(({ visit, eos }) => paths.to(visit, eos))
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
