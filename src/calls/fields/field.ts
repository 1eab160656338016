/**
 * What a field of a call is: symbols to a value and back, with the words for people and the symbols allowed at
 * each of its positions.
 */
import { DotphaseError } from '../../errors.js';
import { LAST_DIGIT_PAIR, SYMBOL_COUNT, type Vocabulary } from '../../symbols/index.js';
import { isUnassigned, type Unassigned } from '../values.js';

/** Which of the 128 symbols a position in a sequence may hold: 1 where allowed. */
export type SymbolSet = Uint8Array;

/** One way a field can look on the air: the allowed symbols of each of its positions. */
export type Shape = readonly SymbolSet[];

/** One kind of field. */
export interface Field {
  /** How the value is laid out in the field's symbols, as a phrase for the reference. */
  readonly form: string;
  /** How many symbols the field takes at `at`; Infinity where it would run past the end. */
  lengthAt(symbols: readonly number[], at: number): number;
  /** The value of exactly those symbols, or undefined where they mean nothing here. */
  read(symbols: readonly number[]): unknown;
  /** The symbols of a value. Throws a DotphaseError naming `path` when the value cannot be sent. */
  write(value: unknown, path: string): number[];
  /** A phrase for the value, without punctuation at its ends. */
  describe(value: unknown): string;
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

/** Whether two lists hold the same symbols. */
export function sameSymbols(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((symbol, i) => symbol === b[i]);
}

/** A list of symbol numbers, or a DotphaseError unless `value` is one. */
export function requireSymbols(value: unknown, path: string): number[] {
  const good = (symbol: unknown) =>
    Number.isInteger(symbol) && (symbol as number) >= 0 && (symbol as number) < SYMBOL_COUNT;
  if (!Array.isArray(value) || !Array.from(value).every(good)) {
    throw new DotphaseError(path, value, 'a list of symbols from 0 to 127');
  }
  return [...(value as number[])];
}

/** An object with no other properties than `keys`, or a DotphaseError saying what was expected. */
export function requireRecord(
  value: unknown,
  path: string,
  keys: readonly string[],
  expected: string,
): Record<string, unknown> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new DotphaseError(path, value, expected);
  }
  const record = value as Record<string, unknown>;
  for (const key of Object.keys(record)) {
    if (!keys.includes(key) && record[key] !== undefined) {
      throw new DotphaseError(`${path}.${key}`, record[key], `nothing: ${path} is ${expected}`);
    }
  }
  return record;
}

/**
 * Reads a field so that writing the value gives the same symbols again: whatever would not is handed over
 * as {@link Unassigned}.
 */
export function readField(field: Field, symbols: readonly number[]): unknown {
  const value = field.read(symbols);
  if (value !== undefined && sameSymbols(field.write(value, 'value'), symbols)) return value;
  return { unassigned: [...symbols] } satisfies Unassigned;
}

/** Writes a field's value or its unassigned symbols. */
export function writeField(field: Field, value: unknown, path: string): number[] {
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

/** A phrase for a field's value or its unassigned symbols. */
export function describeField(field: Field, value: unknown): string {
  return isUnassigned(value) ? `unassigned (${value.unassigned.join(' ')})` : field.describe(value);
}

/** The length of a field that always takes `count` symbols. */
export function fixedLength(count: number): Field['lengthAt'] {
  return (symbols, at) => (at + count <= symbols.length ? count : Infinity);
}

/** One word of a vocabulary. */
export function wordField(vocabulary: Vocabulary): Field {
  return {
    form: vocabulary.words.map((word) => `${word.symbol} ${word.text}`).join(', '),
    lengthAt: fixedLength(1),
    read: ([symbol]) => vocabulary.bySymbol(symbol)?.name,
    write(value, path) {
      const word = typeof value === 'string' ? vocabulary.byName(value) : undefined;
      if (!word) {
        throw new DotphaseError(path, value, `one of ${vocabulary.words.map((w) => w.name).join(', ')}`);
      }
      return [word.symbol];
    },
    describe: (value) => vocabulary.byName(value as string)?.text ?? String(value),
    shapes: [[symbolSet(...vocabulary.words.map((word) => word.symbol))]],
  };
}

/** Symbols that this kind of call always has here; they carry no value. */
export function constantField(...symbols: number[]): Field {
  return {
    form: symbols.join(' '),
    lengthAt: fixedLength(symbols.length),
    read: () => undefined,
    write: () => symbols,
    describe: () => '',
    shapes: [only(symbols)],
  };
}
