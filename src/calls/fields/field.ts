/**
 * What a field of a call is: symbols to a value and back, and the symbols allowed at each of its positions.
 */
import { DotphaseError, requireRecord } from '../../errors.js';
import { SYMBOL_COUNT } from '../../symbols/index.js';
import { LAST_DIGIT_PAIR } from '../../symbols/internal.js';
import type { Codes } from '../../symbols/internal.js';
import { isNotReceived, isUnassigned, type Character, type NotReceived, type Unassigned } from '../values.js';

export { requireRecord };

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

/** One kind of field. */
export interface Field {
  /** What the field holds; the key of its words in `phrases` and in `forms.ts`. */
  readonly kind: FieldKind;
  /** How many symbols the field takes at `at`; Infinity where it would run past the end. */
  lengthAt(symbols: readonly number[], at: number): number;
  /** The value of exactly those symbols, or undefined where they mean nothing here. */
  read(symbols: readonly number[]): unknown;
  /**
   * The characters of a value, null where a part of it was not received. Throws a DotphaseError naming `path` when the
   * value cannot be sent.
   */
  write(value: unknown, path: string): Character[];
  /**
   * Reads a field whose length depends on its characters, where some may be missing; none where the length is always the
   * same.
   *
   * @param left - the call's characters from the field on, to the end of sequence
   * @param isEndKnown - whether the end of sequence was received, so that `left` is all there is
   */
  readReceived?(left: readonly Character[], isEndKnown: boolean): ReceivedField;
  /** What the field looks like when every symbol is assigned. */
  readonly shapes: readonly Shape[];
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
    (heads, field) => heads.flatMap((head) => field.shapes.map((shape) => [...head, ...shape])),
    [[]],
  );
}

/** Whether two lists hold the same characters. */
export function sameSymbols(a: readonly Character[], b: readonly Character[]): boolean {
  return a.length === b.length && a.every((symbol, i) => symbol === b[i]);
}

const isSymbol = (symbol: unknown) =>
  Number.isInteger(symbol) && (symbol as number) >= 0 && (symbol as number) < SYMBOL_COUNT;

/** A list of symbol numbers; throws a DotphaseError unless `value` is one. */
export function requireSymbols(value: unknown, path: string): number[] {
  if (!Array.isArray(value) || !Array.from(value).every(isSymbol)) {
    throw new DotphaseError(path, value, 'a list of symbols from 0 to 127');
  }
  return [...(value as number[])];
}

/** A list of characters, null where missing; throws a DotphaseError unless `value` is one. */
export function requireCharacters(value: unknown, path: string): Character[] {
  if (!Array.isArray(value) || !Array.from(value).every((item) => item === null || isSymbol(item))) {
    throw new DotphaseError(path, value, 'a list of symbols from 0 to 127, null where not received');
  }
  return [...(value as Character[])];
}

/** Whether every character was received. */
export function isWhole(characters: readonly Character[]): characters is readonly number[] {
  return !characters.includes(null);
}

/**
 * Reads a field so that writing the value gives the same symbols again: anything else becomes
 * {@link Unassigned}.
 */
export function readField(field: Field, symbols: readonly number[]): unknown {
  const value = field.read(symbols);
  if (value !== undefined && sameSymbols(field.write(value, 'value'), symbols)) return value;
  return { unassigned: [...symbols] } satisfies Unassigned;
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

/** Writes a field's value, its unassigned symbols or its received characters. */
export function writeField(field: Field, value: unknown, path: string): Character[] {
  if (isNotReceived(value)) {
    requireRecord(value, path, ['notReceived'], '{ notReceived } alone');
    return requireCharacters(value.notReceived, `${path}.notReceived`);
  }
  if (isUnassigned(value)) {
    requireRecord(value, path, ['unassigned'], '{ unassigned } alone');
    const symbols = requireSymbols(value.unassigned, `${path}.unassigned`);
    if (field.lengthAt(symbols, 0) !== symbols.length) {
      throw new DotphaseError(`${path}.unassigned`, symbols, 'as many symbols as the field holds');
    }
    return symbols;
  }
  return field.write(value, path);
}

/** The length of a field that always takes `count` symbols. */
export function fixedLength(count: number): Field['lengthAt'] {
  return (symbols, at) => (at + count <= symbols.length ? count : Infinity);
}

/** One word of a code table. */
export function wordField(kind: WordKind, codes: Codes): Field {
  return {
    kind,
    lengthAt: fixedLength(1),
    read: ([symbol]) => codes.bySymbol(symbol)?.name,
    write(value, path) {
      const word = typeof value === 'string' ? codes.byName(value) : undefined;
      if (!word) throw new DotphaseError(path, value, `one of ${codes.words.map((w) => w.name).join(', ')}`);
      return [word.symbol];
    },
    shapes: [[symbolSet(...codes.words.map((word) => word.symbol))]],
  };
}

/** Symbols that this kind of call always has here; they carry no value. */
export function constantField(...symbols: number[]): Field {
  return {
    kind: 'constant',
    lengthAt: fixedLength(symbols.length),
    read: () => undefined,
    write: () => symbols,
    shapes: [only(symbols)],
  };
}
