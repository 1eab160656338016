/**
 * Identities in a call: ITU-R M.493 Annex 1 §5.2 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { NO_INFORMATION, digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { digitPairs, fixedLength, only, pairSet, repeated, sameSymbols, type Field } from './field.js';

/** A nine-digit identity and a 0 in five symbols (M.493 §5.2). */
export const identityField: Field = {
  kind: 'identity',
  lengthAt: fixedLength(5),
  read: (symbols) => symbolsToDigits(symbols)?.slice(0, 9),
  write(value, path) {
    if (typeof value !== 'string' || !/^\d{9}$/.test(value)) {
      throw new DotphaseError(path, value, 'an identity of nine digits');
    }
    return digitsToSymbols(`${value}0`);
  },
  shapes: [[...digitPairs(4), pairSet([0, 9], [0, 0])]],
};

const UNKNOWN_CASUALTY = repeated(NO_INFORMATION, 5);

/** The ship in distress, 126 five times where it is not known (M.493 §8.1, distress relay). */
export const casualtyField: Field = {
  ...identityField,
  kind: 'casualty',
  read: (symbols) => (sameSymbols(symbols, UNKNOWN_CASUALTY) ? 'unknown' : identityField.read(symbols)),
  write: (value, path) => (value === 'unknown' ? [...UNKNOWN_CASUALTY] : identityField.write(value, path)),
  shapes: [...identityField.shapes, only(UNKNOWN_CASUALTY)],
};
