import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { DotphaseError } from '../../src/errors.js';
import {
  BITS_PER_SYMBOL,
  SYMBOL_COUNT,
  SYMBOL_WORDS,
  bitsToLetters,
  bitsToSymbol,
  lettersToBits,
  symbolToBits,
} from '../../src/symbols/index.js';

const ALL = Array.from({ length: 128 }, (_, symbol) => symbol);

// ITU-R M.493 Annex 1 §1, Table A1-1 (from memory): bits 1–7 the number, least significant first, Y = 1; bits 8–10
// the count of B elements, most significant first.
describe('the ten-unit code', () => {
  // Worked by hand: 55 = 0110111₂, sent from the right YYYBYYB, two B = 010 = BYB; 120 = 1111000₂, BBBYYYY, three B =
  // 011 = BYY; 1 has six B = 110 = YYB.
  it.each([
    [0, 'BBBBBBBYYY'],
    [1, 'YBBBBBBYYB'],
    [55, 'YYYBYYBBYB'],
    [104, 'BBBYBYYYBB'],
    [105, 'YBBYBYYBYY'],
    [111, 'YYYYBYYBBY'],
    [112, 'BBBBYYYYBB'],
    [120, 'BBBYYYYBYY'],
    [125, 'YBYYYYYBBY'],
    [127, 'YYYYYYYBBB'],
  ])('sends %i as %s', (symbol, letters) => {
    expect(bitsToLetters(symbolToBits(symbol))).toBe(letters);
    expect(bitsToSymbol(lettersToBits(letters))).toBe(symbol);
  });

  it('has check bits BYY for three B elements and YYB for six, as the standard works them', () => {
    for (const symbol of ALL) {
      const letters = bitsToLetters(symbolToBits(symbol));
      const count = letters.slice(0, 7).split('B').length - 1;
      if (count === 3) expect(letters.slice(7)).toBe('BYY');
      if (count === 6) expect(letters.slice(7)).toBe('YYB');
    }
  });

  it('carries the number in the first seven bits and the count of B in the last three', () => {
    for (const symbol of ALL) {
      const letters = bitsToLetters(symbolToBits(symbol));
      const reversed = Array.from(letters.slice(0, 7))
        .reverse()
        .map((letter) => (letter === 'Y' ? '1' : '0'));
      expect(parseInt(reversed.join(''), 2)).toBe(symbol);
      const check = letters.slice(7).replaceAll('Y', '1').replaceAll('B', '0');
      expect(parseInt(check, 2)).toBe(
        Array.from(letters.slice(0, 7)).filter((letter) => letter === 'B').length,
      );
    }
  });

  it('reads 128 of the 1024 words of ten bits and no other', () => {
    const words = Array.from({ length: 1024 }, (_, word) =>
      bitsToSymbol(Array.from({ length: 10 }, (_, bit) => (word >> bit) & 1)),
    );
    expect(words.filter((symbol) => symbol !== undefined).sort((a, b) => a - b)).toEqual(ALL);
  });

  // Property of any code that counts elements: one wrong element changes either the count or the check, never both alike.
  it('detects every single wrong bit', () => {
    for (const symbol of ALL) {
      for (let bit = 0; bit < 10; bit++) {
        const bits = symbolToBits(symbol);
        bits[bit] ^= 1;
        expect(bitsToSymbol(bits)).toBeUndefined();
      }
    }
  });

  it('packs the bits of each word with the first one sent least significant', () => {
    expect(SYMBOL_COUNT).toBe(128);
    expect(BITS_PER_SYMBOL).toBe(10);
    expect(SYMBOL_WORDS).toHaveLength(128);
    expect(SYMBOL_WORDS[0]).toBe(0b1110000000);
    expect(SYMBOL_WORDS[125]).toBe(0b1001111101);
    expect(SYMBOL_WORDS[127]).toBe(0b0001111111);
  });

  it('reads at an offset', () => {
    const bits = lettersToBits('BYYBYYYYYBBYB');
    expect(bitsToSymbol(bits, 2)).toBe(125);
    expect(bitsToSymbol(bits, 1)).toBeUndefined();
    expect(bitsToSymbol(bits)).toBeUndefined();
  });

  it('takes characters to bits and back', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 127 })), (symbols) => {
        const bits = symbols.flatMap((symbol) => [...symbolToBits(symbol)]);
        expect(symbols.map((_, i) => bitsToSymbol(bits, 10 * i))).toEqual(symbols);
        expect(lettersToBits(bitsToLetters(bits))).toEqual(Uint8Array.from(bits));
      }),
    );
  });
});

describe('refusals', () => {
  it.each([-1, 128, 1.5, NaN, Infinity, '1', null, undefined])('refuses the symbol %o', (symbol) => {
    expect(() => symbolToBits(symbol as number)).toThrow(
      /^symbol: got .*, expected an integer from 0 to 127$/,
    );
  });

  it.each([
    [9, 0],
    [10, 1],
    [20, 11],
    [20, -1],
    [20, 0.5],
    [20, NaN],
  ])('refuses %i bits read from %d', (length, offset) => {
    expect(() => bitsToSymbol(new Uint8Array(length), offset)).toThrow(DotphaseError);
    expect(() => bitsToSymbol(new Uint8Array(length), offset)).toThrow(/^offset: .*index of a bit/);
  });

  it('reads the last ten bits there are', () => {
    expect(bitsToSymbol([0, ...symbolToBits(99)], 1)).toBe(99);
  });

  it('names the letter that is neither B nor Y', () => {
    expect(() => lettersToBits('BYX')).toThrow(/^letter 3: got "X", expected B or Y$/);
    expect(lettersToBits('')).toHaveLength(0);
  });
});
