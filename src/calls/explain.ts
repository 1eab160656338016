/**
 * The meaning of each character of a call, from the call table (ITU-R M.493 Annex 1 §4–§10 and
 * Tables A1-4.1 to A1-4.10, from memory).
 */
import {
  CATEGORIES,
  FIRST_TELECOMMANDS,
  NO_INFORMATION,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../symbols/index.js';
import { addressField } from './address.js';
import { certainCharacters, requireSequence } from './codec.js';
import { errorCheck } from '../symbols/index.js';
import { EXPANSION_TABLE, EXPANSION_TEXTS } from './expansions/index.js';
import { FIELDS, isWhole, readCharacters, type Content, type FieldKind } from './fields/index.js';
import { describeField, phraseOf, receivedDigits } from './phrases/index.js';
import { readTables, type Piece, type Reading } from './reading.js';
import { CALL_TABLE } from './table.js';
import type { TableKind } from './types.js';
import type { Character } from './values.js';

/**
 * One field of a call as it stands in the sequence.
 *
 * @typeParam C - `number` where every character was received
 */
export interface ExplainedField<C extends Character = Character> {
  /** The property of the typed call that holds the field, or `format`, `category` and the like where none does. */
  readonly field: string;
  /** The field's name for people, for example `end of sequence`. */
  readonly label: string;
  /** The field's characters, 0–127, null where not received. */
  readonly symbols: readonly C[];
  /**
   * The digits they carry, grouped as the field reads them, for example `1 50 30 004 12`, `?` for one that was not
   * received; only for digit fields.
   */
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

/** The constant characters of a kind of call, in the order of the tables, with their labels and words. */
const CONSTANTS: readonly { field: string; words?: Vocabulary }[] = [
  { field: 'category', words: CATEGORIES },
  { field: 'telecommand1', words: FIRST_TELECOMMANDS },
  { field: 'telecommand2', words: SECOND_TELECOMMANDS },
  { field: 'message' },
];

const DIGIT_GROUPS: Readonly<Partial<Record<FieldKind, readonly number[]>>> = {
  identity: [9, 1],
  casualty: [9, 1],
  position: [1, 2, 2, 3, 2],
  area: [1, 2, 3, 2, 2],
};

function groupedDigits({ kind }: Content, characters: readonly Character[]): string | undefined {
  const groups = DIGIT_GROUPS[kind];
  const digits = receivedDigits(characters);
  if (!groups || digits === undefined) return undefined;
  let at = 0;
  return groups.map((length) => digits.slice(at, (at += length))).join(' ');
}

function sayConstant(index: number, characters: readonly Character[]): string {
  if (!isWhole(characters)) return describeField(phraseOf(FIELDS.format), { notReceived: [...characters] });
  const word = CONSTANTS[index].words?.bySymbol(characters[0]);
  if (word) return word.text;
  return characters[0] === NO_INFORMATION ? 'no information' : 'a position follows';
}

function explain(
  name: string,
  symbols: readonly Character[],
  field: Content,
  value: unknown,
): ExplainedField {
  const digits = groupedDigits(field, symbols);
  return {
    field: name,
    label: LABELS[name] ?? name,
    symbols,
    ...(digits !== undefined && { digits }),
    meaning: describeField(phraseOf(field), value),
  };
}

/** The format specifier or the end of sequence. */
function explainWord(name: 'format' | 'eos', symbols: readonly Character[]): ExplainedField {
  const field = FIELDS[name];
  return explain(name, symbols, field, readCharacters(field, symbols));
}

/** The fields that stand at the same place in all readings, from the address on. */
function commonPieces([first, ...others]: readonly Reading[]): readonly Piece[] {
  const end = first.pieces.findIndex(
    ({ slot, characters }, i) =>
      !others.every(({ pieces }) => {
        const other = pieces.at(i);
        return other?.slot.label === slot.label && other.characters.length === characters.length;
      }),
  );
  return end < 0 ? first.pieces : first.pieces.slice(0, end);
}

function explainPieces(pieces: readonly Piece[]): ExplainedField[] {
  const fields: ExplainedField[] = [];
  let constants = 0;
  for (const { slot, characters, value } of pieces) {
    if (slot.name !== undefined) {
      const said = fields.some(({ field }) => field === slot.name);
      const explained = explain(slot.name, characters, slot, value);
      fields.push(said ? { ...explained, label: `${explained.label} again` } : explained);
    } else {
      const { field } = CONSTANTS[constants];
      const meaning = sayConstant(constants, characters);
      fields.push({ field, label: LABELS[field] ?? field, symbols: characters, meaning });
      constants++;
    }
  }
  return fields.filter(({ symbols }) => symbols.length > 0);
}

/** The characters between the format specifier and the end of sequence. */
function explainBody(content: readonly Character[]): ExplainedField[] {
  const body = content.slice(1, -1);
  const readings = readTables(content);
  const pieces = readings.length > 0 ? explainPieces(commonPieces(readings)) : [];
  const rest = body.slice(pieces.reduce((sum, { symbols }) => sum + symbols.length, 0));
  if (rest.length === 0) return pieces;
  const left =
    readings.length === 1
      ? { field: 'rest', label: LABELS.rest, meaning: 'not in the tables for this call' }
      : readings.length === 0
        ? { field: 'symbols', label: 'unassigned', meaning: 'fits no kind of call' }
        : { field: 'symbols', label: 'not known', meaning: 'which fields these are was not received' };
  return [...pieces, { ...left, symbols: rest }];
}

function sayErrorCheck(symbols: readonly number[], characters: readonly Character[]): string {
  const check = errorCheck(symbols.slice(0, -1));
  const found = characters[characters.length - 1];
  const missing = characters.filter((character) => character === null).length;
  if (found === null) return 'not received';
  if (missing > 0) {
    return `can't be checked: ${missing} ${missing === 1 ? 'character' : 'characters'} before it not received`;
  }
  return found === check ? 'exclusive-or of the characters before it' : `disagrees: ${check} was expected`;
}

/**
 * The fields of a call in the order they are sent, each with its characters and their meaning. Together the characters
 * are `symbols`, with null for those that were not received.
 *
 * @param symbols - one format specifier through the end of sequence and the error check, each once; the error
 *   check may disagree
 * @param certainty - how certain each of `symbols` is, 0–1; default: all are certain
 * @throws DotphaseError when there are fewer than three symbols, one lies outside 0–127, or `certainty` is not one number
 *   from 0 to 1 for each
 */
export function explainFields(symbols: readonly number[], certainty?: undefined): ExplainedField<number>[];
export function explainFields(
  symbols: readonly number[],
  certainty: readonly number[] | undefined,
): ExplainedField[];
export function explainFields(symbols: readonly number[], certainty?: readonly number[]): ExplainedField[] {
  const all = requireSequence(symbols);
  const characters = certainCharacters(all, certainty);
  const content = characters.slice(0, -1);
  return [
    { ...explainWord('format', content.slice(0, 1)), label: 'format specifier' },
    ...explainBody(content),
    { ...explainWord('eos', content.slice(-1)), label: 'end of sequence' },
    {
      field: 'errorCheck',
      label: 'error check',
      symbols: characters.slice(-1),
      meaning: sayErrorCheck(all, characters),
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
  const row = EXPANSION_TABLE.find(({ specifier }) => specifier === symbols[0]);
  return row ? EXPANSION_TEXTS[row.kind].text : 'unassigned expansion';
}

/** Every kind of call that the tables hold, in their order. */
export const CALL_KINDS: readonly TableKind[] = CALL_TABLE.map((row) => row.kind);

/** The properties that a typed call of a kind must have apart from `kind`, in the order they are sent. */
export function callFields(kind: TableKind): string[] {
  const row = CALL_TABLE.find((candidate) => candidate.kind === kind);
  if (!row) return [];
  const isAddressed = row.formats.length > 1 || row.formats.some((format) => addressField(format));
  const names = row.slots.flatMap((slot) => slot.name ?? []);
  return [...new Set([...(isAddressed ? ['to'] : []), ...names])];
}
