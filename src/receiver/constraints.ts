/**
 * The layouts of all calls merged into one graph of positions: what a character may be, given those before it. Layouts
 * that begin alike share their beginning, those that go on alike the rest.
 */
import { callLayouts } from '../calls/index.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';

/** Information characters of a call besides its layout: the second format specifier, the error check, two EOS. */
export const CHARACTERS_AROUND = 4;

/** Information characters that a call takes, given its symbols from one format specifier through the error check. */
export function informationLength(symbols: readonly number[]): number {
  return symbols.length - 1 + CHARACTERS_AROUND;
}

/** One position of the layouts, shared by all whose positions from here on are the same. */
export interface LayoutNode {
  /** 0 for the format specifier. */
  readonly depth: number;
  /** Prior weight of each symbol here, adding up to 1; the same array wherever the same symbols are allowed. */
  readonly weights: Float64Array;
  /** Their natural logarithms. */
  readonly logWeights: Float64Array;
  /** What may follow; nothing where the layout ends here, with an end of sequence. */
  readonly followers: readonly Follower[];
  /** Depth of the nearest position, this one among them, with which a layout ends. */
  readonly nearestEnd: number;
}

/** A position that may follow another. */
export interface Follower {
  readonly node: LayoutNode;
  /** Prior probability that it does; those of all followers add up to 1. */
  readonly share: number;
}

/** A symbol that no table assigns to its position still has this share of the probability. */
const UNASSIGNED_SHARE = 1e-3;

function positionWeights(set: Uint8Array, isStrict: boolean): Float64Array {
  const size = set.reduce((sum, member) => sum + member, 0);
  const strange = isStrict ? 0 : UNASSIGNED_SHARE;
  return Float64Array.from(set, (member) => strange / SYMBOL_COUNT + (member ? (1 - strange) / size : 0));
}

function isEndSet(set: Uint8Array): boolean {
  return set.every((member, symbol) => member === 0 || END_OF_SEQUENCE_CODES.bySymbol(symbol) !== undefined);
}

/** The layouts that begin alike, as a branch of a tree. */
interface Branch {
  readonly weights: Float64Array;
  readonly followers: Map<string, Branch>;
  /** Prior probability of all layouts that pass through or end here. */
  total: number;
}

const createBranch = (weights: Float64Array): Branch => ({ weights, followers: new Map(), total: 0 });

/** Puts the layouts that begin alike together: every kind of call is as likely as any other, and so is every layout of a kind. */
function growTree(): Branch {
  const layouts = callLayouts();
  const kinds = new Map<string, number>();
  for (const { kind } of layouts) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  // Thousands of layouts share their sets: each is written out once.
  const texts = new Map<Uint8Array, string>();
  const textOf = (set: Uint8Array) => {
    const text = texts.get(set) ?? set.join('');
    texts.set(set, text);
    return text;
  };
  const shared = new Map<string, Float64Array>();
  const weightsOf = (set: Uint8Array, isStrict: boolean) => {
    const key = `${isStrict}${textOf(set)}`;
    const weights = shared.get(key) ?? positionWeights(set, isStrict);
    shared.set(key, weights);
    return weights;
  };
  const root = createBranch(new Float64Array(0));
  for (const { kind, positions } of layouts) {
    const prior = 1 / (kinds.size * (kinds.get(kind) ?? 1));
    root.total += prior;
    let branch = root;
    positions.forEach((set, depth) => {
      const isEnd = depth === positions.length - 1;
      const key = `${isEnd ? 'end' : ''}${textOf(set)}`;
      const isStrict = isEnd || isEndSet(set) || depth === 0;
      const next = branch.followers.get(key) ?? createBranch(weightsOf(set, isStrict));
      branch.followers.set(key, next);
      next.total += prior;
      branch = next;
    });
  }
  return root;
}

/** Digits by which shares are told apart that were added up in different orders. */
const SHARE_DIGITS = 9;

/** Puts the branches together that go on alike. */
function mergeBranches(root: Branch): readonly Follower[] {
  const nodes = new Map<string, LayoutNode>();
  const logs = new Map<Float64Array, Float64Array>();
  const logsOf = (weights: Float64Array) => {
    const logWeights = logs.get(weights) ?? weights.map(Math.log);
    logs.set(weights, logWeights);
    return logWeights;
  };
  const numbers = new Map<object, number>();
  const numberOf = (one: object) => {
    const number = numbers.get(one) ?? numbers.size;
    numbers.set(one, number);
    return number;
  };
  const followersOf = (branch: Branch, depth: number): Follower[] =>
    [...branch.followers.values()].map((next) => ({
      node: nodeOf(next, depth),
      share: next.total / branch.total,
    }));
  function nodeOf(branch: Branch, depth: number): LayoutNode {
    const followers = followersOf(branch, depth + 1);
    const ways = followers.map(({ node, share }) => `${numberOf(node)}×${share.toPrecision(SHARE_DIGITS)}`);
    const key = [depth, numberOf(branch.weights), ...ways.sort()].join();
    const isEnd = followers.length === 0;
    const nearestEnd = isEnd ? depth : Math.min(...followers.map(({ node }) => node.nearestEnd));
    const { weights } = branch;
    const node = nodes.get(key) ?? { depth, weights, logWeights: logsOf(weights), followers, nearestEnd };
    nodes.set(key, node);
    return node;
  }
  return followersOf(root, 0);
}

let roots: readonly Follower[] | undefined;

/** The positions that a call may begin with, one for each format specifier; built once, on first use. */
export function layoutRoots(): readonly Follower[] {
  return (roots ??= mergeBranches(growTree()));
}

function findLengths(): number[] {
  const seen = new Set<LayoutNode>();
  const visit = ({ node }: Follower) => {
    if (seen.has(node)) return;
    seen.add(node);
    node.followers.forEach(visit);
  };
  layoutRoots().forEach(visit);
  const ends = [...seen].filter(({ followers }) => followers.length === 0);
  return [...new Set(ends.map(({ depth }) => depth + 1 + CHARACTERS_AROUND))].sort((a, b) => a - b);
}

let lengths: number[] | undefined;

/** The distinct lengths of calls, in information characters, ascending; found once, on first use. */
export function callLengths(): readonly number[] {
  return (lengths ??= findLengths());
}
