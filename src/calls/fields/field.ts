/**
 * What a field of a call is: its kind, its reading, the symbols allowed at each of its positions, and its writing. Reading
 * and writing stand apart and are found by the kind, so that a page that only receives does not load the one, and a page
 * that only sends not the other.
 */
import { DotphaseError } from '../../errors.js';
import { SYMBOL_COUNT } from '../../symbols/index.js';
import { LAST_DIGIT_PAIR } from '../../symbols/internal.js';
import type { Codes } from '../../symbols/internal.js';
import type { Character, NotReceived, Unassigned } from '../values.js';

/** Which of the 128 symbols a position in a sequence may hold: 1 where allowed. */
export type SymbolSet = Uint8Array;

/** One way a field can look on the air: the allowed symbols of each of its positions. */
export type Shape = readonly SymbolSet[];

/** A field read with characters, or its end, possibly missing. */
export interface ReceivedField {
  readonly value: unknown;
  /** How many characters it takes; undefined where that was not received, so that nothing after it can be read. */
  readonly length: number | undefined;
}

/** Fields that hold one word of a code table. */
export type WordKind =
  'format' | 'category' | 'nature' | 'telecommand1' | 'telecommand2' | 'followOn' | 'eos';

/** What a field holds. */
export type FieldKind =
  | WordKind
  | 'constant'
  | 'identity'
  | 'casualty'
  | 'area'
  | 'position'
  | 'time'
  | 'channel'
  | 'message'
  | 'acknowledgedMessage'
  | 'irregularMessage'
  | 'telephone'
  | DataKind;

/** What the data of an expansion hold, M.821-1. */
export type DataKind =
  | 'finePosition'
  | 'positionSource'
  | 'speed'
  | 'course'
  | 'furtherIdentification'
  | 'refinedArea'
  | 'personsOnBoard';

/** Kinds that calls themselves are made of. */
export type CallFieldKind = Exclude<FieldKind, DataKind | 'constant'>;

/** What stands in a place of a call. */
export interface Content {
  /** What the field holds; the key of its reading, its writing, and its words in `phrases` and in `forms.ts`. */
  readonly kind: FieldKind;
  /** The symbols themselves, where a kind of call always has the same here. */
  readonly constant?: readonly number[];
}

/** How many symbols a field takes at `at`; Infinity where it would run past the end. */
export type LengthAt = (symbols: readonly number[], at: number) => number;

/** How one kind of field is read. */
export interface Field extends Content {
  readonly lengthAt: LengthAt;
  /** How many symbols the field takes; undefined where that depends on them. */
  readonly length?: number;
  /**
   * The value of exactly those symbols, so that writing it gives the same symbols again; undefined where they mean
   * nothing here.
   */
  read(symbols: readonly number[]): unknown;
  /**
   * Reads a field whose length depends on its characters, where some may be missing.
   *
   * @param left - the call's characters from the field on, to the end of sequence
   * @param isEndKnown - whether the end of sequence was received, so that `left` is all there is
   */
  readReceived?(left: readonly Character[], isEndKnown: boolean): ReceivedField;
  /** What the field looks like when every symbol is assigned. */
  shapes(): readonly Shape[];
}

/** How one kind of field is written. */
export interface FieldWriter {
  readonly lengthAt: LengthAt;
  /**
   * The characters of a value, null where a part of it was not received. Throws a DotphaseError naming `path` when the
   * value cannot be sent.
   */
  write(value: unknown, path: string): Character[];
}

/** The set of the given symbols and inclusive ranges of symbols. */
export function symbolSet(...members: (number | readonly [number, number])[]): SymbolSet {
  const set = new Uint8Array(SYMBOL_COUNT);
  for (const member of members) {
    const [from, to] = typeof member === 'number' ? [member, member] : member;
    set.fill(1, from, to + 1);
  }
  return set;
}

/** The symbols that carry two digits. */
export const DIGIT_PAIR: SymbolSet = symbolSet([0, LAST_DIGIT_PAIR]);

/** A shape of so many digit pairs. */
export function digitPairs(count: number): Shape {
  return Array.from({ length: count }, () => DIGIT_PAIR);
}

/** The set of digit pairs whose first and second digit lie within the given ranges. */
export function pairSet(first: readonly [number, number], second: readonly [number, number]): SymbolSet {
  const set = new Uint8Array(SYMBOL_COUNT);
  for (let a = first[0]; a <= first[1]; a++) set.fill(1, 10 * a + second[0], 10 * a + second[1] + 1);
  return set;
}

/** One symbol several times. */
export function repeated(symbol: number, count: number): number[] {
  return Array.from({ length: count }, () => symbol);
}

/** The shape that only these symbols have. */
export function only(symbols: readonly number[]): Shape {
  return symbols.map((symbol) => symbolSet(symbol));
}

/** Every combination of one shape of each field, in order. */
export function combineShapes(fields: readonly Field[]): Shape[] {
  return fields.reduce<Shape[]>(
    (heads, field) => heads.flatMap((head) => field.shapes().map((shape) => [...head, ...shape])),
    [[]],
  );
}

/** Whether two lists hold the same characters. */
export function sameSymbols(a: readonly Character[], b: readonly Character[]): boolean {
  return a.length === b.length && a.every((symbol, i) => symbol === b[i]);
}

/** Whether something is the number of a symbol. */
export const isSymbol = (symbol: unknown) =>
  Number.isInteger(symbol) && (symbol as number) >= 0 && (symbol as number) < SYMBOL_COUNT;

/** A list of symbol numbers; throws a DotphaseError unless `value` is one. */
export function requireSymbols(value: unknown, path: string): number[] {
  if (!Array.isArray(value) || !Array.from(value).every(isSymbol)) {
    throw new DotphaseError(path, value, 'a list of symbols from 0 to 127');
  }
  return [...(value as number[])];
}

/** Whether every character was received. */
export function isWhole(characters: readonly Character[]): characters is readonly number[] {
  return !characters.includes(null);
}

/** Reads a field; symbols that mean nothing there become {@link Unassigned}. */
export function readField(field: Field, symbols: readonly number[]): unknown {
  return field.read(symbols) ?? ({ unassigned: [...symbols] } satisfies Unassigned);
}

/** Reads a field whose characters may be missing; where any is, the value is {@link NotReceived}. */
export function readCharacters(field: Field, characters: readonly Character[]): unknown {
  if (isWhole(characters)) return readField(field, characters);
  return { notReceived: [...characters] } satisfies NotReceived;
}

/** The first `count` characters, null for those beyond the end, which were sent but not received. */
export function firstCharacters(characters: readonly Character[], count: number): Character[] {
  return Array.from({ length: count }, (_, i) => characters.at(i) ?? null);
}

/** The length of a field that always takes `count` symbols. */
export function fixedLength(count: number): LengthAt {
  return (symbols, at) => (at + count <= symbols.length ? count : Infinity);
}

/** One word of a code table. */
export function wordField(kind: WordKind, codes: Codes): Field {
  return {
    kind,
    length: 1,
    lengthAt: fixedLength(1),
    read: ([symbol]) => codes.bySymbol(symbol)?.name,
    shapes: () => [[symbolSet(...codes.words.map((word) => word.symbol))]],
  };
}

/** Symbols that this kind of call always has here; they carry no value. */
export function constantField(...symbols: number[]): Field {
  return {
    kind: 'constant',
    length: symbols.length,
    lengthAt: fixedLength(symbols.length),
    read: () => undefined,
    shapes: () => [only(symbols)],
    constant: symbols,
  };
}
