/**
 * Characters against the call tables: which kinds of call they can be, and the value of each field. Characters may be
 * missing; where several kinds remain possible, none is chosen.
 */
import { FORMAT_CODES, type FormatName } from '../symbols/internal.js';
import { ADDRESS_FORMS, addressValue } from './address.js';
import {
  FIELDS,
  fieldOf,
  firstCharacters,
  isWhole,
  readCharacters,
  type CallFieldKind,
  type Field,
  type ReceivedField,
} from './fields/index.js';
import { CALL_TABLE, IRREGULAR_ROWS, TELECOMMANDS_OF_OTHER_KINDS, type CallRow, type Slot } from './table.js';
import type { RowKind } from './types.js';
import { isNotReceived, type Character } from './values.js';

/** A record of a call's properties. */
export type Values = Record<string, unknown>;

/** A field of a call as it stands among the characters. */
export interface Piece {
  readonly slot: Slot;
  /** Null where not received. */
  readonly characters: readonly Character[];
  readonly value: unknown;
}

/** Characters read as a call of one row. */
export interface Reading {
  readonly row: CallRow<RowKind>;
  readonly format: FormatName;
  /** The fields from the address on, in the order they are sent, without the end of sequence. */
  readonly pieces: readonly Piece[];
  /** The properties of the typed call. */
  readonly values: Values;
  /** Whether the characters are of this row whatever the missing ones were. */
  readonly isSure: boolean;
}

/** Constant characters of one kind, read as the free fields they are in other kinds. */
const CONSTANTS: Readonly<Record<string, { name: string; kind: CallFieldKind }>> = {
  category: { name: 'category', kind: 'category' },
  'first telecommand': { name: 'telecommand1', kind: 'telecommand1' },
  'second telecommand': { name: 'telecommand2', kind: 'telecommand2' },
  'no message': { name: 'message', kind: 'message' },
};

/** The value of a field among the characters from it on, and how many it takes; undefined where they run out. */
function readSlot(field: Field, left: readonly Character[], isEndKnown: boolean): ReceivedField | undefined {
  if (field.readReceived) return field.readReceived(left, isEndKnown);
  const { length = 0 } = field;
  if (isEndKnown && length > left.length) return undefined;
  return { value: readCharacters(field, firstCharacters(left, length)), length };
}

/** The characters read as a call of a row with a format; undefined where they cannot be one. */
function readRow(
  row: CallRow<RowKind>,
  format: FormatName,
  characters: readonly Character[],
): Reading | undefined {
  const body = characters.slice(1, -1);
  const end = characters[characters.length - 1];
  const values: Values = { kind: row.kind };
  const pieces: Piece[] = [];
  let isSure = characters[0] !== null;
  /** Where the next field begins; undefined where that was not received. */
  let at: number | undefined = 0;
  const { kind } = ADDRESS_FORMS[format];
  const slots = [...(kind ? [{ name: 'to', label: 'address', kind }] : []), ...row.slots];
  for (const slot of slots) {
    const read: ReceivedField | undefined =
      at === undefined
        ? { value: { notReceived: [] }, length: undefined }
        : readSlot(fieldOf(slot), body.slice(at), end !== null);
    if (!read) return undefined;
    const start: number = at ?? body.length;
    at = read.length === undefined ? undefined : start + read.length;
    const taken = body.slice(start, at);
    pieces.push({ slot, characters: taken, value: read.value });
    if (slot.name === undefined) {
      const wanted = slot.constant ?? [];
      if (taken.some((character, i) => character !== null && character !== wanted[i])) return undefined;
      isSure &&= isWhole(taken) && taken.length === wanted.length;
    } else if (slot.name in values) {
      const first = pieces.find((piece) => piece.slot.name === slot.name)?.characters ?? [];
      if (taken.some((character, i) => character !== null && (first[i] ?? character) !== character))
        return undefined;
      isSure &&= !isNotReceived(read.value) && !isNotReceived(values[slot.name]);
    } else values[slot.name] = read.value;
  }
  const to = addressValue(row.formats, format, values.to);
  if (to !== undefined) values.to = to;
  if (row.accepts?.(values) === false) return undefined;
  const rest = at === undefined ? [] : body.slice(at);
  if (rest.length > 0) {
    if (!isWhole(rest) || end === null) return undefined;
    values.rest = rest;
  }
  const eos = readCharacters(FIELDS.eos, [end]);
  if (eos !== row.eos(format)) {
    if (row.eosDecides && end !== null) return undefined;
    values.eos = eos;
  }
  if (end === null && row.eosDecides) isSure = false;
  return { row, format, pieces, values, isSure };
}

/** Whether what was received keeps to the tables: the row's end of sequence, and no telecommand of another kind. */
function isRegular({ values }: Reading): boolean {
  const isOther = TELECOMMANDS_OF_OTHER_KINDS.some((name) => name === values.telecommand1);
  return !isOther && (values.eos === undefined || isNotReceived(values.eos));
}

/** The readings that pass a test, or all of them where none does. */
function preferred(readings: readonly Reading[], isSo: (reading: Reading) => boolean): readonly Reading[] {
  const so = readings.filter(isSo);
  return so.length > 0 ? so : readings;
}

/**
 * The possible readings of characters: one where their kind is known, none where they fit no kind.
 *
 * @param characters - one format specifier through the end of sequence, null where not received
 */
export function readTables(characters: readonly Character[]): Reading[] {
  const [first] = characters;
  const formats =
    first === null ? FORMAT_CODES.words : [FORMAT_CODES.bySymbol(first)].filter((word) => word !== undefined);
  for (const rows of [CALL_TABLE, IRREGULAR_ROWS]) {
    const readings = rows.flatMap((row) =>
      formats
        .filter(({ name }) => row.formats.includes(name))
        .map(({ name }) => readRow(row, name, characters))
        .filter((reading) => reading !== undefined),
    );
    const best = preferred(
      preferred(readings, ({ values }) => !('rest' in values)),
      (reading) => isWhole(characters) || isRegular(reading),
    );
    // Where two rows fit, the earlier one is meant.
    const sure = best.findIndex(({ isSure }) => isSure);
    if (best.length > 0) return sure < 0 ? [...best] : best.slice(0, sure + 1);
  }
  return [];
}

/** The fields of a reading by name: those of the typed call, and those that are constant in its kind. */
function namedFields({ row, format, pieces, values }: Reading): Map<string, unknown> {
  const named = new Map<string, unknown>();
  for (const { slot, value, characters } of pieces) {
    const constant = CONSTANTS[slot.label] as (typeof CONSTANTS)[string] | undefined;
    if (slot.name === undefined) {
      if (constant) named.set(constant.name, readCharacters(FIELDS[constant.kind], characters));
    } else if (slot.name === 'to') named.set('to', addressValue(['area', format], format, value));
    // A cancellation holds its sender twice, the second time where an acknowledgement has the casualty.
    else named.set(named.has(slot.name) ? 'casualty' : slot.name, value);
  }
  if (format === 'allShips') named.set('to', 'allShips');
  named.set('eos', values.eos ?? row.eos(format));
  return named;
}

/** Whether anything of a field was received. */
function saysSomething(value: unknown): boolean {
  if (isNotReceived(value)) return value.notReceived.some((character) => character !== null);
  if (typeof value !== 'object' || value === null) return true;
  return Object.values(value).some(saysSomething);
}

/** The fields of which something was received and on which all readings agree. */
export function agreedFields(readings: readonly Reading[]): Values {
  const [first, ...others] = readings.map(namedFields);
  const agreed = [...((first as typeof first | undefined) ?? [])].filter(
    ([name, value]) =>
      saysSomething(value) &&
      others.every((other) => other.has(name) && JSON.stringify(other.get(name)) === JSON.stringify(value)),
  );
  return Object.fromEntries(agreed);
}
