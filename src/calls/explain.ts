/**
 * What each character of a call is, for people: the call table read out (ITU-R M.493 Annex 1 §4–§10 and
 * Tables A1-4.1 to A1-4.10, from memory).
 */
import {
  CATEGORIES,
  FIRST_TELECOMMANDS,
  FORMATS,
  NO_INFORMATION,
  SECOND_TELECOMMANDS,
  symbolsToDigits,
  type Vocabulary,
} from '../symbols/index.js';
import { addressField } from './address.js';
import { decodeCall } from './codec.js';
import { errorCheck } from './errorcheck.js';
import { EXPANSION_TABLE } from './expansions/index.js';
import {
  areaField,
  casualtyField,
  describeField,
  identityField,
  positionField,
  readField,
  type Field,
} from './fields/index.js';
import { CALL_TABLE, eosField, rowOfKind, type CallRow } from './table.js';
import type { CallKind, TableKind } from './types.js';

/** One field of a call as it stands in the sequence. */
export interface ExplainedField {
  /** The property of the typed call that holds the field, or `format`, `category` and the like where none does. */
  readonly field: string;
  /** The field's name for people, for example `end of sequence`. */
  readonly label: string;
  /** The field's characters, 0–127. */
  readonly symbols: readonly number[];
  /** The digits they carry, grouped as the field reads them, for example `1 50 30 004 12`; only for digit fields. */
  readonly digits?: string;
  /** What the characters say, as a phrase. */
  readonly meaning: string;
}

const LABELS: Readonly<Record<string, string>> = {
  to: 'address',
  self: 'self-ID',
  telecommand1: 'telecommand 1',
  telecommand2: 'telecommand 2',
  followOn: 'follow-on',
  rest: 'surplus',
};

/** What the characters that a kind of call always has are, in the order of the tables, and their words. */
const CONSTANTS: readonly { field: string; words?: Vocabulary }[] = [
  { field: 'category', words: CATEGORIES },
  { field: 'telecommand1', words: FIRST_TELECOMMANDS },
  { field: 'telecommand2', words: SECOND_TELECOMMANDS },
  { field: 'message' },
];

const DIGIT_GROUPS: readonly (readonly [Field, readonly number[]])[] = [
  [identityField, [9, 1]],
  [casualtyField, [9, 1]],
  [positionField, [1, 2, 2, 3, 2]],
  [areaField, [1, 2, 3, 2, 2]],
];

function groupedDigits(field: Field, symbols: readonly number[]): string | undefined {
  const groups = DIGIT_GROUPS.find(([candidate]) => candidate === field)?.[1];
  const digits = symbolsToDigits(symbols);
  if (!groups || digits === undefined) return undefined;
  let at = 0;
  return groups.map((length) => digits.slice(at, (at += length))).join(' ');
}

function sayConstant(index: number, symbols: readonly number[]): string {
  const word = CONSTANTS[index].words?.bySymbol(symbols[0]);
  if (word) return word.text;
  return symbols[0] === NO_INFORMATION ? 'no information' : 'a position follows';
}

function explain(name: string, symbols: readonly number[], field: Field): ExplainedField {
  const digits = groupedDigits(field, symbols);
  return {
    field: name,
    label: LABELS[name] ?? name,
    symbols,
    ...(digits !== undefined && { digits }),
    meaning: describeField(field, readField(field, symbols)),
  };
}

function explainBody(row: CallRow<CallKind>, content: readonly number[]): ExplainedField[] {
  const body = content.slice(0, -1);
  const format = FORMATS.bySymbol(content[0])?.name;
  const address = format && addressField(format);
  const fields: ExplainedField[] = [];
  let at = 1;
  let constants = 0;
  for (const slot of [...(address ? [{ name: 'to', field: address }] : []), ...row.slots]) {
    const symbols = body.slice(at, at + slot.field.lengthAt(body, at));
    at += symbols.length;
    if (slot.name !== undefined) {
      const said = fields.some(({ field }) => field === slot.name);
      const explained = explain(slot.name, symbols, slot.field);
      fields.push(said ? { ...explained, label: `${explained.label} again` } : explained);
    } else {
      const { field } = CONSTANTS[constants];
      const meaning = sayConstant(constants, symbols);
      fields.push({ field, label: LABELS[field] ?? field, symbols, meaning });
      constants++;
    }
  }
  if (at < body.length) {
    const symbols = body.slice(at);
    fields.push({ field: 'rest', label: LABELS.rest, symbols, meaning: 'not in the tables for this call' });
  }
  return fields;
}

/**
 * The fields of a call in the order they are sent, each with its characters and what they say. All characters
 * together are `symbols` again.
 *
 * @param symbols - one format specifier through the end of sequence and the error check, each once; the error
 *   check may disagree
 * @throws DotphaseError when there are fewer than three symbols or one lies outside 0–127
 */
export function explainFields(symbols: readonly number[]): ExplainedField[] {
  const { kind } = decodeCall(symbols, { ignoreErrorCheck: true });
  const content = symbols.slice(0, -1);
  const row = rowOfKind(kind);
  const body = content.slice(1, -1);
  const unknown = { field: 'symbols', label: 'unassigned', symbols: body, meaning: 'fits no kind of call' };
  const check = errorCheck(content);
  const found = symbols[symbols.length - 1];
  return [
    {
      field: 'format',
      label: 'format specifier',
      symbols: content.slice(0, 1),
      meaning: FORMATS.bySymbol(content[0])?.text ?? `unassigned (${content[0]})`,
    },
    ...(row ? explainBody(row, content) : body.length > 0 ? [unknown] : []),
    { ...explain('eos', content.slice(-1), eosField), label: 'end of sequence' },
    {
      field: 'errorCheck',
      label: 'error check',
      symbols: [found],
      meaning:
        found === check ? 'exclusive-or of the characters before it' : `disagrees: ${check} was expected`,
    },
  ];
}

/**
 * What an expansion sequence is about, by its first specifier (M.821-1 §2, from memory), for example
 * `persons on board`.
 *
 * @param symbols - the sequence from its specifier through its error check
 */
export function nameExpansion(symbols: readonly number[]): string {
  return EXPANSION_TABLE.find((row) => row.specifier === symbols[0])?.text ?? 'unassigned expansion';
}

/** Every kind of call that the tables hold, in their order. */
export const CALL_KINDS: readonly TableKind[] = CALL_TABLE.map((row) => row.kind);

/** The properties that a typed call of a kind must have besides `kind`, in the order they are sent. */
export function callFields(kind: TableKind): string[] {
  const row = CALL_TABLE.find((candidate) => candidate.kind === kind);
  if (!row) return [];
  const isAddressed = row.formats.length > 1 || row.formats.some((format) => addressField(format));
  const names = row.slots.flatMap((slot) => slot.name ?? []);
  return [...new Set([...(isAddressed ? ['to'] : []), ...names])];
}
