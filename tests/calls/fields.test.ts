/**
 * Reading and writing of fields stand apart in the sources: whatever a field reads as, it is written as the same symbols.
 */
import { describe, expect, it } from 'vitest';
import { DATA_FIELDS } from '../../src/calls/expansions/fields.js';
import { DATA_WRITERS } from '../../src/calls/expansions/writers.js';
import { FIELDS, writeField, writeWith, type Field } from '../../src/calls/fields/index.js';
import fc from '../property.js';

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
