/**
 * Calls to characters and back, driven by the call table.
 */
import { DotphaseError } from '../errors.js';
import { FORMATS, type FormatName } from '../symbols/index.js';
import { addressField, addressValue, writeAddress } from './address.js';
import { errorCheck } from './errorcheck.js';
import { mergeFinePosition, readExpansions, splitFinePosition, writeExpansions } from './expansions/index.js';
import { readField, requireSymbols, writeField } from './fields/index.js';
import { CALL_TABLE, IRREGULAR_ROWS, eosField, rowOfKind, type CallRow, type Slot } from './table.js';
import type { Call, CallKind } from './types.js';

type Values = Record<string, unknown>;

/** A call as a record of its properties; a DotphaseError unless it is an object of a known kind. */
export function requireCall(call: unknown): { values: Values; row: CallRow<CallKind> | undefined } {
  if (typeof call !== 'object' || call === null) {
    throw new DotphaseError('call', call, 'a call with its kind');
  }
  const values = call as Values;
  const row = rowOfKind(values.kind);
  if (!row && values.kind !== 'unassignedCall') {
    const kinds = CALL_TABLE.map((candidate) => candidate.kind).join(', ');
    throw new DotphaseError('kind', values.kind, `one of ${kinds}, unassignedCall`);
  }
  const known = row ? ['to', 'eos', 'rest', ...row.slots.map((slot) => slot.name)] : ['symbols'];
  for (const name of Object.keys(values)) {
    if (!['kind', 'expansions', ...known].includes(name) && values[name] !== undefined) {
      throw new DotphaseError(name, values[name], `no such field in a ${String(values.kind)}`);
    }
  }
  return { values, row };
}

function writeSlot(slot: Slot, values: Values): number[] {
  if (slot.name === undefined) return slot.field.write(undefined, '');
  return writeField(slot.field, values[slot.name], slot.name);
}

/** A call's characters without the error check. */
function writeContent(values: Values, row: CallRow<CallKind> | undefined): number[] {
  if (!row) {
    const symbols = requireSymbols(values.symbols, 'symbols');
    if (symbols.length < 2) {
      throw new DotphaseError('symbols', symbols, 'a format specifier and an end of sequence');
    }
    return symbols;
  }
  const address = writeAddress(values.to, row.formats);
  return [
    FORMATS.byName(address.format)?.symbol ?? 0,
    ...address.symbols,
    ...row.slots.flatMap((slot) => writeSlot(slot, values)),
    ...(values.rest === undefined ? [] : requireSymbols(values.rest, 'rest')),
    ...writeField(eosField, values.eos === undefined ? row.eos(address.format) : values.eos, 'eos'),
  ];
}

function encode(call: unknown): { symbols: number[]; expansions: number[][] } {
  const { values: given, row } = requireCall(call);
  const { values, expansions } = splitFinePosition(given);
  const content = writeContent(values, row);
  return {
    symbols: [...content, errorCheck(content)],
    expansions: writeExpansions(expansions, { field: eosField, symbol: content[content.length - 1] }),
  };
}

/**
 * The characters of a call: one format specifier, the body, the end of sequence and the error check. What the
 * call's expansions add stands in {@link encodeExpansions}. A position goes out rounded to the minute, or cut off
 * to it where a `finePosition` expansion carries the rest.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @returns symbol numbers 0–127, each character once
 * @throws DotphaseError naming the field, its value and what was expected
 */
export function encodeCall(call: Call): number[] {
  return encode(call).symbols;
}

/**
 * The expansion sequences that follow a call, for the `expansions` option of framing: each from its first specifier
 * through its end of sequence and error check. Each expansion makes a sequence of its own unless it is `joined` to
 * the one before.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @returns a list for each sequence, of symbol numbers 0–127, each character once; empty without expansions
 * @throws DotphaseError naming the field, its value and what was expected
 */
export function encodeExpansions(call: Call): number[][] {
  return encode(call).expansions;
}

/** What reading a row off the symbols gave, or undefined where a constant disagrees or symbols run out. */
function readRow(row: CallRow<CallKind>, format: FormatName, symbols: readonly number[]): Values | undefined {
  const values: Values = { kind: row.kind };
  const body = symbols.slice(0, -1);
  let at = 1;
  const take = (slot: Slot): boolean => {
    const length = slot.field.lengthAt(body, at);
    if (at + length > body.length) return false;
    const piece = body.slice(at, at + length);
    at += length;
    if (slot.name === undefined)
      return slot.field.write(undefined, '').every((symbol, i) => symbol === piece[i]);
    const value = readField(slot.field, piece);
    if (slot.name in values) return JSON.stringify(values[slot.name]) === JSON.stringify(value);
    values[slot.name] = value;
    return true;
  };
  const address = addressField(format);
  if (address && !take({ name: 'to', label: 'address', field: address })) return undefined;
  const to = addressValue(row.formats, format, values.to);
  if (to !== undefined) values.to = to;
  if (!row.slots.every(take)) return undefined;
  if (row.accepts?.(values) === false) return undefined;
  if (at < body.length) values.rest = body.slice(at);
  const eos = readField(eosField, symbols.slice(-1));
  if (eos !== row.eos(format)) {
    if (row.eosDecides) return undefined;
    values.eos = eos;
  }
  return values;
}

function readContent(content: readonly number[]): Values {
  const format = FORMATS.bySymbol(content[0])?.name;
  if (format) {
    for (const rows of [CALL_TABLE, IRREGULAR_ROWS]) {
      const readings = rows
        .filter((row) => row.formats.includes(format))
        .map((row) => readRow(row, format, content))
        .filter((reading) => reading !== undefined);
      const best = readings.find((reading) => !('rest' in reading)) ?? readings.at(0);
      if (best) return best;
    }
  }
  return { kind: 'unassignedCall', symbols: [...content] };
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
}

/**
 * The typed call that characters spell. What the tables do not assign is kept as {@link Unassigned} values,
 * surplus symbols as `rest`, a sequence that only has the build of a call as one of the irregular calls, and any
 * other as an {@link UnassignedCall}: encoding the result gives the same characters again.
 *
 * @param symbols - one format specifier through the end of sequence and the error check, each once
 * @throws DotphaseError when there are fewer than three symbols, one lies outside 0–127, or the error check
 *   disagrees
 */
export function decodeCall(symbols: readonly number[], options: DecodeOptions = {}): Call {
  const all = requireSymbols(symbols, 'symbols');
  if (all.length < 3) {
    throw new DotphaseError('symbols', all, 'a format specifier, an end of sequence and an error check');
  }
  const ignoreErrorCheck = options.ignoreErrorCheck ?? false;
  const content = all.slice(0, -1);
  const expected = errorCheck(content);
  const found = all[all.length - 1];
  if (!ignoreErrorCheck && found !== expected) {
    throw new DotphaseError(
      'error check',
      found,
      `${expected}, the exclusive-or of the characters before it`,
    );
  }
  const values = readContent(content);
  if (options.expansions === undefined) return values as unknown as Call;
  const end = { field: eosField, symbol: content[content.length - 1] };
  const expansions = readExpansions(options.expansions, end, ignoreErrorCheck);
  if (expansions.length === 0) return values as unknown as Call;
  return mergeFinePosition({ ...values, expansions }) as unknown as Call;
}
