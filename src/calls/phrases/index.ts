/**
 * Phrases for the fields of a call. Apart from the fields, so that encoding alone does not load the words.
 */
import type { Content, FieldKind } from '../fields/index.js';
import { areaPhrase } from './area.js';
import { channelPhrase } from './channel.js';
import { DATA_PHRASES } from './expansions.js';
import { messagePhrase } from './message.js';
import type { Phrase } from './phrase.js';
import { positionPhrase } from './position.js';
import { casualtyPhrase, identityPhrase } from './station.js';
import { telephonePhrase } from './telephone.js';
import { timePhrase } from './time.js';
import { wordPhrase } from './words.js';

export { describeField, describeNamed, listCharacters, receivedDigits } from './phrase.js';
export { formatPosition } from './position.js';

const PHRASES: Readonly<Record<FieldKind, Phrase>> = {
  format: wordPhrase('format'),
  category: wordPhrase('category'),
  nature: wordPhrase('nature'),
  telecommand1: wordPhrase('telecommand1'),
  telecommand2: wordPhrase('telecommand2'),
  followOn: wordPhrase('followOn'),
  eos: wordPhrase('eos'),
  constant: { describe: () => '' },
  identity: identityPhrase,
  casualty: casualtyPhrase,
  area: areaPhrase,
  position: positionPhrase,
  time: timePhrase,
  channel: channelPhrase,
  message: messagePhrase('the called station'),
  acknowledgedMessage: messagePhrase('the acknowledging station'),
  irregularMessage: messagePhrase('one station'),
  telephone: telephonePhrase,
  ...DATA_PHRASES,
};

/** The words for a field. */
export function phraseOf({ kind }: Content): Phrase {
  return PHRASES[kind];
}
