/**
 * Telephone numbers of the automatic service: ITU-R M.493 Annex 1 §8.3 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import {
  digitPairs,
  isWhole,
  pairSet,
  readField,
  symbolSet,
  type Field,
  type FieldWriter,
  type LengthAt,
} from './field.js';

/** The symbol before an odd count of digits. */
export const ODD_COUNT = 105;
/** The symbol before an even count of digits. */
export const EVEN_COUNT = 106;
/** The longest telephone number, in digits: ITU-T E.164's 15 and room for prefixes. */
const LONGEST = 18;

/** Whether a telephone number starts with this symbol. */
export function isTelephoneStart(symbol: number): boolean {
  return symbol === ODD_COUNT || symbol === EVEN_COUNT;
}

const lengthAt: LengthAt = (symbols, at) => (at <= symbols.length ? symbols.length - at : Infinity);

/**
 * A telephone number to the end of the sequence: 105 and a leading 0 before an odd count of digits, 106
 * before an even one (M.493 §8.3; the place of the padding digit is remembered with doubt).
 */
export const telephoneField: Field = {
  kind: 'telephone',
  lengthAt,
  read(symbols) {
    if (symbols.length === 0) return 'none';
    const digits = symbolsToDigits(symbols.slice(1));
    if (!digits || digits.length > LONGEST) return undefined;
    if (symbols[0] === EVEN_COUNT) return digits;
    return symbols[0] === ODD_COUNT && digits.startsWith('0') ? digits.slice(1) : undefined;
  },
  readReceived(left, isEndKnown) {
    const isKnown = isEndKnown && isWhole(left);
    const characters = isEndKnown ? left : [...left, null];
    return {
      value: isKnown ? readField(telephoneField, left) : { notReceived: characters },
      length: isEndKnown ? left.length : undefined,
    };
  },
  shapes: () => [
    [],
    ...Array.from({ length: LONGEST / 2 }, (_, i) => i + 1).flatMap((pairs) => [
      [symbolSet(EVEN_COUNT), ...digitPairs(pairs)],
      [symbolSet(ODD_COUNT), pairSet([0, 0], [0, 9]), ...digitPairs(pairs - 1)],
    ]),
  ],
};

/** How that is written. */
export const telephoneWriter: FieldWriter = {
  lengthAt,
  write(value, path) {
    if (value === 'none') return [];
    if (typeof value !== 'string' || !/^\d+$/.test(value) || value.length > LONGEST) {
      throw new DotphaseError(path, value, `a telephone number of 1 to ${LONGEST} digits, or 'none'`);
    }
    return value.length % 2 === 0
      ? [EVEN_COUNT, ...digitsToSymbols(value)]
      : [ODD_COUNT, ...digitsToSymbols(`0${value}`)];
  },
};
