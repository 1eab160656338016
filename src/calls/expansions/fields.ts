/**
 * The data of each expansion: ITU-R M.821-1 §2 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { LAST_DIGIT_PAIR } from '../../symbols/internal.js';
import { digitPairs, requireRecord, symbolSet, type DataKind, type Field } from '../fields/index.js';
import type { DatumName, PositionSourceName } from './types.js';

/** A number of fixed width and decimals within a list of digits. */
interface Quantity {
  readonly name: string;
  readonly digits: number;
  /** Steps in one unit, for example 10 for tenths. */
  readonly stepsPerUnit: number;
  /** The highest value, in units. */
  readonly highest: number;
}

const FOUR_DIGITS = { digits: 4, stepsPerUnit: 1, highest: 9999 };
const TENTHS_OF_A_KNOT = { digits: 4, stepsPerUnit: 10, highest: 999.9 };
const TENTHS_OF_A_DEGREE = { digits: 4, stepsPerUnit: 10, highest: 359.9 };
const HUNDREDTHS_OF_A_MINUTE = { digits: 4, stepsPerUnit: 100, highest: 59.99 };

function writeQuantity(quantity: Quantity, value: unknown, path: string): string {
  const steps = typeof value === 'number' ? Math.round(value * quantity.stepsPerUnit) : NaN;
  const highest = Math.round(quantity.highest * quantity.stepsPerUnit);
  if (!(steps >= 0 && steps <= highest && steps / quantity.stepsPerUnit === value)) {
    throw new DotphaseError(
      path,
      value,
      `a number from 0 to ${quantity.highest} in steps of ${1 / quantity.stepsPerUnit}`,
    );
  }
  return String(steps).padStart(quantity.digits, '0');
}

/** A field of several numbers, as an object, in the order given. */
function quantitiesField(kind: DataKind, quantities: readonly Quantity[]): Field {
  const names = quantities.map((quantity) => quantity.name);
  const total = quantities.reduce((sum, quantity) => sum + quantity.digits, 0);
  return {
    kind,
    lengthAt: (symbols, at) => symbols.length - at,
    read(symbols) {
      const digits = symbolsToDigits(symbols);
      if (digits?.length !== total) return undefined;
      let at = 0;
      const values = quantities.map((quantity) => {
        const steps = Number(digits.slice(at, (at += quantity.digits)));
        return { quantity, value: steps / quantity.stepsPerUnit };
      });
      if (values.some(({ quantity, value }) => value > quantity.highest)) return undefined;
      return Object.fromEntries(values.map(({ quantity, value }) => [quantity.name, value]));
    },
    write(value, path) {
      const record = requireRecord(value, path, names, `{ ${names.join(', ')} }`);
      const digits = quantities.map((quantity) =>
        writeQuantity(quantity, record[quantity.name], `${path}.${quantity.name}`),
      );
      return digitsToSymbols(digits.join(''));
    },
    shapes: [digitPairs(total / 2)],
  };
}

/** A field of one number, by itself. */
function quantityField(kind: DataKind, quantity: Omit<Quantity, 'name'>): Field {
  const named = quantitiesField(kind, [{ ...quantity, name: 'value' }]);
  return {
    ...named,
    read: (symbols) => (named.read(symbols) as { value: number } | undefined)?.value,
    write: (value, path) => digitsToSymbols(writeQuantity({ ...quantity, name: '' }, value, path)),
  };
}

/** Four digits each of latitude and longitude, in 1/10000 minute. */
export const finePositionField = quantitiesField('finePosition', [
  { name: 'latitude', ...FOUR_DIGITS },
  { name: 'longitude', ...FOUR_DIGITS },
]);

/** Indexed by the two digits that name the source. */
export const SOURCES: readonly PositionSourceName[] = [
  'invalid',
  'differentialGps',
  'gps',
  'differentialLoranC',
  'loranC',
  'glonass',
  'radar',
  'decca',
  'other',
];

/** Indexed by the two digits that name the datum. */
export const DATUMS: readonly DatumName[] = ['wgs84', 'wgs72', 'other'];

const RESOLUTION: Quantity = { name: 'resolutionMinutes', digits: 2, stepsPerUnit: 10, highest: 9.9 };

function indexOfName(names: readonly string[], value: unknown, path: string): string {
  const index = names.findIndex((name) => name === value);
  if (index < 0) throw new DotphaseError(path, value, `one of ${names.join(', ')}`);
  return String(index).padStart(2, '0');
}

/** Two digits each: source, resolution of the fix in tenths of a minute, datum. */
export const positionSourceField: Field = {
  kind: 'positionSource',
  lengthAt: (symbols, at) => symbols.length - at,
  read(symbols) {
    const [source, resolution, datum] = symbols;
    if (symbols.length !== 3 || source >= SOURCES.length || datum >= DATUMS.length) return undefined;
    return {
      source: SOURCES[source],
      resolutionMinutes: resolution / RESOLUTION.stepsPerUnit,
      datum: DATUMS[datum],
    };
  },
  write(value, path) {
    const keys = ['source', 'resolutionMinutes', 'datum'];
    const record = requireRecord(value, path, keys, `{ ${keys.join(', ')} }`);
    return digitsToSymbols(
      indexOfName(SOURCES, record.source, `${path}.source`) +
        writeQuantity(RESOLUTION, record.resolutionMinutes, `${path}.resolutionMinutes`) +
        indexOfName(DATUMS, record.datum, `${path}.datum`),
    );
  },
  shapes: [[symbolSet([0, SOURCES.length - 1]), ...digitPairs(1), symbolSet([0, DATUMS.length - 1])]],
};

/** Four digits, tenths of a knot. */
export const speedField = quantityField('speed', TENTHS_OF_A_KNOT);

/** Four digits, tenths of a degree. */
export const courseField = quantityField('course', TENTHS_OF_A_DEGREE);

/** Indexed by symbol: 0–9, A–Z from 11, then punctuation; 10 is not assigned. */
const LETTERS = '0123456789\0ABCDEFGHIJKLMNOPQRSTUVWXYZ.,-/ ';
const LONGEST_TEXT = 20;

/** Text of 1–20 characters, one symbol each. */
export const furtherIdentificationField: Field = {
  kind: 'furtherIdentification',
  lengthAt: (symbols, at) => symbols.length - at,
  read(symbols) {
    if (symbols.length === 0 || symbols.length > LONGEST_TEXT) return undefined;
    const letters = symbols.map((symbol) => LETTERS.at(symbol) ?? '\0');
    return letters.includes('\0') ? undefined : letters.join('');
  },
  write(value, path) {
    const letters = typeof value === 'string' ? Array.from(value) : [];
    const symbols = letters.map((letter) => LETTERS.indexOf(letter));
    if (
      letters.length === 0 ||
      letters.length > LONGEST_TEXT ||
      letters.includes('\0') ||
      symbols.includes(-1)
    ) {
      throw new DotphaseError(
        path,
        value,
        `1 to ${LONGEST_TEXT} of A–Z, 0–9, full stop, comma, -, / and space`,
      );
    }
    return symbols;
  },
  shapes: Array.from({ length: LONGEST_TEXT }, (_, i) =>
    Array.from({ length: i + 1 }, () => symbolSet([0, 9], [11, LETTERS.length - 1])),
  ),
};

/** Four digits each: minutes for the corner and the sides, speed, course. */
export const refinedAreaField = quantitiesField('refinedArea', [
  { name: 'latitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'longitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'southMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'eastMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'speed', ...TENTHS_OF_A_KNOT },
  { name: 'course', ...TENTHS_OF_A_DEGREE },
]);

/** Four digits. */
export const personsOnBoardField = quantityField('personsOnBoard', FOUR_DIGITS);

/** Whether a symbol is data rather than a specifier. */
export function isData(symbol: number): boolean {
  return symbol <= LAST_DIGIT_PAIR;
}
