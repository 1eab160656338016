/**
 * The words of the code tables for people.
 */
import {
  CATEGORIES,
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  FORMATS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../../symbols/index.js';
import type { WordKind } from '../fields/index.js';
import type { Phrase } from './phrase.js';

/** The words that each field of a code table may hold. */
export const VOCABULARIES: Readonly<Record<WordKind, Vocabulary>> = {
  format: FORMATS,
  category: CATEGORIES,
  nature: NATURES,
  telecommand1: FIRST_TELECOMMANDS,
  telecommand2: SECOND_TELECOMMANDS,
  followOn: FOLLOW_ONS,
  eos: ENDS_OF_SEQUENCE,
};

/** The text of a word. */
export function wordPhrase(kind: WordKind): Phrase {
  return { describe: (value) => VOCABULARIES[kind].byName(value as string)?.text ?? String(value) };
}
