/**
 * Calls as sentences for chart systems and other instruments: IEC 61162-1 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { FORMATS } from '../../symbols/index.js';
import { writeAddress } from '../address.js';
import { decodeCall, encodeCall } from '../codec.js';
import { errorCheck } from '../../symbols/index.js';
import { splitPieces } from '../expansions/index.js';
import { requireSymbols } from '../fields/index.js';
import type { Call } from '../types.js';
import type { Address } from '../values.js';
import { readDsc, writeDsc } from './dsc.js';
import { readDse, writeDse } from './dse.js';
import { readSentence, writeSentence } from './syntax.js';

/** Where the address stands among the fields of a DSC sentence. */
const SELF = 1;

/**
 * A received call as sentences: `$CDDSC`, and `$CDDSE` for its expansions. The address is the station that sent the
 * call; whom it was for is not carried, nor how expansions shared an end of sequence.
 *
 * A call that was not received whole has no sentence: an empty field already means something else, such as an unknown
 * casualty or no channel proposed (IEC 61162-1 §8.3, from memory).
 *
 * @param call - a typed call
 * @returns the sentences without line ends, each at most 80 characters
 * @throws DotphaseError when the call cannot be encoded, was not received whole, or holds what a sentence cannot carry:
 *   unassigned symbols other than digits, surplus symbols, a frequency to transmit on without one to receive on
 */
export function toSentences(call: Call): string[] {
  const content = encodeCall(call).symbols.slice(0, -1);
  if (call.kind === 'unassignedCall') {
    throw new DotphaseError('kind', call.kind, 'a kind of call that a sentence can carry');
  }
  const pieces = encodeCall(call).expansions.flatMap((sequence) => splitPieces(sequence.slice(0, -2)));
  const fields = writeDsc(content, pieces.length > 0);
  return [writeSentence('DSC', fields), ...writeDse(pieces, fields[SELF])];
}

/** What a sentence does not carry. */
export interface SentenceOptions {
  /** Whom the call was for; needed for every call but distress alerts and all-ships calls. */
  to?: Address;
}

/**
 * The call that a `$--DSC` sentence and its `$--DSE` sentences carry.
 *
 * @param sentences - the DSC sentence first, with or without line ends; any talker
 * @throws DotphaseError naming the sentence or field that is wrong, or `to` where it is needed
 */
export function fromSentences(sentences: readonly string[], options: SentenceOptions = {}): Call {
  const list: unknown = sentences;
  if (!Array.isArray(list) || list.length === 0) {
    throw new DotphaseError('sentences', list, 'a DSC sentence and its DSE sentences');
  }
  const [first, ...others] = list.map((text: unknown, i) => {
    const path = `sentences[${i}]`;
    const sentence = readSentence(text, path);
    const formatter = i === 0 ? 'DSC' : 'DSE';
    if (sentence.formatter !== formatter) {
      throw new DotphaseError(path, sentence.formatter, `a ${formatter} sentence`);
    }
    return sentence.fields;
  });
  const { content, isExpanded } = readDsc(first, (format) => {
    const name = FORMATS.bySymbol(format)?.name;
    if (name === undefined) throw new DotphaseError('format', format - 100, 'an assigned format specifier');
    return name === 'allShips' ? [] : requireSymbols(writeAddress(options.to, [name]).characters, 'to');
  });
  if (isExpanded !== others.length > 0) {
    throw new DotphaseError(
      'expansion indicator',
      first.at(-1),
      'E where DSE sentences follow, and only there',
    );
  }
  const eos = content[content.length - 1];
  const close = (symbols: readonly number[]) => [...symbols, errorCheck(symbols)];
  const expansions = readDse(others, first[SELF]).map((piece) => close([...piece, eos]));
  return decodeCall(close(content), { expansions });
}
