/**
 * Words for fields of which some characters are missing: each missing digit is a question mark, and nothing is said
 * that was not received. Layouts of the digits: M.493 §8 (from memory), worked by hand.
 */
import { describe, expect, it } from 'vitest';
import { describeField, formatPosition, phraseOf } from '../../src/calls/phrases/index.js';
import { FIELDS } from '../../src/calls/fields/index.js';
import type { Character } from '../../src/calls/values.js';

const say = (field: keyof typeof FIELDS, notReceived: readonly Character[]) =>
  describeField(phraseOf(FIELDS[field]), { notReceived });
const notWhole = (characters: readonly Character[]) =>
  `not received whole (characters ${characters.map((each) => each ?? '?').join(' ')})`;

type Case = [said: string, characters: Character[]];

// Quadrant, DD, DDD of the north-west corner, then DD southwards and DD eastwards: 1 58 012 06 10.
describe('an area', () => {
  const phrase = phraseOf(FIELDS.area);

  it('is its north-west corner and its sides', () => {
    const value = { latitude: 5, longitude: -7, south: 6, east: 10 };
    expect(phrase.describe(value)).toBe('the area 6° southwards and 10° eastwards of 05°N 007°W');
  });

  it.each<Case>([
    ['the area 6° southwards and 10° eastwards of ?8°N/S 012°E/W', [null, 80, 12, 6, 10]],
    ['the area 6° southwards and 10° eastwards of 5?°N ?12°W', [15, null, 12, 6, 10]],
    ['the area 6° southwards and 10° eastwards of 58°N 0??°W', [15, 80, null, 6, 10]],
    ['the area ??° southwards and 10° eastwards of 58°N 012°W', [15, 80, 12, null, 10]],
    ['the area 6° southwards and ??° eastwards of 58°N 012°W', [15, 80, 12, 6, null]],
    ['the area ??° southwards and 10° eastwards of 90°N 180°W', [19, 1, 80, null, 10]],
  ])('is %s', (said, characters) => {
    expect(say('area', characters)).toBe(said);
  });

  it.each<[string, Character[]]>([
    ['of another quadrant', [45, 80, 12, 6, null]],
    ['beyond a pole', [19, 10, 12, 6, null]],
    ['beyond 180 degrees', [15, 81, 81, 6, null]],
    ['of what are no digits', [15, 80, 12, 105, null]],
    ['too short', [15, 80, 12, null]],
    ['too long', [15, 80, 12, 6, null, 10]],
  ])('is none where it lies %s', (_, characters) => {
    expect(say('area', characters)).toBe(notWhole(characters));
  });
});

// 0 to 2 … multiples of 100 Hz, 4 … of 10 Hz, 3 … a channel, 90 and a digit for the side a VHF channel.
describe('a working frequency', () => {
  it.each<Case>([
    ['12??0.0 kHz', [12, null, 0]],
    ['218?.? kHz', [2, 18, null]],
    ['12353.?? kHz', [41, 23, 53, null]],
    ['1??53.55 kHz', [41, null, 53, 55]],
    ['MF/HF channel 12??', [30, 12, null]],
    ['MF/HF channel ??05', [30, null, 5]],
    ['VHF channel ?16', [90, null, 16]],
    ['VHF channel ??', [90, 0, null]],
    ['VHF channel ?? (ship frequency alone)', [90, 10, null]],
    ['VHF channel ?? (coast frequency alone)', [90, 20, null]],
  ])('is %s', (said, characters) => {
    expect(say('channel', characters)).toBe(said);
  });

  it.each<[string, Character[]]>([
    ['whose first digit is missing', [null, 35, 30]],
    ['of another side', [90, 30, null]],
    ['of no layout', [95, 0, null]],
    ['of a wrong length', [12, 35, null, 30]],
    ['of what are no digits', [12, 105, null]],
  ])('is none %s', (_, characters) => {
    expect(say('channel', characters)).toBe(notWhole(characters));
  });

  it('is none in words', () => {
    expect(describeField(phraseOf(FIELDS.channel), 'none')).toBe('no channel');
  });
});

// Quadrant, DDMM, DDDMM: 1 5030 00412.
describe('a position', () => {
  it.each<Case>([
    ['?0°30′N/S 004°12′E/W', [null, 3, 0, 4, 12]],
    ['5?°?0′N 004°12′W', [15, null, 0, 4, 12]],
    ['50°30′N 004°??′W', [15, 3, 0, 4, null]],
    ['90°00′N 180°??′W', [19, 0, 1, 80, null]],
  ])('is %s', (said, characters) => {
    expect(say('position', characters)).toBe(said);
  });

  it.each<[string, Character[]]>([
    ['of another quadrant', [99, null, 99, 99, 99]],
    ['beyond a pole', [19, 10, 0, 4, null]],
    ['with sixty minutes', [15, 6, 0, 4, null]],
    ['of what are no digits', [15, 105, 0, 4, null]],
  ])('is none %s', (_, characters) => {
    expect(say('position', characters)).toBe(notWhole(characters));
  });

  it('has decimals of minutes where either coordinate needs them', () => {
    expect(formatPosition({ latitude: 50.5, longitude: -4.2 })).toBe('50°30′N 004°12′W');
    expect(formatPosition({ latitude: 50.5, longitude: -4.2005 })).toBe('50°30.0000′N 004°12.0300′W');
    expect(formatPosition({ latitude: 50.5005, longitude: -4.2 })).toBe('50°30.0300′N 004°12.0000′W');
  });
});

describe('a time', () => {
  it.each<Case>([
    ['23:?? UTC', [23, null]],
    ['??:59 UTC', [null, 59]],
  ])('is %s', (said, characters) => {
    expect(say('time', characters)).toBe(said);
  });

  it.each<[string, Character[]]>([
    ['hour 24', [24, null]],
    ['minute 60', [null, 60]],
    ['half of "no time"', [88, null]],
  ])('is none with %s', (_, characters) => {
    expect(say('time', characters)).toBe(notWhole(characters));
  });
});

// 105 and a leading 0 before an odd count of digits, 106 before an even one.
describe('a telephone number', () => {
  it.each<Case>([
    ['telephone number 1??45', [105, 1, null, 45]],
    ['telephone number ?2345', [105, null, 23, 45]],
    ['telephone number 12??', [106, 12, null]],
  ])('is %s', (said, characters) => {
    expect(say('telephone', characters)).toBe(said);
  });

  it.each<[string, Character[]]>([
    ['whose count is missing', [null, 12, 34]],
    ['of another count', [104, 12, null]],
    ['of what are no digits', [106, 110, null]],
  ])('is none %s', (_, characters) => {
    expect(say('telephone', characters)).toBe(notWhole(characters));
  });
});
