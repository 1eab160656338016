/**
 * The DSE sentence: the expansions of a received call, IEC 61162-1 §8.3 (from memory; that all data go as digits is
 * likely, not certain).
 */
import { DotphaseError } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { DATA_REQUESTED, NO_DATA } from '../expansions/index.js';
import { sameSymbols } from '../fields/index.js';
import { LONGEST_SENTENCE, writeSentence } from './syntax.js';

/** An expansion as a code, its digits, and whether it asks for them. */
interface DataSet {
  readonly flag: 'A' | 'Q';
  readonly code: string;
  readonly digits: string;
}

function dataSet(piece: readonly number[], path: string): DataSet {
  const [specifier, ...data] = piece;
  if (specifier < 100) throw new DotphaseError(path, piece, 'a specifier from 100 on before the data');
  const code = String(specifier - 100).padStart(2, '0');
  if (sameSymbols(data, [DATA_REQUESTED])) return { flag: 'Q', code, digits: '' };
  if (sameSymbols(data, [NO_DATA])) return { flag: 'A', code, digits: '' };
  const digits = symbolsToDigits(data);
  if (!digits) throw new DotphaseError(path, piece, 'data, which is all that a sentence can carry');
  return { flag: 'A', code, digits };
}

/**
 * The DSE sentences of expansions.
 *
 * @param pieces - each expansion's specifier and data
 * @param self - the ten digits of the station that sent them
 */
export function writeDse(pieces: readonly (readonly number[])[], self: string): string[] {
  const groups: { flag: string; sets: string[] }[] = [];
  const withSets = (flag: string, sets: readonly string[]) =>
    writeSentence('DSE', [9, 9, flag, self, ...sets]);
  pieces.forEach((piece, i) => {
    const path = `expansions[${i}]`;
    const { flag, code, digits } = dataSet(piece, path);
    const last = groups.at(-1);
    if (last?.flag === flag && withSets(flag, [...last.sets, code, digits]).length <= LONGEST_SENTENCE) {
      last.sets.push(code, digits);
      return;
    }
    if (withSets(flag, [code, digits]).length > LONGEST_SENTENCE) {
      throw new DotphaseError(path, piece, 'data that fit into a sentence');
    }
    groups.push({ flag, sets: [code, digits] });
  });
  if (groups.length > 9)
    throw new DotphaseError('expansions', pieces.length, 'at most nine sentences of them');
  return groups.map(({ flag, sets }, i) => writeSentence('DSE', [groups.length, i + 1, flag, self, ...sets]));
}

/** The specifiers with their data that DSE sentences carry. */
export function readDse(sentences: readonly (readonly string[])[], self: string): number[][] {
  return sentences.flatMap((fields, i) => {
    const path = `DSE sentence ${i + 1}`;
    const [total, number, flag, address, ...sets] = fields;
    if (Number(total) !== sentences.length || Number(number) !== i + 1) {
      throw new DotphaseError(
        path,
        `${total},${number}`,
        `${sentences.length},${i + 1}: all of them, in order`,
      );
    }
    if (address !== self)
      throw new DotphaseError(`${path} address`, address, `${self}, as in the DSC sentence`);
    if (!['A', 'Q', 'R'].includes(flag)) throw new DotphaseError(`${path} flag`, flag, 'A, Q or R');
    if (sets.length === 0 || sets.length % 2 !== 0) {
      throw new DotphaseError(path, sets, 'codes and data, one after the other');
    }
    return Array.from({ length: sets.length / 2 }, (_, s) => {
      const [code, data] = sets.slice(2 * s, 2 * s + 2);
      if (!/^([01]\d|2[0-7])$/.test(code))
        throw new DotphaseError(`${path} code`, code, 'two digits from 00 to 27');
      if (!/^(\d\d)*$/.test(data)) throw new DotphaseError(`${path} data`, data, 'an even number of digits');
      const symbols = data === '' ? [flag === 'Q' ? DATA_REQUESTED : NO_DATA] : digitsToSymbols(data);
      return [100 + Number(code), ...symbols];
    });
  });
}
