import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { decodeCall, encodeCall } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import { frameCall, phasingSymbol, readSequence, readSequences } from '../../src/frames/index.js';
import { countPhasing, readCharacter, splitExpansions } from '../../src/frames/internal.js';
import { dotBits } from '../../src/frames/sequence.js';
import { LONGEST_INFORMATION } from '../../src/frames/reading.js';
import { BITS_PER_SYMBOL, symbolToBits } from '../../src/symbols/index.js';
import { anyCall } from '../calls/arbitraries.js';
import { CASES, numbers } from '../vectors/cases.js';
import { DISTRESS_ALERT, EXPANDED_ALERT, EXPANDED_ALERT_AFTER_CHECK, TEST_CALL, slotsOf } from './slots.js';

const ALERT = numbers(CASES[0].characters);
const EXPANSION = [100, 74, 7, 2, 50, 127, 102];
/** A word whose check bits disagree: what is left of a character that noise has hit. */
const SPOILT = [1, 0, 1, 0, 1, 0, 1, 0, 1, 0];

/** Bits of slots; undefined is a character that noise has hit. */
function bitsOf(slots: readonly (number | undefined)[]): number[] {
  return slots.flatMap((symbol) => (symbol === undefined ? SPOILT : [...symbolToBits(symbol)]));
}

/** The slots of a written sequence with some of them hit: indices of slots, DX of pair n being 2n and RX 2n + 1. */
function hit(sequence: string, ...indices: number[]): (number | undefined)[] {
  return slotsOf(sequence).map((symbol, i) => (indices.includes(i) ? undefined : symbol));
}

const dx = (character: number) => 2 * (character + 6);
const rx = (character: number) => 2 * (character + 8) + 1;

describe('phasing', () => {
  // M.493 §3.2 (from memory): phasing is achieved on two DX and one RX, one DX and two RX, or three RX phasing
  // characters in their right places, consecutive or not.
  it.each([
    ['two DX and one RX', [0, 2], [1], true],
    ['one DX and two RX', [10], [3, 15], true],
    ['three RX', [], [1, 7, 13], true],
    ['two DX', [0, 2], [], false],
    ['six DX', [0, 2, 4, 6, 8, 10], [], false],
    ['one DX and one RX', [4], [5], false],
    ['two RX', [], [1, 3], false],
    ['nothing', [], [], false],
  ])('%s', (_, dxSlots, rxSlots, achieved) => {
    const kept = [...dxSlots, ...rxSlots];
    const slots = slotsOf(DISTRESS_ALERT).map((symbol, i) => (kept.includes(i) ? symbol : undefined));
    expect(countPhasing(bitsOf(slots), 0)).toEqual({ count: kept.length, achieved });
  });

  it('follows the rule for each of the 16384 ways to lose phasing characters', () => {
    const places = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15];
    const whole = slotsOf(DISTRESS_ALERT).slice(0, 16);
    const sound = bitsOf(whole);
    const spoilt = bitsOf(whole.map(() => undefined));
    const bits = new Uint8Array(160);
    let wrong = 0;
    for (let mask = 0; mask < 1 << places.length; mask++) {
      bits.set(spoilt);
      let [dxCount, rxCount] = [0, 0];
      places.forEach((slot, i) => {
        if (!((mask >> i) & 1)) return;
        bits.set(sound.slice(10 * slot, 10 * slot + 10), 10 * slot);
        if (slot % 2 === 0) dxCount++;
        else rxCount++;
      });
      const ways = (dxCount >= 2 && rxCount >= 1) || (dxCount >= 1 && rxCount >= 2) || rxCount >= 3;
      const found = countPhasing(bits, 0);
      if (found.achieved !== ways || found.count !== dxCount + rxCount) wrong++;
    }
    expect(wrong).toBe(0);
  });

  it('counts only what was received', () => {
    const bits = bitsOf(slotsOf(DISTRESS_ALERT));
    expect(countPhasing(bits, 0)).toEqual({ count: 14, achieved: true });
    // The first five pairs cut off: 125 106, 105 and 104 are left.
    expect(countPhasing(bits.slice(100), -100)).toEqual({ count: 4, achieved: true });
    expect(countPhasing(bits.slice(0, 25), 0)).toEqual({ count: 2, achieved: false });
    expect(countPhasing(bits, 10).achieved).toBe(false);
  });

  it('has a symbol for each slot until the call begins', () => {
    const slots = Array.from({ length: 20 }, (_, i) => phasingSymbol(i - 2));
    expect(slots).toEqual([
      ...[undefined, undefined],
      ...[125, 111, 125, 110, 125, 109, 125, 108, 125, 107, 125, 106, undefined, 105, undefined, 104],
      ...[undefined, undefined],
    ]);
  });
});

describe('a sequence', () => {
  it('is read where it stands', () => {
    const bits = [...dotBits(200), ...bitsOf(slotsOf(DISTRESS_ALERT)), 0, 1, 1, 0];
    const reading = readSequence(bits, 200);
    expect(reading).toMatchObject({ start: 200, end: 720, phasing: 14, checked: true, expansions: [] });
    expect(reading.symbols).toEqual(ALERT);
    expect(reading.characters).toHaveLength(20);
    expect(reading.characters[2]).toEqual({ dx: 29, rx: 29, symbol: 29 });
    // The two closing ends of sequence are not sent again.
    expect(reading.characters[19]).toMatchObject({ dx: 127, symbol: 127 });
    expect(readSequences(bits)).toEqual([reading]);
  });

  it('is read though its first characters were missed', () => {
    // Slots 0 to 12 are gone, among them the first format specifier in DX; slot 13 is RX 105.
    const bits = bitsOf(slotsOf(DISTRESS_ALERT)).slice(130);
    const reading = readSequence(bits, -130);
    expect(reading).toMatchObject({ start: -130, end: 390, phasing: 2, symbols: ALERT, checked: true });
    expect(reading.characters[0]).toEqual({ dx: undefined, rx: 112, symbol: 112 });
    expect(reading.characters[1]).toEqual({ dx: 112, rx: 112, symbol: 112 });
    // The first slot there is, exactly at the first bit.
    expect(readCharacter(bits, -130, 1).dx).toBe(112);
    expect(readCharacter(bits.slice(10), -140, 1).dx).toBe(112);
    expect(readCharacter(bits.slice(11), -141, 1).dx).toBeUndefined();
  });

  it('is read from DX, else from RX', () => {
    const bits = bitsOf(hit(DISTRESS_ALERT, dx(7), rx(8), dx(9), rx(9)));
    expect(readCharacter(bits, 0, 7)).toEqual({ dx: undefined, rx: 101, symbol: 101 });
    expect(readCharacter(bits, 0, 8)).toEqual({ dx: 15, rx: undefined, symbol: 15 });
    expect(readCharacter(bits, 0, 9)).toEqual({ dx: undefined, rx: undefined, symbol: undefined });
    expect(readSequence(bits, 0)).toMatchObject({ symbols: undefined, checked: false, end: 520 });
    expect(readSequences(bits)).toEqual([]);
  });

  it('is whole with every character lost in one of its sendings', () => {
    const slots = slotsOf(DISTRESS_ALERT);
    for (const lost of [0, 1]) {
      const bits = bitsOf(
        slots.map((symbol, i) => (i >= 16 && i < 48 && i % 2 === lost ? undefined : symbol)),
      );
      expect(readSequence(bits, 0).symbols).toEqual(ALERT);
    }
  });

  it('takes DX where the two sendings differ', () => {
    const slots = slotsOf(DISTRESS_ALERT);
    slots[rx(7)] = 105;
    expect(readSequence(bitsOf(slots), 0)).toMatchObject({ symbols: ALERT, checked: true });
    slots[dx(7)] = 105;
    const reading = readSequence(bitsOf(slots), 0);
    expect(reading.symbols?.[6]).toBe(105);
    expect(reading.checked).toBe(false);
    expect(() => decodeCall(reading.symbols ?? [])).toThrow(/error check/);
  });

  it('is not given when its end is missing', () => {
    const bits = bitsOf(slotsOf(DISTRESS_ALERT)).slice(0, 400);
    const reading = readSequence(bits, 0);
    expect(reading).toMatchObject({ symbols: undefined, checked: false, end: 400, expansions: [] });
    expect(reading.characters.map((character) => character.symbol)).toEqual([112, ...ALERT.slice(0, 13)]);
    expect(readSequences(bits)).toEqual([]);
  });

  it('ends at the end of sequence whose error check agrees', () => {
    // A nature of distress that noise has turned into an end of sequence, in both sendings.
    const slots = slotsOf(DISTRESS_ALERT);
    slots[dx(7)] = slots[rx(7)] = 117;
    expect(readSequence(bitsOf(slots), 0).symbols).toEqual([112, 29, 91, 23, 45, 60, 117, 15]);
    // With an error check that agrees with it all the same, the true end counts.
    const check = 84 ^ 101 ^ 117;
    slots[dx(17)] = slots[rx(17)] = check;
    expect(readSequence(bitsOf(slots), 0).symbols).toEqual([
      ...[112, 29, 91, 23, 45, 60, 117, 15, 3, 0, 4, 12, 9, 30, 109, 127],
      check,
    ]);
  });

  it('is looked for over sixty characters', () => {
    const long = (body: number) => {
      const content = [120, ...Array.from({ length: body }, () => 5), 117];
      return [...content, content.reduce((sum, symbol) => sum ^ symbol, 0)];
    };
    expect(LONGEST_INFORMATION).toBe(60);
    expect(readSequences(frameCall(long(56)).bits).map((reading) => reading.symbols)).toEqual([long(56)]);
    expect(readSequences(frameCall(long(57)).bits)).toEqual([]);
  });
});

// M.493 receiver rule (from memory): distress alerts and all-ships calls count only with the format specifier read twice;
// for the others once is enough.
describe('format specifier', () => {
  const cases: [string, string][] = [
    ['distress', DISTRESS_ALERT],
    ['individual', TEST_CALL],
  ];
  it.each(cases)('of a %s call read twice', (_, sequence) => {
    expect(readSequence(bitsOf(hit(sequence, dx(0), dx(1))), 0).checked).toBe(true);
    expect(readSequence(bitsOf(hit(sequence, rx(0), rx(1))), 0).checked).toBe(true);
    expect(readSequence(bitsOf(hit(sequence, dx(0), rx(1))), 0).checked).toBe(true);
  });

  const once = (format: number, lost: number) => {
    const content = [format, 29, 91, 23, 45, 60, 127];
    const characters = [...content, content.reduce((sum, symbol) => sum ^ symbol, 0)];
    const slots: (number | undefined)[] = frameCall(characters).sendings[0].slots.map((slot) => slot.symbol);
    slots[dx(lost)] = slots[rx(lost)] = undefined;
    return readSequence(bitsOf(slots), 0).symbols?.[0];
  };
  it.each([102, 114, 120, 123])('%i read once is enough', (format) => {
    expect(once(format, 0)).toBe(format);
    expect(once(format, 1)).toBe(format);
  });
  it.each([112, 116, 121])('%i read once is not', (format) => {
    expect(once(format, 0)).toBeUndefined();
    expect(once(format, 1)).toBeUndefined();
  });

  it('that is not one the first time may be one the second', () => {
    const slots = slotsOf(TEST_CALL);
    slots[dx(0)] = slots[rx(0)] = 57;
    expect(readSequence(bitsOf(slots), 0)).toMatchObject({ checked: true });
    slots[dx(0)] = slots[rx(0)] = 114;
    expect(readSequence(bitsOf(slots), 0).symbols).toBeUndefined();
  });

  it('differing where one of them is 112 counts for neither', () => {
    const slots = slotsOf(DISTRESS_ALERT);
    slots[dx(1)] = slots[rx(1)] = 3;
    expect(readSequence(bitsOf(slots), 0).symbols).toBeUndefined();
  });
});

describe('a run of bits', () => {
  it('gives each call in it', () => {
    const five = frameCall(ALERT, { repeat: 5 });
    const test = frameCall(numbers(CASES.find((row) => row.name === 'test-call')?.characters ?? ''));
    const bits = [...five.bits, 0, 0, 1, ...test.bits];
    const readings = readSequences(bits);
    // Each alert is 200 dots and 520 bits (JP567), the test call to a coast station has 20 dots.
    expect(readings.map((reading) => reading.start)).toEqual([200, 920, 1640, 2360, 3080, 3623]);
    expect(readings.map((reading) => decodeCall(reading.symbols ?? []).kind)).toEqual([
      ...Array.from({ length: 5 }, () => 'distressAlert'),
      'testCall',
    ]);
  });

  it('gives a call that began before it', () => {
    const bits = frameCall(ALERT).bits.subarray(200 + 103);
    const [reading] = readSequences(bits);
    expect(reading).toMatchObject({ start: -103, end: 520 - 103, phasing: 3 });
  });

  it('gives nothing for dots, silence or nothing', () => {
    expect(readSequences(dotBits(2000))).toEqual([]);
    expect(readSequences(new Uint8Array(2000))).toEqual([]);
    expect(readSequences([])).toEqual([]);
  });

  it('gives every call as it was sent', () => {
    fc.assert(
      fc.property(anyCall, fc.constantFrom('mf-hf' as const, 'vhf' as const), (call, band) => {
        const symbols = encodeCall(call).symbols;
        fc.pre(symbols.length + 3 <= LONGEST_INFORMATION && readable(symbols));
        fc.pre([117, 122, 127].includes(symbols[symbols.length - 2]));
        const readings = readSequences(frameCall(symbols, { band }).bits);
        expect(readings.map((reading) => [reading.symbols, reading.checked])).toContainEqual([symbols, true]);
      }),
      { numRuns: 300 },
    );
  });

  /** Not where an end of sequence within the call is followed by what happens to be its error check. */
  function readable(symbols: readonly number[]): boolean {
    let sum = 0;
    return symbols.slice(0, -2).every((symbol, i) => {
      sum ^= symbol;
      return ![117, 122, 127].includes(symbol) || i === 0 || symbols[i + 1] !== sum;
    });
  }

  it('never throws', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 1 }), { maxLength: 400 }), (bits) => {
        for (const reading of readSequences(bits)) expect(reading.end).toBeGreaterThan(reading.start);
        readSequence(bits, -50);
      }),
    );
  });

  it.each([NaN, 0.5, Infinity])('cannot begin at %d', (start) => {
    expect(() => readSequence([], start)).toThrow(DotphaseError);
    expect(() => readSequence([], start)).toThrow(/^start: /);
  });
});

// M.821-1 §1 (from memory, with doubt): both framings are read.
describe('expansions', () => {
  it.each([
    ['behind the closing ends of sequence', EXPANDED_ALERT],
    ['behind the error check', EXPANDED_ALERT_AFTER_CHECK],
  ])('%s are read', (_, sequence) => {
    const bits = [...bitsOf(slotsOf(sequence)), ...new Array<number>(300).fill(0)];
    const reading = readSequence(bits, 0);
    expect(reading).toMatchObject({ symbols: ALERT, checked: true, expansions: [EXPANSION] });
    expect(reading.end).toBe(slotsOf(sequence).length * 10);
    expect(reading.characters).toHaveLength(slotsOf(sequence).length / 2 - 6);
    expect(readSequences(bits)).toHaveLength(1);
  });

  it.each(['end', 'check'] as const)('of any number are read, framed after the %s', (expansionsAfter) => {
    const several = CASES.find((row) => row.name === 'expansion-several');
    const sequences = (several?.expansions ?? []).map(numbers);
    const { bits } = frameCall(
      { symbols: numbers(several?.characters ?? ''), expansions: sequences },
      { expansionsAfter },
    );
    const [reading] = readSequences(bits);
    expect(reading.expansions).toEqual(sequences);
    expect(decodeCall(reading.symbols ?? [], { expansions: reading.expansions })).toEqual(several?.call);
  });

  it('do not count with a character lost or an error check that disagrees', () => {
    expect(splitExpansions([127, 127, ...EXPANSION, 127, 127])).toEqual({
      expansions: [EXPANSION],
      length: 11,
    });
    expect(splitExpansions([127, 127, ...EXPANSION.with(2, 8), 127, 127])).toEqual({
      expansions: [],
      length: 2,
      next: 2,
    });
    const lost = [127, 127, 100, undefined, 7, 2, 50, 127, 102, 127, 127];
    expect(splitExpansions(lost)).toEqual({ expansions: [], length: 2, next: 2 });
    expect(splitExpansions([127, 127, undefined])).toEqual({ expansions: [], length: 2 });
    expect(splitExpansions([127, 127, ...EXPANSION.slice(0, -1)])).toEqual({
      expansions: [],
      length: 2,
      next: 2,
    });
  });

  it('are told to go on where a specifier follows that begins no whole sequence', () => {
    const read = (expansions: number[][]) => readSequences(frameCall({ symbols: ALERT, expansions }).bits)[0];
    expect(read([])).toMatchObject({ expansions: [], moreFollowed: false });
    expect(read([EXPANSION])).toMatchObject({ expansions: [EXPANSION], moreFollowed: false });
    const wrong = EXPANSION.with(2, 8);
    expect(read([wrong])).toMatchObject({ expansions: [], moreFollowed: true });
    expect(read([EXPANSION, wrong])).toMatchObject({ expansions: [EXPANSION], moreFollowed: true });
  });

  it('are not told to go on where the specifier reads in one sending alone', () => {
    const { bits, sendings } = frameCall({ symbols: ALERT, expansions: [EXPANSION.with(2, 8)] });
    const [{ dots, slots }] = sendings;
    // Behind the call of ALERT.length + 3 characters in DX.
    const at = slots.findIndex(({ character }) => character === ALERT.length + 3);
    bits[dots + at * BITS_PER_SYMBOL] ^= 1;
    expect(readSequences(bits)[0]).toMatchObject({ expansions: [], moreFollowed: false });
  });

  // ITU-R M.821-1 (from memory): each of the seven once, at its longest, in a sequence of its own.
  it('are all read at their longest', () => {
    const closed = ([...symbols]: number[]) => [
      ...symbols,
      127,
      [...symbols, 127].reduce((a, b) => a ^ b, 0),
    ];
    const longest = [4, 3, 2, 2, 20, 12, 2].map((data, i) =>
      closed([100 + i, ...Array<number>(data).fill(1)]),
    );
    const [reading] = readSequences(frameCall({ symbols: ALERT, expansions: longest }).bits);
    expect(reading).toMatchObject({ expansions: longest, moreFollowed: false, checked: true });
  });

  it('begin with a specifier', () => {
    const closed = (specifier: number) => [specifier, 5, 127, specifier ^ 5 ^ 127];
    for (let specifier = 0; specifier < 128; specifier++) {
      const isSpecifier = specifier >= 100 && specifier <= 106;
      const found = splitExpansions([127, 127, ...closed(specifier), 127, 127]).expansions;
      expect(found).toEqual(isSpecifier ? [closed(specifier)] : []);
    }
  });

  it('are found though the ends of sequence between are lost', () => {
    expect(splitExpansions([undefined, undefined, ...EXPANSION])).toEqual({
      expansions: [EXPANSION],
      length: 9,
    });
    expect(splitExpansions([])).toEqual({ expansions: [], length: 0 });
    expect(splitExpansions([127])).toEqual({ expansions: [], length: 1 });
  });
});
