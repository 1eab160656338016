/**
 * Calls to characters and back, driven by the call table.
 */
import { DotphaseError } from '../errors.js';
import { FORMAT_CODES } from '../symbols/internal.js';
import { writeAddress } from './address.js';
import { errorCheck } from '../symbols/index.js';
import { mergeFinePosition, readExpansions, splitFinePosition, writeExpansions } from './expansions/index.js';
import { FIELDS, isWhole, readField, requireCharacters, requireSymbols, writeField } from './fields/index.js';
import { agreedFields, readTables, type Values } from './reading.js';
import { CALL_TABLE, rowOfKind, type CallRow, type Slot } from './table.js';
import type { Call, DecodedCall, RowKind } from './types.js';
import { LEAST_CERTAINTY, isNotReceived, type Character } from './values.js';

const WITHOUT_ROW = ['unassignedCall', 'partialCall'];

/** A call as a record of its properties; throws a DotphaseError unless it is an object of a known kind. */
export function requireCall(call: unknown): { values: Values; row: CallRow<RowKind> | undefined } {
  if (typeof call !== 'object' || call === null) {
    throw new DotphaseError('call', call, 'a call with its kind');
  }
  const values = call as Values;
  const row = rowOfKind(values.kind);
  if (!row && !WITHOUT_ROW.includes(values.kind as string)) {
    const kinds = CALL_TABLE.map((candidate) => candidate.kind).join(', ');
    throw new DotphaseError('kind', values.kind, `one of ${kinds}, unassignedCall`);
  }
  if (values.kind === 'partialCall') return { values, row };
  const known = row ? ['to', 'eos', 'rest', ...row.slots.map((slot) => slot.name)] : ['symbols'];
  for (const name of Object.keys(values)) {
    if (!['kind', 'expansions', ...known].includes(name) && values[name] !== undefined) {
      throw new DotphaseError(name, values[name], `no such field in a ${String(values.kind)}`);
    }
  }
  return { values, row };
}

function writeSlot(slot: Slot, values: Values): Character[] {
  const name = slot.name ?? '';
  return writeField(slot, values[name], name);
}

/** A call's characters without the error check. */
function writeContent(values: Values, row: CallRow<RowKind> | undefined): Character[] {
  if (!row) {
    const symbols =
      values.kind === 'partialCall'
        ? requireCharacters(values.symbols, 'symbols')
        : requireSymbols(values.symbols, 'symbols');
    if (symbols.length < 2) {
      throw new DotphaseError('symbols', symbols, 'a format specifier and an end of sequence');
    }
    return symbols;
  }
  const address = writeAddress(values.to, row.formats);
  return [
    FORMAT_CODES.byName(address.format)?.symbol ?? 0,
    ...address.characters,
    ...row.slots.flatMap((slot) => writeSlot(slot, values)),
    ...(values.rest === undefined ? [] : requireSymbols(values.rest, 'rest')),
    ...writeField({ kind: 'eos' }, values.eos === undefined ? row.eos(address.format) : values.eos, 'eos'),
  ];
}

/** Throws a DotphaseError naming the first field that was not received whole, if any. */
function requireWhole(value: unknown, path: string): void {
  if (isNotReceived(value) || (value as Values).kind === 'partialCall') {
    const expected = 'a value: it was not received, and a call can only be sent whole';
    throw new DotphaseError(path === '' ? 'call' : path, value, expected);
  }
  for (const [key, part] of Object.entries(value as Values)) {
    if (typeof part !== 'object' || part === null) continue;
    requireWhole(part, Array.isArray(value) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`);
  }
}

/** Whether every character of a call was received, so that it can be sent as it is. */
export function isReceivedWhole(call: DecodedCall): call is Call {
  const isWhole = (value: unknown): boolean =>
    typeof value !== 'object' ||
    value === null ||
    (!isNotReceived(value) && Object.values(value).every(isWhole));
  return call.kind !== 'partialCall' && isWhole(call);
}

/** A call's characters without the error check, null where not received, and its expansions. */
function write(call: unknown): { content: Character[]; expansions: Character[][] } {
  const { values: given, row } = requireCall(call);
  const { values, expansions } = splitFinePosition(given);
  const content = writeContent(values, row);
  return {
    content,
    expansions: writeExpansions(expansions, content[content.length - 1]),
  };
}

/**
 * The characters of a call as far as they were received: one format specifier through the end of sequence, without the
 * error check, null where not received. A field whose place was not received may be missing altogether.
 *
 * @throws DotphaseError naming the field, its value and what was expected
 */
export function receivedCharacters(call: DecodedCall): Character[] {
  return write(call).content;
}

/** The characters that a call is sent with. */
export interface EncodedCall {
  /** One format specifier, the body, the end of sequence and the error check: 0–127, each character once. */
  readonly symbols: number[];
  /**
   * The expansion sequences that follow, each from its first specifier through its end of sequence and error check;
   * empty without expansions. Each expansion makes a sequence of its own unless it is `joined` to the one before.
   */
  readonly expansions: number[][];
}

/**
 * The characters of a call and of its expansions. A position goes out cut off to the minute; a `finePosition`
 * expansion carries the rest.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @throws DotphaseError naming the field, its value and what was expected
 */
export function encodeCall(call: Call): EncodedCall {
  const { content, expansions } = write(call);
  requireWhole(call, '');
  const received = (characters: readonly Character[]) => characters.filter((character) => character !== null);
  const symbols = received(content);
  return { symbols: [...symbols, errorCheck(symbols)], expansions: expansions.map(received) };
}

function readContent(content: readonly Character[]): Values {
  const readings = readTables(content);
  if (readings.length === 1) return readings[0].values;
  if (isWhole(content)) return { kind: 'unassignedCall', symbols: [...content] };
  const [first] = content;
  const format = first === null ? undefined : readField(FIELDS.format, [first]);
  return {
    kind: 'partialCall',
    symbols: [...content],
    ...(format !== undefined && { format }),
    ...agreedFields(readings),
  };
}

/** How characters are decoded. */
export interface DecodeOptions {
  /** Read the call although its error check, or that of an expansion, disagrees; default false. */
  ignoreErrorCheck?: boolean;
  /**
   * The expansion sequences that followed the call, each from its first specifier through its end of sequence and
   * error check; default none.
   */
  expansions?: readonly (readonly number[])[];
  /**
   * How certain each of `symbols` is, 0–1 in the same order. One below {@link LEAST_CERTAINTY} was not received: its
   * symbol is not read. Default: all are certain.
   */
  certainty?: readonly number[] | undefined;
}

/** The symbols of a call; throws a DotphaseError where they cannot be one. */
export function requireSequence(symbols: unknown): number[] {
  const all = requireSymbols(symbols, 'symbols');
  if (all.length < 3) {
    throw new DotphaseError('symbols', all, 'a format specifier, an end of sequence and an error check');
  }
  return all;
}

/**
 * The characters of a received call, null for one that is not certain enough to count as received.
 *
 * @param symbols - the likeliest symbols
 * @param certainty - how certain each is, 0–1; undefined where all are
 * @throws DotphaseError when `certainty` is not one number from 0 to 1 for each symbol
 */
export function certainCharacters(symbols: readonly number[], certainty: unknown): Character[] {
  if (certainty === undefined) return [...symbols];
  const isProbability = (value: unknown) => typeof value === 'number' && value >= 0 && value <= 1;
  if (
    !Array.isArray(certainty) ||
    certainty.length !== symbols.length ||
    !Array.from(certainty).every(isProbability)
  ) {
    throw new DotphaseError(
      'certainty',
      certainty,
      `${symbols.length} numbers from 0 to 1, one for each symbol`,
    );
  }
  return symbols.map((symbol, i) => (Number(certainty[i]) < LEAST_CERTAINTY ? null : symbol));
}

/**
 * The typed call that characters spell. What the tables do not assign is kept as {@link Unassigned} values,
 * surplus symbols as `rest`, a sequence that is built like a call but fits no row as an irregular call, and any
 * other as an {@link UnassignedCall}: encoding the result gives the same characters again.
 *
 * With `certainty`, a field with a character that was not received is {@link NotReceived}, and a call whose kind hangs
 * on such a character a {@link PartialCall}. The error check is then not applied: it says nothing about a call with
 * missing characters.
 *
 * @param symbols - one format specifier through the end of sequence and the error check, each once
 * @throws DotphaseError when there are fewer than three symbols, one lies outside 0–127, the error check disagrees, or
 *   `certainty` is not one number from 0 to 1 for each symbol
 */
export function decodeCall(
  symbols: readonly number[],
  options?: DecodeOptions & { certainty?: undefined },
): Call;
export function decodeCall(symbols: readonly number[], options: DecodeOptions): DecodedCall;
export function decodeCall(symbols: readonly number[], options: DecodeOptions = {}): DecodedCall {
  const all = requireSequence(symbols);
  const ignoreErrorCheck = options.ignoreErrorCheck ?? false;
  const characters = certainCharacters(all, options.certainty);
  const expected = errorCheck(all.slice(0, -1));
  const found = all[all.length - 1];
  if (!ignoreErrorCheck && isWhole(characters) && found !== expected) {
    throw new DotphaseError(
      'error check',
      found,
      `${expected}, the exclusive-or of the characters before it`,
    );
  }
  const content = characters.slice(0, -1);
  const values = readContent(content);
  if (options.expansions === undefined) return values as unknown as DecodedCall;
  const expansions = readExpansions(options.expansions, content[content.length - 1], ignoreErrorCheck);
  if (expansions.length === 0) return values as unknown as DecodedCall;
  return mergeFinePosition({ ...values, expansions }) as unknown as DecodedCall;
}
