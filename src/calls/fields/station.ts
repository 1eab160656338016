/**
 * Identities in a call: ITU-R M.493 Annex 1 §5.2 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { NO_INFORMATION, digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import {
  digitPairs,
  fixedLength,
  only,
  pairSet,
  repeated,
  sameSymbols,
  type Field,
  type FieldWriter,
} from './field.js';

const lengthAt = /* @__PURE__ */ fixedLength(5);

/** A nine-digit identity and a 0 in five symbols (M.493 §5.2). */
export const identityField: Field = {
  kind: 'identity',
  length: 5,
  lengthAt,
  read: (symbols) => /^(\d{9})0$/.exec(symbolsToDigits(symbols) ?? '')?.[1],
  shapes: () => [[...digitPairs(4), pairSet([0, 9], [0, 0])]],
};

/** How that is written. */
export const identityWriter: FieldWriter = {
  lengthAt,
  write(value, path) {
    if (typeof value !== 'string' || !/^\d{9}$/.test(value)) {
      throw new DotphaseError(path, value, 'an identity of nine digits');
    }
    return digitsToSymbols(`${value}0`);
  },
};

const UNKNOWN_CASUALTY = repeated(NO_INFORMATION, 5);

/** The ship in distress, 126 five times where it is not known (M.493 §8.1, distress relay). */
export const casualtyField: Field = {
  kind: 'casualty',
  length: 5,
  lengthAt,
  read: (symbols) => (sameSymbols(symbols, UNKNOWN_CASUALTY) ? 'unknown' : identityField.read(symbols)),
  shapes: () => [...identityField.shapes(), only(UNKNOWN_CASUALTY)],
};

/** How that is written. */
export const casualtyWriter: FieldWriter = {
  lengthAt,
  write: (value, path) => (value === 'unknown' ? [...UNKNOWN_CASUALTY] : identityWriter.write(value, path)),
};
