/**
 * Exact decision of a whole call: every sequence that the call tables allow, weighed by its likelihood, under the
 * parity of the error check.
 *
 * The tables are a tree of positions and the error check is an exclusive-or, so that the sum over all calls runs
 * over 128 parities at each position (a forward recursion), and the best call of a layout is found by Viterbi's
 * algorithm on the same trellis.
 */
import { ENDS_OF_SEQUENCE, SYMBOL_COUNT } from '../symbols/index.js';
import { layoutTree, type LayoutNode } from './constraints.js';

/** Natural logarithms of likelihood ratios, each symbol against random bits, for each information character. */
export interface CharacterEvidence {
  /** Both sendings together: 128 values a character; character 0 and 1 are the two format specifiers. */
  readonly values: Float64Array;
  /** The first sending (DX) alone, likewise: all there is of the last two characters. */
  readonly first: Float64Array;
  /** How many characters were received. */
  readonly count: number;
}

/** The best call and how sure it is. */
export interface Decision {
  /** One format specifier through the error check. */
  readonly symbols: number[];
  /** Probability that another call was sent, or that the call has not ended yet. */
  readonly errorProbability: number;
  /** Probability, given all received so far, that the call is one of those longer than what was received. */
  readonly unfinished: number;
  /** ln of how much likelier all calls together make the characters than random bits do. */
  readonly evidence: number;
  /** The same of all calls together that have ended or may still go on. */
  readonly evidenceSoFar: number;
}

/** Paths this many nats behind the best of their length are left out. */
const BEAM = 26;

/** Symbols this much less likely than the likeliest of their position are left out. */
const LEAST_WEIGHT = 1e-14;

/** Ends tried by Viterbi's algorithm. */
const MOST_ENDS = 4;

interface Front {
  node: LayoutNode;
  /** Probability of each parity, scaled. */
  parities: Float64Array;
  /** ln of the scale. */
  scale: number;
}

interface End {
  node: LayoutNode;
  eos: number;
  /** ln of the mass of all calls that end so. */
  mass: number;
}

/** The evidence of a position in the tree: the format specifier is received twice. */
export function positionEvidence(evidence: CharacterEvidence, depth: number): Float64Array {
  const { values } = evidence;
  if (depth > 0) return values.subarray((depth + 1) * SYMBOL_COUNT, (depth + 2) * SYMBOL_COUNT);
  return Float64Array.from(
    { length: SYMBOL_COUNT },
    (_, symbol) => values[symbol] + values[SYMBOL_COUNT + symbol],
  );
}

function at(evidence: CharacterEvidence, character: number, symbol: number): number {
  return evidence.values[character * SYMBOL_COUNT + symbol];
}

function firstAt(evidence: CharacterEvidence, character: number, symbol: number): number {
  return evidence.first[character * SYMBOL_COUNT + symbol];
}

/** Adds up what several sendings of one call say, for as many characters as all of them have. */
export function addEvidence(parts: readonly CharacterEvidence[]): CharacterEvidence {
  const count = Math.min(...parts.map((part) => part.count));
  const add = (pick: (part: CharacterEvidence) => Float64Array) => {
    const sum = new Float64Array(count * SYMBOL_COUNT);
    for (const part of parts) {
      const values = pick(part);
      for (let i = 0; i < sum.length; i++) sum[i] += values[i];
    }
    return sum;
  };
  return { values: add((part) => part.values), first: add((part) => part.first), count };
}

/** ln of the sum of exponentials. */
function logSum(values: readonly number[]): number {
  const most = Math.max(...values);
  if (most === -Infinity) return most;
  return most + Math.log(values.reduce((sum, value) => sum + Math.exp(value - most), 0));
}

/** The symbols worth following at a position, with exp(evidence) × prior relative to exp(`top`). */
interface Worthwhile {
  readonly symbols: number[];
  readonly weights: number[];
  readonly top: number;
}

function worthwhile(node: LayoutNode, values: Float64Array): Worthwhile {
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
function advance(
  from: Float64Array,
  scale: number,
  node: LayoutNode,
  { symbols, weights, top }: Worthwhile,
): Front {
  const parities = new Float64Array(SYMBOL_COUNT);
  for (let i = 0; i < symbols.length; i++) {
    const symbol = symbols[i];
    const weight = weights[i];
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) parities[parity ^ symbol] += from[parity] * weight;
  }
  let most = 0;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) most = Math.max(most, parities[parity]);
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) parities[parity] /= most;
  return { node, parities, scale: scale + top + Math.log(most) };
}

/** What the characters after an end of sequence say for it: the error check of a parity and two more EOS. */
function endEvidence(evidence: CharacterEvidence, depth: number, eos: number, parity: number): number {
  return (
    at(evidence, depth + 2, parity) + firstAt(evidence, depth + 3, eos) + firstAt(evidence, depth + 4, eos)
  );
}

function endsAt(evidence: CharacterEvidence, before: Front, node: LayoutNode): End[] {
  const ends: End[] = [];
  for (const { symbol: eos } of ENDS_OF_SEQUENCE.words) {
    if (node.weights[eos] === 0) continue;
    const terms: number[] = [];
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      if (before.parities[parity] === 0) continue;
      terms.push(Math.log(before.parities[parity]) + endEvidence(evidence, node.depth, eos, parity ^ eos));
    }
    const own = at(evidence, node.depth + 1, eos) + Math.log(node.weights[eos] * node.ends);
    ends.push({ node, eos, mass: before.scale + own + logSum(terms) });
  }
  return ends;
}

/** The likeliest symbols on the path to an end. */
function viterbi(evidence: CharacterEvidence, end: End): number[] {
  const path: LayoutNode[] = [];
  for (let node = end.node.parent; node; node = node.parent) path.unshift(node);
  let scores = new Float64Array(SYMBOL_COUNT).fill(-Infinity);
  scores[0] = 0;
  const choices: Uint8Array[] = [];
  for (const node of path) {
    const { symbols, weights } = worthwhile(node, positionEvidence(evidence, node.depth));
    const next = new Float64Array(SYMBOL_COUNT).fill(-Infinity);
    const choice = new Uint8Array(SYMBOL_COUNT);
    for (let i = 0; i < symbols.length; i++) {
      const gain = Math.log(weights[i]);
      for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
        const score = scores[parity] + gain;
        const reached = parity ^ symbols[i];
        if (score > next[reached]) {
          next[reached] = score;
          choice[reached] = symbols[i];
        }
      }
    }
    scores = next;
    choices.push(choice);
  }
  let best = 0;
  let bestScore = -Infinity;
  for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
    const score = scores[parity] + endEvidence(evidence, end.node.depth, end.eos, parity ^ end.eos);
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
function sequenceEvidence(evidence: CharacterEvidence, symbols: readonly number[]): number {
  const end = symbols.length + 1;
  const eos = symbols[symbols.length - 2];
  const twice = [symbols[0], ...symbols].reduce((sum, symbol, i) => sum + at(evidence, i, symbol), 0);
  return twice + firstAt(evidence, end, eos) + firstAt(evidence, end + 1, eos);
}

/**
 * Decides which call was sent.
 *
 * @param evidence - of each information character, format specifiers first
 * @param read - a sequence that a textbook reading found complete and with an agreeing error check: it competes
 *   although the tables may not foresee it
 * @returns undefined where no call can have ended yet
 */
export function decide(evidence: CharacterEvidence, read?: readonly number[]): Decision | undefined {
  const start = new Float64Array(SYMBOL_COUNT);
  start[0] = 1;
  const ends: End[] = [];
  const open: number[] = [];
  let fronts: { from: Front | undefined; node: LayoutNode }[] = layoutTree().map((node) => ({
    from: undefined,
    node,
  }));

  // The characters of a position and the three that follow an end of sequence must have been received.
  for (let depth = 0; fronts.length > 0; depth++) {
    if (depth + 2 > evidence.count) {
      for (const { from, node } of fronts)
        if (from) open.push(from.scale + logTotal(from) + Math.log(node.total));
      break;
    }
    const values = positionEvidence(evidence, depth);
    const known = new Map<Float64Array, Worthwhile>();
    const worthAt = (node: LayoutNode): Worthwhile => {
      const worth = known.get(node.weights) ?? worthwhile(node, values);
      known.set(node.weights, worth);
      return worth;
    };
    const reached: Front[] = [];
    for (const { from, node } of fronts) {
      if (node.ends > 0 && from && depth + 5 <= evidence.count) ends.push(...endsAt(evidence, from, node));
      if (node.ends > 0 && from && depth + 5 > evidence.count) {
        open.push(from.scale + logTotal(from) + Math.log(node.ends));
      }
      if (node.children.length > 0)
        reached.push(advance(from?.parities ?? start, from?.scale ?? 0, node, worthAt(node)));
    }
    const mass = (front: Front) => front.scale + Math.log(front.node.total);
    const best = Math.max(...reached.map(mass));
    fronts = reached
      .filter((front) => mass(front) > best - BEAM)
      .flatMap((from) => from.node.children.map((node) => ({ from, node })));
  }
  if (ends.length === 0) return undefined;

  ends.sort((a, b) => b.mass - a.mass);
  const finished = logSum(ends.map((end) => end.mass));
  const candidates = ends
    .slice(0, MOST_ENDS)
    .map((end) => viterbi(evidence, end))
    .map((symbols) => ({ symbols, mass: sequenceEvidence(evidence, symbols) + logPrior(symbols) }));
  const unforeseen: number[] = [];
  if (read && read.length + 3 <= evidence.count) {
    const free =
      sequenceEvidence(evidence, read) + Math.log(UNFORESEEN_PRIOR) - read.length * Math.log(SYMBOL_COUNT);
    unforeseen.push(free);
    const known = candidates.find(({ symbols }) => symbols.join() === read.join());
    if (known) known.mass = logSum([known.mass, free]);
    else candidates.push({ symbols: [...read], mass: free });
  }
  const everything = logSum([finished, ...unforeseen, ...open]);
  const best = candidates.reduce((a, b) => (b.mass > a.mass ? b : a));
  return {
    symbols: best.symbols,
    errorProbability: Math.min(1, Math.max(0, -Math.expm1(best.mass - everything))),
    unfinished: Math.exp(logSum(open) - everything),
    evidence: logSum([finished, ...unforeseen]),
    evidenceSoFar: everything,
  };
}

function logTotal(front: Front): number {
  return Math.log(front.parities.reduce((sum, probability) => sum + probability, 0));
}
