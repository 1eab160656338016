/**
 * Whether what is said of a received call rests on characters that were received: two checks that know nothing of how
 * texts are made.
 */
import { decodeCall, describeCall } from '../../src/calls/index.js';

/** The certainty below which a character counts as not received: the rule the checks hold others to. */
const LEAST = 0.9;

/** A received call, as far as its text can be checked against it. */
export interface Told {
  readonly symbols: readonly number[];
  readonly certainty: readonly number[];
  readonly expansions: readonly (readonly number[])[];
  readonly text: string;
}

const pair = (symbol: number) => (symbol < 100 ? String(symbol).padStart(2, '0') : '|');

/** A field that a broken call ends in prints as many missing digits as it should have: at most these. */
const MISSING_AT_END = '?'.repeat(16);

/** The digits that were received, two for a character; `?` for one that was not, `|` for a service command. */
function receivedDigits({ symbols, certainty, expansions }: Told): string {
  const own = symbols.map((symbol, i) => (certainty[i] < LEAST ? '??' : pair(symbol)));
  return [[...own, MISSING_AT_END], ...expansions.map((sequence) => sequence.map(pair))]
    .map((part) => part.join(''))
    .join('|');
}

/** Words with digits that are no digits of a call. */
const WORDS = /\b(?:[FGJ]\d[BE]|WGS \d\d)\b/g;
const LISTS = /(?:characters:?|unassigned(?: expansion)?|older editions number) \(?((?:[\d?]+ ?)+)/gi;
/** A colon ends a figure, but for that of a time. */
const FIGURES = /[\d?](?:[\d?°′. ]|:(?=\d))*/g;

/**
 * The figures in a call's text, a missing digit as `?`, that stand in none of the characters received: what the text
 * invented. It reads digits alone, so that it needs no knowledge of the fields.
 */
export function inventedFigures(told: Told): string[] {
  const digits = receivedDigits(told);
  const characters = [
    ...told.symbols.map((symbol, i) => (told.certainty[i] < LEAST ? '?' : String(symbol))),
    '|',
    ...told.expansions.flat().map(String),
  ].join(' ');
  const text = told.text.replace(WORDS, '');
  const lists = [...text.matchAll(LISTS)]
    .map(([, list]) => list.trim())
    .filter((list) => !` ${characters} `.includes(` ${list} `));
  const figures = (text.replace(LISTS, '').match(FIGURES) ?? [])
    // Whole minutes are sent without the decimal they print with.
    .map((figure) => figure.replace(/\.0(?=′)/, '').replace(/[^\d?]/g, ''))
    .filter((figure) => /\d/.test(figure) && !new RegExp(figure.replaceAll('?', '.')).test(digits));
  return [...lists, ...figures];
}

/**
 * The text that a call would have had, had its uncertain characters been others: it must be the same.
 *
 * @param other - gives another symbol, 0–127, for the index of an uncertain one
 */
export function textWithOthers(
  { symbols, certainty, expansions }: Told,
  other: (index: number) => number,
): string {
  const changed = symbols.map((symbol, i) => (certainty[i] < LEAST ? other(i) : symbol));
  const isWhole = certainty.every((value) => value >= LEAST);
  return describeCall(decodeCall(changed, { certainty, expansions, ignoreErrorCheck: isWhole }));
}
