/**
 * The fields that calls are made of, each with its reading, writing, allowed symbols and words
 * (ITU-R M.493 Annex 1 §5–§9, from memory).
 */
import { DotphaseError } from '../errors.js';
import {
  LAST_DIGIT_PAIR,
  NO_INFORMATION,
  SYMBOL_COUNT,
  digitsToSymbols,
  symbolsToDigits,
  type Vocabulary,
} from '../symbols/index.js';
import { describeIdentity } from './identity.js';
import {
  isUnassigned,
  type Area,
  type Channel,
  type Position,
  type Quadrant,
  type Unassigned,
} from './values.js';

/** Which of the 128 symbols a position in a sequence may hold: 1 where allowed. */
export type SymbolSet = Uint8Array;

/** One way a field can look on the air: the allowed symbols of each of its positions. */
export type Shape = readonly SymbolSet[];

/** One kind of field. */
export interface Field {
  /** How many symbols the field takes at `at`; Infinity where it would run past the end. */
  lengthAt(symbols: readonly number[], at: number): number;
  /** The value of exactly those symbols, or undefined where they mean nothing here. */
  read(symbols: readonly number[]): unknown;
  /** The symbols of a value. Throws a DotphaseError naming `path` when the value cannot be sent. */
  write(value: unknown, path: string): number[];
  /** A phrase for the value, without punctuation at its ends. */
  describe(value: unknown): string;
  /** What the field looks like when every symbol is assigned. */
  readonly shapes: readonly Shape[];
}

/** The set of the given symbols and inclusive ranges of symbols. */
export function symbolSet(...members: (number | readonly [number, number])[]): SymbolSet {
  const set = new Uint8Array(SYMBOL_COUNT);
  for (const member of members) {
    const [from, to] = typeof member === 'number' ? [member, member] : member;
    set.fill(1, from, to + 1);
  }
  return set;
}

const DIGIT_PAIR = symbolSet([0, LAST_DIGIT_PAIR]);

function digitPairs(count: number): Shape {
  return Array.from({ length: count }, () => DIGIT_PAIR);
}

/** The set of digit pairs whose first and second digit lie within the given ranges. */
function pairSet(first: readonly [number, number], second: readonly [number, number]): SymbolSet {
  const set = new Uint8Array(SYMBOL_COUNT);
  for (let a = first[0]; a <= first[1]; a++) set.fill(1, 10 * a + second[0], 10 * a + second[1] + 1);
  return set;
}

function repeated(symbol: number, count: number): number[] {
  return Array.from({ length: count }, () => symbol);
}

function only(symbols: readonly number[]): Shape {
  return symbols.map((symbol) => symbolSet(symbol));
}

function sameSymbols(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((symbol, i) => symbol === b[i]);
}

function describeUnassigned(value: Unassigned): string {
  return `unassigned (${value.unassigned.join(' ')})`;
}

/** Throws unless `value` is an array of symbol numbers, optionally of a fixed length. */
export function requireSymbols(value: unknown, path: string, count?: number): number[] {
  const good = (symbol: unknown) =>
    Number.isInteger(symbol) && (symbol as number) >= 0 && (symbol as number) < SYMBOL_COUNT;
  if (!Array.isArray(value) || !value.every(good) || (count !== undefined && value.length !== count)) {
    throw new DotphaseError(path, value, `${count ?? 'a list of'} symbols from 0 to 127`);
  }
  return [...(value as number[])];
}

/**
 * Reads a field so that writing the value gives the same symbols again: whatever would not is handed over
 * as {@link Unassigned}.
 */
export function readField(field: Field, symbols: readonly number[]): unknown {
  const value = field.read(symbols);
  if (value !== undefined && sameSymbols(field.write(value, 'value'), symbols)) return value;
  return { unassigned: [...symbols] } satisfies Unassigned;
}

/** Writes a field's value or its unassigned symbols. */
export function writeField(field: Field, value: unknown, path: string): number[] {
  if (isUnassigned(value)) {
    const symbols = requireSymbols(value.unassigned, `${path}.unassigned`);
    if (field.lengthAt(symbols, 0) !== symbols.length) {
      throw new DotphaseError(`${path}.unassigned`, symbols, 'as many symbols as the field holds');
    }
    return symbols;
  }
  return field.write(value, path);
}

/** A phrase for a field's value or its unassigned symbols. */
export function describeField(field: Field, value: unknown): string {
  return isUnassigned(value) ? describeUnassigned(value) : field.describe(value);
}

function fixedLength(count: number): Field['lengthAt'] {
  return (symbols, at) => (at + count <= symbols.length ? count : Infinity);
}

/** One word of a vocabulary. */
export function wordField(vocabulary: Vocabulary): Field {
  return {
    lengthAt: fixedLength(1),
    read: ([symbol]) => vocabulary.bySymbol(symbol)?.name,
    write(value, path) {
      const word = typeof value === 'string' ? vocabulary.byName(value) : undefined;
      if (!word) {
        throw new DotphaseError(path, value, `one of ${vocabulary.words.map((w) => w.name).join(', ')}`);
      }
      return [word.symbol];
    },
    describe: (value) => vocabulary.byName(value as string)?.text ?? String(value),
    shapes: [[symbolSet(...vocabulary.words.map((word) => word.symbol))]],
  };
}

/** Symbols that this kind of call always has here; they carry no value. */
export function constantField(...symbols: number[]): Field {
  return {
    lengthAt: fixedLength(symbols.length),
    read: () => undefined,
    write: () => symbols,
    describe: () => '',
    shapes: [only(symbols)],
  };
}

/** A nine-digit identity and a 0 in five symbols (M.493 §5.2). */
export const identityField: Field = {
  lengthAt: fixedLength(5),
  read: (symbols) => symbolsToDigits(symbols)?.slice(0, 9),
  write(value, path) {
    if (typeof value !== 'string' || !/^\d{9}$/.test(value)) {
      throw new DotphaseError(path, value, 'an identity of nine digits');
    }
    return digitsToSymbols(`${value}0`);
  },
  describe: (value) => describeIdentity(value as string),
  shapes: [[...digitPairs(4), pairSet([0, 9], [0, 0])]],
};

const UNKNOWN_CASUALTY = repeated(NO_INFORMATION, 5);

/** The ship in distress, 126 five times where it is not known (M.493 §8.1, distress relay). */
export const casualtyField: Field = {
  ...identityField,
  read: (symbols) => (sameSymbols(symbols, UNKNOWN_CASUALTY) ? 'unknown' : identityField.read(symbols)),
  write: (value, path) => (value === 'unknown' ? UNKNOWN_CASUALTY : identityField.write(value, path)),
  describe: (value) => (value === 'unknown' ? 'an unknown ship' : identityField.describe(value)),
  shapes: [...identityField.shapes, only(UNKNOWN_CASUALTY)],
};

const QUADRANTS: readonly Quadrant[] = ['NE', 'NW', 'SE', 'SW'];

function coordinate(value: unknown, path: string, limit: number): number {
  if (typeof value !== 'number' || !(Math.abs(value) <= limit)) {
    throw new DotphaseError(path, value, `decimal degrees from −${limit} to ${limit}`);
  }
  return value;
}

interface QuadrantPoint {
  latitude: number;
  longitude: number;
  quadrant?: unknown;
}

/** The quadrant digit of a point; where a coordinate is zero the sender may name another side of zero. */
function quadrantDigit(point: QuadrantPoint, path: string): number {
  const digit = (point.latitude < 0 ? 2 : 0) + (point.longitude < 0 ? 1 : 0);
  if (point.quadrant === undefined) return digit;
  const named = QUADRANTS.indexOf(point.quadrant as Quadrant);
  const differs = digit ^ named;
  if (named < 0 || (differs & 2 && point.latitude !== 0) || (differs & 1 && point.longitude !== 0)) {
    throw new DotphaseError(`${path}.quadrant`, point.quadrant, 'NE, NW, SE or SW, agreeing with the signs');
  }
  return named;
}

/** Signs the magnitudes by the quadrant digit and names the quadrant only where a zero hides it. */
function inQuadrant(
  digit: number,
  latitude: number,
  longitude: number,
): QuadrantPoint & { quadrant?: Quadrant } {
  const point = {
    latitude: digit & 2 && latitude !== 0 ? -latitude : latitude,
    longitude: digit & 1 && longitude !== 0 ? -longitude : longitude,
  };
  return quadrantDigit(point, '') === digit ? point : { ...point, quadrant: QUADRANTS[digit] };
}

function record(value: unknown, path: string, expected: string): Record<string, unknown> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new DotphaseError(path, value, expected);
  }
  return value as Record<string, unknown>;
}

const MINUTES_PER_DEGREE = 60;
const NO_POSITION = repeated(99, 5);

function degreesMinutes(degrees: number, width: number): string {
  const minutes = Math.round(Math.abs(degrees) * MINUTES_PER_DEGREE);
  return (
    String(Math.floor(minutes / MINUTES_PER_DEGREE)).padStart(width, '0') +
    String(minutes % MINUTES_PER_DEGREE).padStart(2, '0')
  );
}

/** Degrees and minutes of a coordinate for people: `50°30.0′`, with four decimals where it is finer. */
function sayCoordinate(degrees: number, width: number): string {
  const tenThousandths = Math.round(Math.abs(degrees) * MINUTES_PER_DEGREE * 10_000);
  const wholeDegrees = Math.floor(tenThousandths / (MINUTES_PER_DEGREE * 10_000));
  const minutes = (tenThousandths % (MINUTES_PER_DEGREE * 10_000)) / 10_000;
  const decimals = tenThousandths % 10_000 === 0 ? 1 : 4;
  return `${String(wholeDegrees).padStart(width, '0')}°${minutes.toFixed(decimals).padStart(decimals + 3, '0')}′`;
}

/** A position for people, for example `50°30.0′N 004°12.0′W`. */
export function formatPosition(position: Position): string {
  const quadrant = QUADRANTS[quadrantDigit(position, 'position')];
  return (
    `${sayCoordinate(position.latitude, 2)}${quadrant[0]} ` +
    `${sayCoordinate(position.longitude, 3)}${quadrant[1]}`
  );
}

/** Quadrant, latitude DDMM and longitude DDDMM, or 9 ten times (M.493 §8.1.2). */
export const positionField: Field = {
  lengthAt: fixedLength(5),
  read(symbols) {
    if (sameSymbols(symbols, NO_POSITION)) return 'none';
    const match = /^([0-3])(\d\d)([0-5]\d)(\d{3})([0-5]\d)$/.exec(symbolsToDigits(symbols) ?? '');
    if (!match) return undefined;
    const [quadrant, latDegrees, latMinutes, lonDegrees, lonMinutes] = match.slice(1).map(Number);
    const latitude = latDegrees + latMinutes / MINUTES_PER_DEGREE;
    const longitude = lonDegrees + lonMinutes / MINUTES_PER_DEGREE;
    return latitude <= 90 && longitude <= 180 ? inQuadrant(quadrant, latitude, longitude) : undefined;
  },
  write(value, path) {
    if (value === 'none') return NO_POSITION;
    const { latitude, longitude, quadrant } = record(value, path, "{ latitude, longitude } or 'none'");
    const point = {
      latitude: coordinate(latitude, `${path}.latitude`, 90),
      longitude: coordinate(longitude, `${path}.longitude`, 180),
      quadrant,
    };
    const digits = degreesMinutes(point.latitude, 2) + degreesMinutes(point.longitude, 3);
    return digitsToSymbols(`${quadrantDigit(point, path)}${digits}`);
  },
  describe: (value) => (value === 'none' ? 'position not given' : formatPosition(value as Position)),
  shapes: [
    [
      pairSet([0, 3], [0, 9]),
      pairSet([0, 9], [0, 5]),
      pairSet([0, 9], [0, 1]),
      DIGIT_PAIR,
      pairSet([0, 5], [0, 9]),
    ],
    only(NO_POSITION),
  ],
};

const NO_TIME = [88, 88];

/** Hours and minutes UTC, 88 88 where not given (M.493 §8.1.3). */
export const timeField: Field = {
  lengthAt: fixedLength(2),
  read([hours, minutes]) {
    if (hours === 88 && minutes === 88) return 'none';
    if (hours > 23 || minutes > 59) return undefined;
    return `${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`;
  },
  write(value, path) {
    if (value === 'none') return NO_TIME;
    if (typeof value !== 'string' || !/^([01]\d|2[0-3]):[0-5]\d$/.test(value)) {
      throw new DotphaseError(path, value, "a time UTC from '00:00' to '23:59', or 'none'");
    }
    return value.split(':').map(Number);
  },
  describe: (value) => (value === 'none' ? 'time not given' : `${String(value)} UTC`),
  shapes: [[symbolSet([0, 23]), symbolSet([0, 59])], only(NO_TIME)],
};

/** Quadrant, latitude DD, longitude DDD of the north-west corner, then both sides DD in degrees (M.493 §5.3). */
export const areaField: Field = {
  lengthAt: fixedLength(5),
  read(symbols) {
    const match = /^([0-3])(\d\d)(\d{3})(\d\d)(\d\d)$/.exec(symbolsToDigits(symbols) ?? '');
    if (!match) return undefined;
    const [quadrant, latitude, longitude, south, east] = match.slice(1).map(Number);
    return latitude <= 90 && longitude <= 180
      ? { ...inQuadrant(quadrant, latitude, longitude), south, east }
      : undefined;
  },
  write(value, path) {
    const { latitude, longitude, south, east, quadrant } = record(
      value,
      path,
      '{ latitude, longitude, south, east }',
    );
    const whole = (degrees: unknown, name: string, from: number, to: number) => {
      if (!Number.isInteger(degrees) || (degrees as number) < from || (degrees as number) > to) {
        throw new DotphaseError(`${path}.${name}`, degrees, `whole degrees from ${from} to ${to}`);
      }
      return degrees as number;
    };
    const point = {
      latitude: whole(latitude, 'latitude', -90, 90),
      longitude: whole(longitude, 'longitude', -180, 180),
      quadrant,
    };
    const digits = [
      String(quadrantDigit(point, path)),
      String(Math.abs(point.latitude)).padStart(2, '0'),
      String(Math.abs(point.longitude)).padStart(3, '0'),
      String(whole(south, 'south', 0, 99)).padStart(2, '0'),
      String(whole(east, 'east', 0, 99)).padStart(2, '0'),
    ];
    return digitsToSymbols(digits.join(''));
  },
  describe(value) {
    const area = value as Area;
    const [ns, ew] = QUADRANTS[quadrantDigit(area, 'area')];
    return (
      `the area ${area.south}° southwards and ${area.east}° eastwards of ` +
      `${String(Math.abs(area.latitude)).padStart(2, '0')}°${ns} ${String(Math.abs(area.longitude)).padStart(3, '0')}°${ew}`
    );
  },
  shapes: [[pairSet([0, 3], [0, 9]), pairSet([0, 9], [0, 1]), DIGIT_PAIR, DIGIT_PAIR, DIGIT_PAIR]],
};

const NO_CHANNEL = repeated(NO_INFORMATION, 3);
const HZ_PER_STEP = 100;
const HZ_PER_FINE_STEP = 10;
const SIMPLEX_SIDES = [undefined, 'ship', 'coast'] as const;

/** Half a frequency message is four symbols long where its first digit is 4, otherwise three. */
function channelLengthAt(symbols: readonly number[], at: number): number {
  const length = symbols[at] >= 40 && symbols[at] <= 49 ? 4 : 3;
  return at + length <= symbols.length ? length : Infinity;
}

function writeFrequency(hz: unknown, fine: boolean, path: string): number[] {
  const highest = fine ? 99_999_990 : 29_999_900;
  if (
    typeof hz !== 'number' ||
    !Number.isInteger(hz) ||
    hz < 0 ||
    hz > highest ||
    hz % HZ_PER_FINE_STEP !== 0
  ) {
    throw new DotphaseError(`${path}.hz`, hz, `a multiple of 10 Hz from 0 to ${highest}`);
  }
  return fine
    ? digitsToSymbols(`4${String(hz / HZ_PER_FINE_STEP).padStart(7, '0')}`)
    : digitsToSymbols(String(hz / HZ_PER_STEP).padStart(6, '0'));
}

/** Half a frequency message: a frequency, an MF/HF channel, a VHF channel or nothing (M.493 §8.2.2). */
const channelField: Field = {
  lengthAt: channelLengthAt,
  read(symbols): Channel | undefined {
    if (sameSymbols(symbols, NO_CHANNEL)) return 'none';
    const digits = symbolsToDigits(symbols);
    if (digits === undefined) return undefined;
    const number = Number(digits.slice(1));
    if (digits.startsWith('4')) {
      const hz = number * HZ_PER_FINE_STEP;
      return hz % HZ_PER_STEP === 0 ? { hz, resolutionHz: 10 } : { hz };
    }
    if (/^[0-2]/.test(digits)) return { hz: Number(digits) * HZ_PER_STEP };
    if (digits.startsWith('3')) return { channel: number };
    const vhf = /^90([0-2])(\d{3})$/.exec(digits);
    if (!vhf) return undefined;
    const side = SIMPLEX_SIDES[Number(vhf[1])];
    return { vhfChannel: Number(vhf[2]), ...(side && { simplex: side }) };
  },
  write(value, path) {
    if (value === 'none') return NO_CHANNEL;
    const expected = "{ hz }, { channel }, { vhfChannel } or 'none'";
    const channel = record(value, path, expected);
    if ('hz' in channel) {
      if (channel.resolutionHz !== undefined && channel.resolutionHz !== HZ_PER_FINE_STEP) {
        throw new DotphaseError(`${path}.resolutionHz`, channel.resolutionHz, '10, or nothing');
      }
      const fine = channel.resolutionHz === HZ_PER_FINE_STEP || Number(channel.hz) % HZ_PER_STEP !== 0;
      return writeFrequency(channel.hz, fine, path);
    }
    const number = (name: string, highest: number) => {
      const given = channel[name];
      if (!Number.isInteger(given) || (given as number) < 0 || (given as number) > highest) {
        throw new DotphaseError(`${path}.${name}`, given, `a channel number from 0 to ${highest}`);
      }
      return given as number;
    };
    if ('channel' in channel)
      return digitsToSymbols(`3${String(number('channel', 99_999)).padStart(5, '0')}`);
    if (!('vhfChannel' in channel)) throw new DotphaseError(path, value, expected);
    const side = SIMPLEX_SIDES.indexOf(channel.simplex as (typeof SIMPLEX_SIDES)[number]);
    if (side < 0) throw new DotphaseError(`${path}.simplex`, channel.simplex, "'ship', 'coast' or nothing");
    return digitsToSymbols(`90${side}${String(number('vhfChannel', 999)).padStart(3, '0')}`);
  },
  describe(value) {
    const channel = value as Exclude<Channel, Unassigned>;
    if (channel === 'none') return 'no channel';
    if ('hz' in channel) return `${String(channel.hz / 1000)} kHz`;
    if ('channel' in channel) return `MF/HF channel ${channel.channel}`;
    const side = channel.simplex ? ` (${channel.simplex} frequency alone)` : '';
    return `VHF channel ${channel.vhfChannel}${side}`;
  },
  shapes: [
    [symbolSet([0, 39]), DIGIT_PAIR, DIGIT_PAIR],
    [symbolSet(90), symbolSet([0, 29]), DIGIT_PAIR],
    only(NO_CHANNEL),
    [symbolSet([40, 49]), DIGIT_PAIR, DIGIT_PAIR, DIGIT_PAIR],
  ],
};

/** Every combination of one shape of each field, in order. */
export function combineShapes(fields: readonly Field[]): Shape[] {
  return fields.reduce<Shape[]>(
    (heads, field) => heads.flatMap((head) => field.shapes.map((shape) => [...head, ...shape])),
    [[]],
  );
}

const POSITION_FOLLOWS = 55;

/**
 * A frequency message of two halves, or symbol 55 with a position and (where the sequence still has two
 * symbols for it) its time (M.493 §8.2.2–§8.2.3).
 */
export const messageField: Field = {
  lengthAt(symbols, at) {
    if (symbols[at] === POSITION_FOLLOWS) {
      const left = symbols.length - at;
      return left >= 8 ? 8 : left >= 6 ? 6 : Infinity;
    }
    const receive = channelLengthAt(symbols, at);
    return receive + channelLengthAt(symbols, at + receive);
  },
  read(symbols) {
    if (symbols[0] === POSITION_FOLLOWS) {
      const position = readField(positionField, symbols.slice(1, 6));
      return symbols.length === 6 ? { position } : { position, time: readField(timeField, symbols.slice(6)) };
    }
    const split = channelLengthAt(symbols, 0);
    return {
      receive: readField(channelField, symbols.slice(0, split)),
      transmit: readField(channelField, symbols.slice(split)),
    };
  },
  write(value, path) {
    const message = record(value, path, '{ receive, transmit } or { position, time }');
    if ('position' in message) {
      const time = message.time === undefined ? [] : writeField(timeField, message.time, `${path}.time`);
      return [POSITION_FOLLOWS, ...writeField(positionField, message.position, `${path}.position`), ...time];
    }
    return [
      ...writeField(channelField, message.receive, `${path}.receive`),
      ...writeField(channelField, message.transmit, `${path}.transmit`),
    ];
  },
  describe(value) {
    const message = value as Record<string, unknown>;
    if ('position' in message) {
      const position = describeField(positionField, message.position);
      return message.time === undefined ? position : `${position}, ${describeField(timeField, message.time)}`;
    }
    if (message.receive === 'none' && message.transmit === 'none') return 'no channel proposed';
    const receive = describeField(channelField, message.receive);
    if (JSON.stringify(message.receive) === JSON.stringify(message.transmit) || message.transmit === 'none') {
      return `on ${receive}`;
    }
    return `receiving on ${receive} and transmitting on ${describeField(channelField, message.transmit)}`;
  },
  shapes: [
    ...combineShapes([channelField, channelField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField, timeField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField]),
  ],
};

const ODD_COUNT = 105;
const EVEN_COUNT = 106;
/** The longest telephone number, in digits: ITU-T E.164's 15 and room for prefixes. */
const LONGEST_TELEPHONE = 18;

/**
 * A telephone number to the end of the sequence: 105 and a leading 0 before an odd count of digits, 106
 * before an even one (M.493 §8.2.4; the place of the padding digit is remembered with doubt).
 */
export const telephoneField: Field = {
  lengthAt: (symbols, at) => (at < symbols.length ? symbols.length - at : Infinity),
  read(symbols) {
    const digits = symbolsToDigits(symbols.slice(1));
    if (!digits) return undefined;
    if (symbols[0] === EVEN_COUNT) return digits;
    return symbols[0] === ODD_COUNT ? digits.slice(1) : undefined;
  },
  write(value, path) {
    if (typeof value !== 'string' || !/^\d+$/.test(value) || value.length > LONGEST_TELEPHONE) {
      throw new DotphaseError(path, value, `a telephone number of 1 to ${LONGEST_TELEPHONE} digits`);
    }
    return value.length % 2 === 0
      ? [EVEN_COUNT, ...digitsToSymbols(value)]
      : [ODD_COUNT, ...digitsToSymbols(`0${value}`)];
  },
  describe: (value) => `telephone number ${String(value)}`,
  shapes: Array.from({ length: LONGEST_TELEPHONE / 2 }, (_, i) => i + 1).flatMap((pairs) => [
    [symbolSet(EVEN_COUNT), ...digitPairs(pairs)],
    [symbolSet(ODD_COUNT), pairSet([0, 0], [0, 9]), ...digitPairs(pairs - 1)],
  ]),
};
