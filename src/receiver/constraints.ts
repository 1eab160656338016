/**
 * The layouts of all calls merged into one tree of positions: what a character may be, given those before it.
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

/** One position of the tree. The path from the root is a sequence of positions from the format specifier on. */
export interface LayoutNode {
  /** 0 for the format specifier. */
  readonly depth: number;
  readonly parent: LayoutNode | undefined;
  /** Prior weight of each symbol here, adding up to 1; the same array wherever the same symbols are allowed. */
  readonly weights: Float64Array;
  readonly children: LayoutNode[];
  /** Prior probability of the layouts that end with this position (an end of sequence). */
  ends: number;
  /** Prior probability of all layouts that pass through or end here. */
  total: number;
  /** Depth of the nearest position, this one among them, with which a layout ends. */
  nearestEnd: number;
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

/** Builds the tree: every kind of call is as likely as any other, and so is every layout of a kind. */
function buildTree(): LayoutNode[] {
  const layouts = callLayouts();
  const kinds = new Map<string, number>();
  for (const layout of layouts) kinds.set(layout.kind, (kinds.get(layout.kind) ?? 0) + 1);
  const roots: LayoutNode[] = [];
  const bySet = new Map<LayoutNode | undefined, Map<string, LayoutNode>>();
  const shared = new Map<string, Float64Array>();
  const weightsOf = (set: Uint8Array, isStrict: boolean) => {
    const key = `${isStrict}${set.join('')}`;
    const weights = shared.get(key) ?? positionWeights(set, isStrict);
    shared.set(key, weights);
    return weights;
  };

  for (const layout of layouts) {
    const prior = 1 / (kinds.size * (kinds.get(layout.kind) ?? 1));
    let parent: LayoutNode | undefined;
    layout.positions.forEach((set, depth) => {
      const isEnd = depth === layout.positions.length - 1;
      const key = `${isEnd ? 'end' : ''}${set.join('')}`;
      const known = bySet.get(parent) ?? new Map<string, LayoutNode>();
      bySet.set(parent, known);
      let node = known.get(key);
      if (!node) {
        const weights = weightsOf(set, isEnd || isEndSet(set) || depth === 0);
        node = { depth, parent, weights, children: [], ends: 0, total: 0, nearestEnd: Infinity };
        known.set(key, node);
        (parent ? parent.children : roots).push(node);
      }
      node.total += prior;
      node.nearestEnd = Math.min(node.nearestEnd, layout.positions.length - 1);
      if (isEnd) node.ends += prior;
      parent = node;
    });
  }
  return roots;
}

let tree: LayoutNode[] | undefined;

/** The roots of the tree, one for each format specifier; built once, on first use. */
export function layoutTree(): readonly LayoutNode[] {
  return (tree ??= buildTree());
}

function findLengths(): number[] {
  const lengths = new Set<number>();
  const visit = (node: LayoutNode) => {
    if (node.ends > 0) lengths.add(node.depth + 1 + CHARACTERS_AROUND);
    node.children.forEach(visit);
  };
  layoutTree().forEach(visit);
  return [...lengths].sort((a, b) => a - b);
}

let lengths: number[] | undefined;

/** The distinct lengths of calls, in information characters, ascending; found once, on first use. */
export function callLengths(): readonly number[] {
  return (lengths ??= findLengths());
}
