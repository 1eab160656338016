/**
 * Sentences between instruments: IEC 61162-1 §7 (from memory).
 */
import { DotphaseError } from '../../errors.js';

/** The longest sentence, in characters from $ to the checksum. */
export const LONGEST_SENTENCE = 80;

/** A sentence taken apart. */
export interface Sentence {
  /** The three letters of its kind, `DSC` or `DSE`. */
  readonly formatter: string;
  /** What stands between the commas behind the address. */
  readonly fields: readonly string[];
}

/** The exclusive-or of the characters between $ and *, as two hexadecimal digits. */
function checksum(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return sum.toString(16).toUpperCase().padStart(2, '0');
}

/** The sentence of the talker CD (a DSC set) with the fields given. */
export function writeSentence(formatter: string, fields: readonly (string | number)[]): string {
  const body = [`CD${formatter}`, ...fields].join(',');
  return `$${body}*${checksum(body)}`;
}

/** Takes a sentence apart; throws a DotphaseError where it is none or its checksum disagrees. */
export function readSentence(text: unknown, path: string): Sentence {
  const line = typeof text === 'string' ? text.trimEnd() : '';
  const match = /^\$([A-Z]{2})([A-Z]{3})((?:,[\x20-\x7e]*)?)\*([0-9A-F]{2})$/.exec(line);
  if (!match || line.length > LONGEST_SENTENCE) {
    throw new DotphaseError(
      path,
      text,
      'a sentence $--DSC or $--DSE of at most 80 characters with its checksum',
    );
  }
  const [, talker, formatter, list, found] = match;
  const expected = checksum(talker + formatter + list);
  if (found !== expected) throw new DotphaseError(`${path} checksum`, found, expected);
  return { formatter, fields: list.split(',').slice(1) };
}
