/**
 * Building blocks of phrases for fields, also of fields that were not received whole.
 */
import { symbolsToDigits } from '../../symbols/index.js';
import { isNotReceived, isUnassigned, type Character } from '../values.js';

/** The words for one kind of field. */
export interface Phrase {
  /** A phrase for the value, without punctuation at its ends. */
  describe(value: unknown): string;
  /**
   * Likewise for characters of which some are missing, each missing digit as `?`; undefined where what was received fits
   * no value of the field, or says nothing by itself.
   */
  describeReceived?(characters: readonly Character[]): string | undefined;
}

/** Characters for people, `?` for one that was not received. */
export function listCharacters(characters: readonly Character[]): string {
  return characters.map((character) => character ?? '?').join(' ');
}

/** A phrase for a field's value, its unassigned symbols or its received characters. */
export function describeField(of: Phrase, value: unknown): string {
  if (isUnassigned(value)) return `unassigned (${value.unassigned.join(' ')})`;
  return isNotReceived(value) ? describeReceived(of, value.notReceived) : of.describe(value);
}

/** How the phrase of a field that was not received begins. */
const NOT_RECEIVED = 'not received';

function describeReceived(of: Phrase, characters: readonly Character[]): string {
  if (characters.every((character) => character === null)) return NOT_RECEIVED;
  return (
    of.describeReceived?.(characters) ?? `${NOT_RECEIVED} whole (characters ${listCharacters(characters)})`
  );
}

/** Likewise, with the field's name before it where the phrase is only "not received". */
export function describeNamed(name: string, of: Phrase, value: unknown): string {
  const phrase = describeField(of, value);
  return isNotReceived(value) && phrase.startsWith(NOT_RECEIVED) ? `${name} ${phrase}` : phrase;
}

/** The digits that characters carry, `??` for one that was not received; undefined where one is a service command. */
export function receivedDigits(characters: readonly Character[]): string | undefined {
  const pairs = characters.map((character) => (character === null ? '??' : symbolsToDigits([character])));
  return pairs.includes(undefined) ? undefined : pairs.join('');
}

/** A whole number for people from digits some of which are `?`: without leading zeros. */
export function receivedNumber(digits: string): string {
  return digits.replace(/^0+(?=.)/, '');
}
