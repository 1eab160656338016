/**
 * What follows a call's error check: expansions, or nothing.
 */
import { LEAST_CERTAINTY } from '../calls/index.js';
import { LONGEST_EXPANSIONS, splitExpansions } from '../frames/internal.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';

/** A character's likeliest symbol counts as read where random bits are this much (ln) less likely, and it is certain. */
const READ_EVIDENCE = 4;

/** How much likelier (ln) than random bits it must be that an expansion begins, for the receiver to wait for it. */
const BEGIN_EVIDENCE = 5;

/** Characters without an expansion's end after which it is given up. */
const LONGEST_EXPANSION = 60;

/** A specifier this much likelier (ln) than random bits was sent in both its places. */
const SENT_EVIDENCE = 10;

/** The ends of sequence that close a call behind its error check, and are sent again where more follows. */
const CLOSING = 2;

const SPECIFIERS = [100, 106] as const;

/** The symbol from `from` to `to` with the largest value, and that value. */
export function likeliest(
  values: Float64Array,
  from: number,
  to: number,
): { symbol: number; evidence: number } {
  let symbol = from;
  for (let other = from + 1; other <= to; other++) if (values[other] > values[symbol]) symbol = other;
  return { symbol, evidence: values[symbol] };
}

/** Whether the likeliest of 128 symbols, all as likely beforehand, is certain enough to be given as a value. */
function isCertain(values: Float64Array, evidence: number): boolean {
  const odds = values.reduce((sum, value) => sum + Math.exp(value - evidence), 0);
  return 1 / odds >= LEAST_CERTAINTY;
}

function slice(values: Float64Array, character: number): Float64Array {
  return values.subarray(character * SYMBOL_COUNT, (character + 1) * SYMBOL_COUNT);
}

/**
 * Whether an expansion seems to begin behind the closing ends of sequence, or in their place.
 *
 * @param behind - index of the information character behind the error check
 * @param eos - the call's end of sequence, which RX sends again only where more follows
 */
export function expansionBegins(
  logLikelihoods: CharacterLogLikelihoods,
  behind: number,
  eos: number,
): boolean {
  const specifier = (character: number) =>
    character < logLikelihoods.count
      ? likeliest(slice(logLikelihoods.first, character), ...SPECIFIERS).evidence
      : 0;
  const repeated = (character: number) =>
    slice(logLikelihoods.values, character)[eos] - slice(logLikelihoods.first, character)[eos];
  const interleaved = specifier(behind + CLOSING) + repeated(behind);
  return Math.max(interleaved, specifier(behind)) > BEGIN_EVIDENCE;
}

/** The expansions among the characters received behind the error check. */
export interface TrailingExpansions {
  readonly expansions: number[][];
  /** Characters that they take with the closing ends of sequence. */
  readonly length: number;
  /** Whether nothing more can belong to them. */
  readonly isOver: boolean;
  /** Whether another expansion began that is not among them. */
  readonly moreFollowed: boolean;
}

/** Reads what follows from the likeliest symbol of each character that is certain; only sequences whose error check agrees count. */
export function readTrailingExpansions(
  logLikelihoods: CharacterLogLikelihoods,
  behind: number,
): TrailingExpansions {
  const characters: (number | undefined)[] = [];
  const supports: number[] = [];
  const last = Math.min(logLikelihoods.count, behind + LONGEST_EXPANSIONS + 1);
  for (let character = behind; character < last; character++) {
    const values = slice(logLikelihoods.values, character);
    const { symbol, evidence: support } = likeliest(values, 0, SYMBOL_COUNT - 1);
    characters.push(support > READ_EVIDENCE && isCertain(values, support) ? symbol : undefined);
    supports.push(support);
  }
  const { expansions, length, next } = splitExpansions(characters);
  const further = characters.length - length;
  const isOver =
    (expansions.length > 0 && further > 0 && next === undefined) ||
    further > LONGEST_EXPANSION ||
    // A character's second sending comes two later.
    logLikelihoods.count > behind + LONGEST_EXPANSIONS + CLOSING;
  const moreFollowed = next !== undefined && supports[next] > SENT_EVIDENCE;
  return { expansions, length, isOver, moreFollowed };
}
