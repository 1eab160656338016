/**
 * Which characters of a call are lost on purpose.
 */
import { encodeCall, explainFields, type ExplainedField } from '../calls/index.js';
import type { CallPlan } from './plan.js';

/** A field as it was sent, and the numbers of its characters. */
export interface FieldInCall extends ExplainedField<number> {
  readonly characters: readonly number[];
}

/** The fields of a call in order. */
export function fieldsOf(symbols: readonly number[]): FieldInCall[] {
  let at = 0;
  return explainFields(symbols).map((field) => {
    const first = at;
    at += field.symbols.length;
    return { ...field, characters: field.symbols.map((_, i) => first + i) };
  });
}

/** Characters that are lost of a damaged field. */
const LOST_CHARACTERS = 2;

/**
 * The characters that a damaged call loses, by their number from one format specifier on: of each field the two in its
 * middle, the third and fourth of five; of a field of one character, that one and the error check.
 */
export function lostCharacters({ call, damaged = [] }: CallPlan): number[] {
  if (damaged.length === 0) return [];
  const symbols = encodeCall(call).symbols;
  const fields = fieldsOf(symbols);
  const lost = damaged.flatMap((name) => {
    const { characters } = fields.find(({ field }) => field === name) ?? { characters: [] };
    const count = Math.min(LOST_CHARACTERS, characters.length);
    const from = Math.ceil((characters.length - count) / 2);
    return characters.slice(from, from + count);
  });
  return lost.length === 1 ? [...lost, symbols.length - 1] : lost;
}
