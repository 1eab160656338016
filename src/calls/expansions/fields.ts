/**
 * The data of each expansion: ITU-R M.821-1 §2 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { LAST_DIGIT_PAIR, digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { digitPairs, requireRecord, symbolSet, type Field } from '../fields/index.js';
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
function quantitiesField(quantities: readonly Quantity[], describe: Field['describe'], form: string): Field {
  const names = quantities.map((quantity) => quantity.name);
  const total = quantities.reduce((sum, quantity) => sum + quantity.digits, 0);
  return {
    form,
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
    describe,
    shapes: [digitPairs(total / 2)],
  };
}

/** A field of one number, by itself. */
function quantityField(quantity: Omit<Quantity, 'name'>, describe: Field['describe'], form: string): Field {
  const named = quantitiesField([{ ...quantity, name: 'value' }], describe, form);
  return {
    ...named,
    read: (symbols) => (named.read(symbols) as { value: number } | undefined)?.value,
    write: (value, path) => digitsToSymbols(writeQuantity({ ...quantity, name: '' }, value, path)),
  };
}

/** Four digits each of latitude and longitude, in 1/10000 minute. */
export const finePositionField = quantitiesField(
  [
    { name: 'latitude', ...FOUR_DIGITS },
    { name: 'longitude', ...FOUR_DIGITS },
  ],
  (value) => {
    const { latitude, longitude } = value as { latitude: number; longitude: number };
    const minutes = (steps: number) => `0.${String(steps).padStart(4, '0')}′`;
    return `position finer by ${minutes(latitude)} of latitude and ${minutes(longitude)} of longitude`;
  },
  'ten-thousandths of a minute: latitude, four digits; longitude, four digits',
);

/** Indexed by the two digits that name the source. */
const SOURCES: readonly (readonly [PositionSourceName, string])[] = [
  ['invalid', 'position data not valid now'],
  ['differentialGps', 'differential GPS'],
  ['gps', 'GPS'],
  ['differentialLoranC', 'differential Loran-C'],
  ['loranC', 'Loran-C'],
  ['glonass', 'GLONASS'],
  ['radar', 'radar fix'],
  ['decca', 'Decca'],
  ['other', 'another source'],
];

/** Indexed by the two digits that name the datum. */
const DATUMS: readonly (readonly [DatumName, string])[] = [
  ['wgs84', 'WGS 84'],
  ['wgs72', 'WGS 72'],
  ['other', 'another datum'],
];

const RESOLUTION: Quantity = { name: 'resolutionMinutes', digits: 2, stepsPerUnit: 10, highest: 9.9 };

function indexOfName(names: readonly (readonly [string, string])[], value: unknown, path: string): string {
  const index = names.findIndex(([name]) => name === value);
  if (index < 0) throw new DotphaseError(path, value, `one of ${names.map(([name]) => name).join(', ')}`);
  return String(index).padStart(2, '0');
}

/** Two digits each: source, resolution of the fix in tenths of a minute, datum. */
export const positionSourceField: Field = {
  form: `two digits each: source (${SOURCES.map(([, text], i) => `0${i} ${text}`).join(', ')}); resolution of the fix in tenths of a minute; datum (${DATUMS.map(([, text], i) => `0${i} ${text}`).join(', ')})`,
  lengthAt: (symbols, at) => symbols.length - at,
  read(symbols) {
    const [source, resolution, datum] = symbols;
    if (symbols.length !== 3 || source >= SOURCES.length || datum >= DATUMS.length) return undefined;
    return {
      source: SOURCES[source][0],
      resolutionMinutes: resolution / RESOLUTION.stepsPerUnit,
      datum: DATUMS[datum][0],
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
  describe(value) {
    const { source, resolutionMinutes, datum } = value as Record<string, unknown>;
    const text = (names: readonly (readonly [string, string])[], wanted: unknown) =>
      names.find(([name]) => name === wanted)?.[1] ?? '';
    return `position from ${text(SOURCES, source)} to ${String(resolutionMinutes)}′ on ${text(DATUMS, datum)}`;
  },
  shapes: [[symbolSet([0, SOURCES.length - 1]), ...digitPairs(1), symbolSet([0, DATUMS.length - 1])]],
};

/** Four digits, tenths of a knot. */
export const speedField = quantityField(
  TENTHS_OF_A_KNOT,
  (value) => `speed ${(value as number).toFixed(1)} knots`,
  'tenths of a knot, four digits',
);

const sayCourse = (degrees: number) => `course ${degrees.toFixed(1).padStart(5, '0')}°`;

/** Four digits, tenths of a degree. */
export const courseField = quantityField(
  TENTHS_OF_A_DEGREE,
  (value) => sayCourse(value as number),
  'tenths of a degree, four digits',
);

/** Indexed by symbol: 0–9, A–Z from 11, then punctuation; 10 is not assigned. */
const LETTERS = '0123456789\0ABCDEFGHIJKLMNOPQRSTUVWXYZ.,-/ ';
const LONGEST_TEXT = 20;

/** Text of 1–20 characters, one symbol each. */
export const furtherIdentificationField: Field = {
  form: 'one character a letter: 00–09 the digits, 11–36 A–Z, 37 full stop, 38 comma, 39 hyphen, 40 stroke, 41 space',
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
  describe: (value) => `further identification “${String(value)}”`,
  shapes: Array.from({ length: LONGEST_TEXT }, (_, i) =>
    Array.from({ length: i + 1 }, () => symbolSet([0, 9], [11, LETTERS.length - 1])),
  ),
};

/** Four digits each: minutes for the corner and the sides, speed, course. */
export const refinedAreaField = quantitiesField(
  [
    { name: 'latitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
    { name: 'longitudeMinutes', ...HUNDREDTHS_OF_A_MINUTE },
    { name: 'southMinutes', ...HUNDREDTHS_OF_A_MINUTE },
    { name: 'eastMinutes', ...HUNDREDTHS_OF_A_MINUTE },
    { name: 'speed', ...TENTHS_OF_A_KNOT },
    { name: 'course', ...TENTHS_OF_A_DEGREE },
  ],
  (value) => {
    const area = value as Record<string, number>;
    return (
      `area finer by ${area.latitudeMinutes}′ of latitude and ${area.longitudeMinutes}′ of longitude at its corner, ` +
      `${area.southMinutes}′ southwards and ${area.eastMinutes}′ eastwards, for vessels of ` +
      `speed ${area.speed.toFixed(1)} knots and ${sayCourse(area.course)}`
    );
  },
  'four digits each: minutes in hundredths to add to the latitude and longitude of the corner, and to the sides southwards and eastwards; speed in tenths of a knot; course in tenths of a degree',
);

/** Four digits. */
export const personsOnBoardField = quantityField(
  FOUR_DIGITS,
  (value) => `${String(value)} ${value === 1 ? 'person' : 'persons'} on board`,
  'four digits',
);

/** Whether a symbol is data rather than a specifier. */
export function isData(symbol: number): boolean {
  return symbol <= LAST_DIGIT_PAIR;
}
