/**
 * Values of fields to characters: what every field has in common.
 */
import { DotphaseError, requireRecord } from '../../errors.js';
import type { Codes } from '../../symbols/internal.js';
import { isNotReceived, isUnassigned, type Character } from '../values.js';
import { fixedLength, isSymbol, requireSymbols, type FieldWriter } from './field.js';

/** A list of characters, null where missing; throws a DotphaseError unless `value` is one. */
export function requireCharacters(value: unknown, path: string): Character[] {
  if (!Array.isArray(value) || !Array.from(value).every((item) => item === null || isSymbol(item))) {
    throw new DotphaseError(path, value, 'a list of symbols from 0 to 127, null where not received');
  }
  return [...(value as Character[])];
}

/** Writes a field's value, its unassigned symbols or its received characters. */
export function writeWith(writer: FieldWriter, value: unknown, path: string): Character[] {
  if (isNotReceived(value)) {
    requireRecord(value, path, ['notReceived'], '{ notReceived } alone');
    return requireCharacters(value.notReceived, `${path}.notReceived`);
  }
  if (isUnassigned(value)) {
    requireRecord(value, path, ['unassigned'], '{ unassigned } alone');
    const symbols = requireSymbols(value.unassigned, `${path}.unassigned`);
    if (writer.lengthAt(symbols, 0) !== symbols.length) {
      throw new DotphaseError(`${path}.unassigned`, symbols, 'as many symbols as the field holds');
    }
    return symbols;
  }
  return writer.write(value, path);
}

/** Writes one word of a code table. */
export function wordWriter(codes: Codes): FieldWriter {
  return {
    lengthAt: fixedLength(1),
    write(value, path) {
      const word = typeof value === 'string' ? codes.byName(value) : undefined;
      if (!word) throw new DotphaseError(path, value, `one of ${codes.words.map((w) => w.name).join(', ')}`);
      return [word.symbol];
    },
  };
}
