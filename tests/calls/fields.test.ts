/**
 * Reading and writing of fields stand apart in the sources: whatever a field reads as, it is written as the same symbols.
 */
import { describe, expect, it } from 'vitest';
import { DATA_FIELDS } from '../../src/calls/expansions/fields.js';
import { DATA_WRITERS } from '../../src/calls/expansions/writers.js';
import { FIELDS, writeField, writeWith, type Content, type Field } from '../../src/calls/fields/index.js';
import fc from '../property.js';
import { refusal } from '../refusal.js';

const symbol = fc.integer({ min: 0, max: 127 });

/** Symbols that a field holds, and such with one of them replaced by any. */
function symbolsOf(field: Field): fc.Arbitrary<number[]> {
  const members = (set: Uint8Array) => [...set.keys()].filter((each) => set[each] === 1);
  const whole = fc
    .constantFrom(...field.shapes())
    .chain((shape) => fc.tuple(...shape.map((set) => fc.constantFrom(...members(set)))));
  const replaced = fc
    .tuple(whole, fc.nat(), symbol)
    .map(([symbols, at, by]) => symbols.map((each, i) => (i === at % symbols.length ? by : each)));
  return fc.oneof(whole, replaced);
}

function writesWhatItReads(field: Field, write: (value: unknown) => unknown): void {
  fc.assert(
    fc.property(symbolsOf(field), (symbols) => {
      fc.pre(field.lengthAt(symbols, 0) === symbols.length);
      const value = field.read(symbols);
      if (value !== undefined) expect(write(value)).toEqual(symbols);
    }),
    { numRuns: 400 },
  );
}

describe('a field is written as the symbols it was read from', () => {
  it.each(Object.values(FIELDS))('$kind', (field) => {
    writesWhatItReads(field, (value) => writeField(field, value, field.kind));
  });

  it.each(Object.values(FIELDS))('which its shapes allow: $kind', (field) => {
    const shapes = field.shapes();
    fc.assert(
      fc.property(fc.array(symbol, { maxLength: 10 }), symbolsOf(field), (any, likely) => {
        for (const symbols of [any, likely]) {
          if (field.lengthAt(symbols, 0) !== symbols.length || field.read(symbols) === undefined) continue;
          const fits = shapes.some(
            (shape) => shape.length === symbols.length && shape.every((set, i) => set[symbols[i]] === 1),
          );
          // A message may hold parts that mean nothing.
          expect(fits || JSON.stringify(field.read(symbols)).includes('unassigned'), symbols.join()).toBe(
            true,
          );
        }
      }),
    );
  });

  it.each(Object.entries(DATA_FIELDS))('%s', (kind, field) => {
    const writer = DATA_WRITERS[kind as keyof typeof DATA_WRITERS];
    writesWhatItReads(field, (value) => writeWith(writer, value, kind));
  });
});

// By hand from M.493 §5.2, §8.1.2, §8.1.3 and §8.3 and M.821-1 §2 (from memory).
describe('symbols that nothing is written as mean nothing', () => {
  it.each<[string, number[]]>([
    ['identity', [29, 91, 23, 45, 61]], // a 1 behind the nine digits
    ['casualty', [126, 126, 126, 126, 0]],
    ['telephone', [105, 12, 34]], // 105 says that the first digit is a 0
    ['telephone', [106, 12, 34, 56, 78, 90, 12, 34, 56, 78, 90]], // twenty digits
    ['time', [24, 0]],
    ['time', [88, 0]],
    ['position', [40, 0, 0, 0, 0]], // there is no quadrant 4
    ['position', [9, 0, 10, 0, 0]], // 90°01′
    ['area', [0, 1, 81, 0, 0]], // 181°
    ['channel', [93, 0, 16]], // 90 to 92 stand before a VHF channel
    ['channel', [50, 0, 0]],
  ])('%s %j', (kind, symbols) => {
    expect(FIELDS[kind as keyof typeof FIELDS].read(symbols)).toBeUndefined();
  });

  it.each<[keyof typeof DATA_FIELDS, number[]]>([
    ['positionSource', [9, 10, 0]], // no source 9
    ['positionSource', [0, 110, 0]], // 110 is no digit pair
    ['positionSource', [0, 10]],
    ['course', [36, 0]], // 360.0°
    ['speed', [1, 2, 3]],
    ['furtherIdentification', [10]],
    ['furtherIdentification', []],
  ])('%s %j', (kind, symbols) => {
    expect(DATA_FIELDS[kind].read(symbols)).toBeUndefined();
  });
});

// By hand from the same places: what a field is written as.
describe('values are written as', () => {
  it.each<[Content['kind'], unknown, number[]]>([
    ['time', '00:00', [0, 0]],
    ['time', '23:59', [23, 59]],
    ['time', 'none', [88, 88]],
    ['identity', '002991234', [0, 29, 91, 23, 40]],
    ['casualty', 'unknown', [126, 126, 126, 126, 126]],
    ['casualty', '299123456', [29, 91, 23, 45, 60]],
    ['telephone', '1', [105, 1]],
    ['telephone', '12', [106, 12]],
    ['telephone', 'none', []],
    ['telephone', '123456789012345678', [106, 12, 34, 56, 78, 90, 12, 34, 56, 78]],
    ['area', { latitude: 60, longitude: -10, south: 20, east: 5 }, [16, 0, 10, 20, 5]],
    ['position', 'none', [99, 99, 99, 99, 99]],
    ['position', { latitude: 90, longitude: -180 }, [19, 0, 1, 80, 0]],
    ['channel', 'none', [126, 126, 126]],
    ['channel', { hz: 8_414_500 }, [8, 41, 45]],
    ['channel', { hz: 29_999_900 }, [29, 99, 99]],
    ['channel', { hz: 2_187_510 }, [40, 21, 87, 51]],
    ['channel', { hz: 8_414_500, resolutionHz: 10 }, [40, 84, 14, 50]],
    ['channel', { hz: 99_999_990 }, [49, 99, 99, 99]],
    ['channel', { channel: 99_999 }, [39, 99, 99]],
    ['channel', { vhfChannel: 16 }, [90, 0, 16]],
    ['channel', { vhfChannel: 60, simplex: 'ship' }, [90, 10, 60]],
    ['channel', { vhfChannel: 999, simplex: 'coast' }, [90, 29, 99]],
  ])('%s %j', (kind, value, symbols) => {
    expect(writeField({ kind }, value, kind)).toEqual(symbols);
    expect(FIELDS[kind as keyof typeof FIELDS].read(symbols)).toEqual(value);
  });
});

// Just outside what the same places allow, and what only looks like it: the error names the part.
describe('values that cannot be sent are refused by their name', () => {
  const area = { latitude: 60, longitude: -10, south: 20, east: 5 };
  it.each<[Content['kind'], unknown, string]>([
    ['time', ['09:30'], 'time'],
    ['time', '109:30', 'time'],
    ['time', '09:300', 'time'],
    ['time', '24:00', 'time'],
    ['time', '23:60', 'time'],
    ['identity', ['299123456'], 'identity'],
    ['identity', '29912345', 'identity'],
    ['identity', '2991234567', 'identity'],
    ['identity', 'a299123456', 'identity'],
    ['casualty', 'nobody', 'casualty'],
    ['telephone', ['12'], 'telephone'],
    ['telephone', '', 'telephone'],
    ['telephone', '+12', 'telephone'],
    ['telephone', '12a', 'telephone'],
    ['telephone', '1234567890123456789', 'telephone'],
    ['area', 'none', 'area'],
    ['area', { ...area, latitude: 91 }, 'area.latitude'],
    ['area', { ...area, latitude: -91 }, 'area.latitude'],
    ['area', { ...area, longitude: 181 }, 'area.longitude'],
    ['area', { ...area, longitude: -181 }, 'area.longitude'],
    ['area', { ...area, south: 100 }, 'area.south'],
    ['area', { ...area, south: -1 }, 'area.south'],
    ['area', { ...area, east: 100 }, 'area.east'],
    ['area', { ...area, east: -1 }, 'area.east'],
    ['area', { ...area, quadrant: 'SE' }, 'area.quadrant'],
    ['area', { ...area, north: 1 }, 'area.north'],
    ['position', { latitude: 90.1, longitude: 0 }, 'position.latitude'],
    ['position', { latitude: 0, longitude: -180.1 }, 'position.longitude'],
    ['position', { latitude: '1', longitude: 0 }, 'position.latitude'],
    ['position', { latitude: 1, longitude: 0, quadrant: 'SE' }, 'position.quadrant'],
    ['position', { latitude: 0, longitude: 1, quadrant: 'NW' }, 'position.quadrant'],
    ['position', { latitude: 0, longitude: 0, quadrant: 'N' }, 'position.quadrant'],
    ['channel', null, 'channel'],
    ['channel', {}, 'channel'],
    ['channel', { hz: -100 }, 'channel.hz'],
    ['channel', { hz: 2_187_505 }, 'channel.hz'],
    ['channel', { hz: 100_000_000 }, 'channel.hz'],
    ['channel', { hz: '100' }, 'channel.hz'],
    ['channel', { hz: 100, resolutionHz: 100 }, 'channel.resolutionHz'],
    ['channel', { channel: 100_000 }, 'channel.channel'],
    ['channel', { channel: 1, hzz: 1 }, 'channel.hzz'],
    ['channel', { vhfChannel: 1000 }, 'channel.vhfChannel'],
    ['channel', { vhfChannel: -1 }, 'channel.vhfChannel'],
    ['channel', { vhfChannel: 16, simplex: 'both' }, 'channel.simplex'],
    ['nature', 'unknown', 'nature'],
    ['message', { receive: 'none' }, 'message.transmit'],
    ['message', { position: 'none', when: '00:00' }, 'message.when'],
    ['identity', { unassigned: [1, 2, 3, 4] }, 'identity.unassigned'],
    ['identity', { unassigned: [1, 2, 3, 4, 128] }, 'identity.unassigned'],
    ['identity', { unassigned: [1, 2, 3, 4, 5], more: 1 }, 'identity.more'],
    ['identity', { notReceived: [128] }, 'identity.notReceived'],
  ])('%s %j', (kind, value, field) => {
    expect(refusal(() => writeField({ kind }, value, kind))?.field).toBe(field);
  });
});

describe('what was not received of a field', () => {
  const write = (value: unknown) => writeField(FIELDS.identity, value, 'self');

  it('is written as it came', () => {
    const characters = [29, null, 12, 34, 0];
    const written = write({ notReceived: characters });
    expect(written).toEqual(characters);
    expect(written).not.toBe(characters);
  });

  it.each([
    [
      'no list',
      { notReceived: 'x' },
      'self.notReceived',
      'a list of symbols from 0 to 127, null where not received',
    ],
    [
      'a symbol too high',
      { notReceived: [29, 128] },
      'self.notReceived',
      'a list of symbols from 0 to 127, null where not received',
    ],
    [
      'a list of gaps',
      { notReceived: new Array(5) },
      'self.notReceived',
      'a list of symbols from 0 to 127, null where not received',
    ],
    [
      'something beside it',
      { notReceived: [29], value: 5 },
      'self.value',
      'nothing: self is { notReceived } alone',
    ],
    [
      'something beside what is unassigned',
      { unassigned: [126, 0, 0, 0, 0], value: 5 },
      'self.value',
      'nothing: self is { unassigned } alone',
    ],
  ])('is refused with %s', (_, value, field, expected) => {
    expect(refusal(() => write(value))).toMatchObject({ field, expected });
  });
});

// 105 and a leading 0 before an odd count of digits, 106 before an even one (M.493 §8.3, from memory).
describe('a telephone number', () => {
  const { telephone } = FIELDS;
  const write = (value: unknown) => writeField(telephone, value, 'telephone');
  const longest = '123456789012345678';

  it.each([
    ['none', []],
    ['1', [105, 1]],
    ['12', [106, 12]],
    ['12345', [105, 1, 23, 45]],
    ['0012', [106, 0, 12]],
    [longest, [106, 12, 34, 56, 78, 90, 12, 34, 56, 78]],
  ])('%s is %j', (value, symbols) => {
    expect(write(value)).toEqual(symbols);
    expect(telephone.read(symbols)).toBe(value);
  });

  it.each([[''], [`${longest}9`], ['12a'], [' 12'], [12]])('is not %j', (value) => {
    expect(refusal(() => write(value))).toMatchObject({
      field: 'telephone',
      expected: "a telephone number of 1 to 18 digits, or 'none'",
    });
  });

  it.each([
    ['without its leading 0', [105, 12]],
    ['of another count', [104, 12]],
    ['that is too long', [106, ...new Array<number>(10).fill(12)]],
    ['with a character that is no digits', [106, 100]],
  ])('%s reads as nothing', (_, symbols) => {
    expect(telephone.read(symbols)).toBeUndefined();
  });

  it('takes all that is left of a sequence', () => {
    expect(telephone.lengthAt([1, 2, 106, 12, 34], 2)).toBe(3);
    expect(telephone.lengthAt([1, 2], 2)).toBe(0);
    expect(telephone.lengthAt([1, 2], 3)).toBe(Infinity);
  });

  it('that was not received whole is given as what came, and nothing is known of its end', () => {
    expect(telephone.readReceived?.([106, 12, null], true)).toEqual({
      value: { notReceived: [106, 12, null] },
      length: 3,
    });
    expect(telephone.readReceived?.([106, 12], false)).toEqual({
      value: { notReceived: [106, 12, null] },
      length: undefined,
    });
    expect(telephone.readReceived?.([106, 12], true)).toEqual({ value: '12', length: 2 });
  });
});

// Two groups of three or four characters, or 55, a position and, usually, its time (M.493 §8.3.2 and §8.3.3, from memory).
describe('a frequency message of which not all was received', () => {
  const position = { latitude: 50.5, longitude: -4.2 };
  const where = [15, 3, 0, 4, 12];
  const receive = { hz: 12_353_000 };

  it.each<[string, (number | null)[], boolean, object, number | undefined]>([
    ['a position with its time', [55, ...where, 9, 30], true, { position, time: '09:30' }, 8],
    ['a position alone, to the end', [55, ...where], true, { position }, 6],
    [
      'half a position, to the end',
      [55, 15, null, 0, 4, 12],
      true,
      { position: { notReceived: [15, null, 0, 4, 12] } },
      6,
    ],
    [
      'a position with half its time, to the end',
      [55, ...where, null, 30],
      true,
      { position, time: { notReceived: [null, 30] } },
      8,
    ],
    [
      'a position with the hour of its time',
      [55, ...where, 9, null],
      false,
      { position, time: { notReceived: [9, null] } },
      8,
    ],
    [
      'a position and what may be its time or a telephone number',
      [55, ...where, null, 30],
      false,
      { position, time: { notReceived: [null, 30] } },
      undefined,
    ],
    ['a position before a telephone number', [55, ...where, 105, 5, null], true, { position }, 6],
    ['a position before an even one', [55, ...where, 106, null, 12], false, { position }, 6],
    [
      'a position that breaks off',
      [55, 15, 3],
      false,
      { position: { notReceived: [15, 3, null, null, null] }, time: { notReceived: [] } },
      undefined,
    ],
    [
      'one frequency, and nothing of the other',
      [12, 35, 30, null, null, null],
      true,
      { receive, transmit: { notReceived: [null, null, null] } },
      undefined,
    ],
    [
      'one frequency, and half the other',
      [12, 35, 30, 12, null, 30, 105, 5],
      false,
      { receive, transmit: { notReceived: [12, null, 30] } },
      6,
    ],
    [
      'a frequency in tens of hertz, and half another',
      [41, 23, 53, 0, 12, null, 30],
      true,
      { receive: { ...receive, resolutionHz: 10 }, transmit: { notReceived: [12, null, 30] } },
      7,
    ],
    ['less than two, to the end', [12, null], true, { notReceived: [12, null] }, 2],
    ['nothing of its beginning', [null, 35, 30], false, { notReceived: [null, 35, 30] }, undefined],
    ['nothing', [], false, { notReceived: [] }, undefined],
  ])('%s: %j', (_, left, isEndKnown, value, length) => {
    expect(FIELDS.message.readReceived?.(left, isEndKnown)).toEqual({ value, length });
  });
});
