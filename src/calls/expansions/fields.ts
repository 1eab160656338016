/**
 * The data of each expansion: ITU-R M.821-1 §2 (from memory). How they are written stands in `writers.ts`.
 */
import { symbolsToDigits } from '../../symbols/index.js';
import { LAST_DIGIT_PAIR } from '../../symbols/internal.js';
import { digitPairs, symbolSet, type DataKind, type Field, type LengthAt } from '../fields/index.js';
import type { DatumName, PositionSourceName } from './types.js';

/** A number of fixed width and decimals within a list of digits. */
export interface Quantity {
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

/** Data end where their sequence does. */
export const dataLengthAt: LengthAt = (symbols, at) => symbols.length - at;

/** A field of several numbers, as an object, in the order given. */
function quantitiesField(kind: DataKind, quantities: readonly Quantity[]): Field {
  const total = quantities.reduce((sum, quantity) => sum + quantity.digits, 0);
  return {
    kind,
    lengthAt: dataLengthAt,
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
    shapes: () => [digitPairs(total / 2)],
  };
}

/** A field of one number, by itself. */
function quantityField(kind: DataKind, quantity: Quantity): Field {
  const named = /* @__PURE__ */ quantitiesField(kind, [quantity]);
  return {
    ...named,
    read: (symbols) => (named.read(symbols) as Record<string, number> | undefined)?.[quantity.name],
  };
}

/** Four digits each of latitude and longitude, in 1/10000 minute. */
export const FINE_POSITION: readonly Quantity[] = [
  { name: 'latitude', ...FOUR_DIGITS },
  { name: 'longitude', ...FOUR_DIGITS },
];

const finePositionField = /* @__PURE__ */ quantitiesField('finePosition', FINE_POSITION);

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

/** The resolution of the fix. */
export const RESOLUTION: Quantity = { name: 'resolutionMinutes', digits: 2, stepsPerUnit: 10, highest: 9.9 };

/** Two digits each: source, resolution of the fix in tenths of a minute, datum. */
const positionSourceField: Field = {
  kind: 'positionSource',
  lengthAt: dataLengthAt,
  read(symbols) {
    const [source, resolution, datum] = symbols;
    const isAssigned = source < SOURCES.length && isData(resolution) && datum < DATUMS.length;
    if (symbols.length !== 3 || !isAssigned) return undefined;
    return {
      source: SOURCES[source],
      resolutionMinutes: resolution / RESOLUTION.stepsPerUnit,
      datum: DATUMS[datum],
    };
  },
  shapes: () => [[symbolSet([0, SOURCES.length - 1]), ...digitPairs(1), symbolSet([0, DATUMS.length - 1])]],
};

/** Four digits, tenths of a knot. */
export const SPEED: Quantity = { name: 'speed', ...TENTHS_OF_A_KNOT };
const speedField = /* @__PURE__ */ quantityField('speed', SPEED);

/** Four digits, tenths of a degree. */
export const COURSE: Quantity = { name: 'course', ...TENTHS_OF_A_DEGREE };
const courseField = /* @__PURE__ */ quantityField('course', COURSE);

/** Indexed by symbol: 0–9, A–Z from 11, then punctuation; 10 is not assigned. */
export const LETTERS = '0123456789\0ABCDEFGHIJKLMNOPQRSTUVWXYZ.,-/ ';
/** The most letters of a text. */
export const LONGEST_TEXT = 20;

/** Text of 1–20 characters, one symbol each. */
const furtherIdentificationField: Field = {
  kind: 'furtherIdentification',
  lengthAt: dataLengthAt,
  read(symbols) {
    if (symbols.length === 0 || symbols.length > LONGEST_TEXT) return undefined;
    const letters = symbols.map((symbol) => LETTERS.at(symbol) ?? '\0');
    return letters.includes('\0') ? undefined : letters.join('');
  },
  shapes: () =>
    Array.from({ length: LONGEST_TEXT }, (_, i) =>
      Array.from({ length: i + 1 }, () => symbolSet([0, 9], [11, LETTERS.length - 1])),
    ),
};

/** Four digits each: minutes for the corner and the sides, speed, course. */
export const REFINED_AREA: readonly Quantity[] = [
  { name: 'latitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'longitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'southMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  { name: 'eastMinutes', ...HUNDREDTHS_OF_A_MINUTE },
  SPEED,
  COURSE,
];

const refinedAreaField = /* @__PURE__ */ quantitiesField('refinedArea', REFINED_AREA);

/** Four digits. */
export const PERSONS_ON_BOARD: Quantity = { name: 'personsOnBoard', ...FOUR_DIGITS };

const personsOnBoardField = /* @__PURE__ */ quantityField('personsOnBoard', PERSONS_ON_BOARD);

/** Whether a symbol is data rather than a specifier. */
export function isData(symbol: number): boolean {
  return symbol <= LAST_DIGIT_PAIR;
}

/** How the data of each expansion are read. */
export const DATA_FIELDS: Readonly<Record<DataKind, Field>> = {
  finePosition: finePositionField,
  positionSource: positionSourceField,
  speed: speedField,
  course: courseField,
  furtherIdentification: furtherIdentificationField,
  refinedArea: refinedAreaField,
  personsOnBoard: personsOnBoardField,
};
