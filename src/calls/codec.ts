/**
 * Calls to characters and back, driven by the call table.
 */
import { DotphaseError } from '../errors.js';
import { FORMATS, type FormatName } from '../symbols/index.js';
import { addressField, addressValue, describeAddress, writeAddress } from './address.js';
import { errorCheck } from './errorcheck.js';
import { describeField, readField, requireSymbols, writeField } from './fields.js';
import { CALL_TABLE, eosField, type CallRow, type Slot } from './table.js';
import type { Call } from './types.js';
import { isUnassigned } from './values.js';

type Values = Record<string, unknown>;

/** The row of a call's kind, or undefined for an unassigned call. */
function rowOf(call: unknown): CallRow | undefined {
  const kind = typeof call === 'object' && call !== null ? (call as Values).kind : call;
  if (kind === 'unassignedCall') return undefined;
  const row = CALL_TABLE.find((candidate) => candidate.kind === kind);
  if (!row) {
    const kinds = CALL_TABLE.map((candidate) => candidate.kind).join(', ');
    throw new DotphaseError('kind', kind, `one of ${kinds}, unassignedCall`);
  }
  return row;
}

function refuseStrangers(values: Values, row: CallRow): void {
  const known = new Set(['kind', 'to', 'eos', 'rest', ...row.slots.map((slot) => slot.name)]);
  for (const name of Object.keys(values)) {
    if (!known.has(name)) throw new DotphaseError(name, values[name], `no such field in a ${row.kind}`);
  }
}

function writeSlot(slot: Slot, values: Values): number[] {
  if (slot.name === undefined) return slot.field.write(undefined, '');
  return writeField(slot.field, values[slot.name], slot.name);
}

/**
 * The characters of a call: one format specifier, the body, the end of sequence and the error check.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @returns symbol numbers 0–127, each character once
 * @throws DotphaseError naming the field, its value and what was expected
 */
export function encodeCall(call: Call): number[] {
  const values = call as unknown as Values;
  const row = rowOf(call);
  if (!row) {
    const symbols = requireSymbols(values.symbols, 'symbols');
    if (symbols.length < 2)
      throw new DotphaseError('symbols', symbols, 'a format specifier and an end of sequence');
    return [...symbols, errorCheck(symbols)];
  }
  refuseStrangers(values, row);
  const address = writeAddress(values.to, row.formats);
  const symbols = [
    FORMATS.words.find((word) => word.name === address.format)?.symbol ?? 0,
    ...address.symbols,
    ...row.slots.flatMap((slot) => writeSlot(slot, values)),
    ...(values.rest === undefined ? [] : requireSymbols(values.rest, 'rest')),
    ...writeField(eosField, values.eos ?? row.eos(address.format), 'eos'),
  ];
  return [...symbols, errorCheck(symbols)];
}

/** What reading a row off the symbols gave, or undefined where a constant disagrees or symbols run out. */
function readRow(row: CallRow, format: FormatName, symbols: readonly number[]): Values | undefined {
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
  if (address && !take({ name: 'to', field: address })) return undefined;
  const to = addressValue(format, values.to);
  if (to !== undefined) values.to = to;
  if (!row.slots.every(take)) return undefined;
  if (at < body.length) values.rest = body.slice(at);
  const eos = readField(eosField, symbols.slice(-1));
  if (eos !== row.eos(format)) {
    if (row.eosDecides) return undefined;
    values.eos = eos;
  }
  return values;
}

/** How a sequence's error check is treated when it is decoded. */
export interface DecodeOptions {
  /** Read the call although its error check disagrees; default false. */
  ignoreErrorCheck?: boolean;
}

/**
 * The typed call that characters spell. What the tables do not assign is kept as {@link Unassigned} values,
 * surplus symbols as `rest`, and a sequence that fits no row as an {@link UnassignedCall}: encoding the
 * result gives the same characters again.
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
  const content = all.slice(0, -1);
  const expected = errorCheck(content);
  const found = all[all.length - 1];
  if (!options.ignoreErrorCheck && found !== expected) {
    throw new DotphaseError(
      'error check',
      found,
      `${expected}, the exclusive-or of the characters before it`,
    );
  }
  const format = FORMATS.bySymbol(content[0])?.name;
  if (format) {
    const readings = CALL_TABLE.filter((row) => row.formats.includes(format))
      .map((row) => readRow(row, format, content))
      .filter((reading) => reading !== undefined);
    const best = readings.find((reading) => !('rest' in reading)) ?? readings.at(0);
    if (best) return best as unknown as Call;
  }
  return { kind: 'unassignedCall', symbols: content };
}

function say(row: CallRow, values: Values, name: string): string {
  if (name === 'to') return describeAddress(values.to);
  if (name === 'telecommands') return sayTelecommands(row, values);
  const slot = row.slots.find((candidate) => candidate.name === name);
  const value = values[name];
  const phrase = slot ? describeField(slot.field, value) : '';
  const isDistress = row.slots.some((candidate) => candidate.name === 'nature');
  if (!isDistress || isUnassigned(value)) return phrase;
  if (name === 'position') return value === 'none' ? phrase : `at ${phrase}`;
  if (name === 'time') return value === 'none' ? phrase : `position valid ${phrase}`;
  if (name === 'followOn') return sayFollowOn(value, phrase);
  return phrase;
}

function sayFollowOn(value: unknown, phrase: string): string {
  switch (value) {
    case 'j3e':
      return 'voice follows on J3E';
    case 'f3e':
      return 'voice follows on F3E or G3E';
    case 'none':
      return 'no follow-on communication named';
    default:
      return `${phrase} follows`;
  }
}

function sayTelecommands(row: CallRow, values: Values): string {
  const phrase = (name: string) => {
    const slot = row.slots.find((candidate) => candidate.name === name);
    return slot ? describeField(slot.field, values[name]) : '';
  };
  const first = values.telecommand1 === 'none' ? 'no telecommand' : phrase('telecommand1');
  return values.telecommand2 === 'none' ? first : `${first}, ${phrase('telecommand2')}`;
}

/**
 * A call in a full English sentence, for people.
 *
 * @throws DotphaseError when the call's kind is unknown or a field cannot be read
 */
export function describeCall(call: Call): string {
  const values = call as unknown as Values;
  const row = rowOf(call);
  if (!row) {
    return `Unassigned call: characters ${requireSymbols(values.symbols, 'symbols').join(' ')}.`;
  }
  encodeCall(call);
  const text = row.text((name) => say(row, values, name));
  const extras = [
    values.rest === undefined ? '' : ` Surplus characters: ${(values.rest as number[]).join(' ')}.`,
    values.eos === undefined ? '' : ` End of sequence: ${describeField(eosField, values.eos)}.`,
  ];
  return text + extras.join('');
}
