import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import {
  LONG_DOTS,
  PHASING_DX_COUNT,
  PHASING_RX,
  RX_DELAY_PAIRS,
  SHORT_DOTS,
  airSlots,
  dotPatternLength,
  frameCall,
  informationCharacters,
  type FramingOptions,
} from '../../src/frames/index.js';
import { dotBits } from '../../src/frames/sequence.js';
import { bitsToLetters, bitsToSymbol, BIT_RATE } from '../../src/symbols/index.js';
import { CASES, numbers } from '../vectors/cases.js';
import {
  DISTRESS_ALERT,
  EXPANDED_ALERT,
  EXPANDED_ALERT_AFTER_CHECK,
  TEST_ACKNOWLEDGEMENT,
  TEST_CALL,
  slotsOf,
} from './slots.js';

const charactersOf = (name: string) => numbers(CASES.find((row) => row.name === name)?.characters ?? '');
const ALERT = charactersOf('distress-alert');
const EXPANSION = [100, 74, 7, 2, 50, 127, 102];

describe('slots', () => {
  it.each([
    ['a distress alert', ALERT, DISTRESS_ALERT],
    ['a test call', charactersOf('test-call'), TEST_CALL],
    ['a test acknowledgement', charactersOf('test-acknowledgement'), TEST_ACKNOWLEDGEMENT],
  ])('of %s are those written out by hand', (_, characters, written) => {
    expect(airSlots(characters).map((slot) => slot.symbol)).toEqual(slotsOf(written));
  });

  it('alternate DX and RX and name their character', () => {
    const slots = airSlots(ALERT);
    expect(slots.map((slot) => slot.position)).toEqual(slots.map((_, i) => (i % 2 === 0 ? 'DX' : 'RX')));
    expect(slots.filter((slot) => slot.position === 'DX').map((slot) => slot.character)).toEqual([
      ...Array.from({ length: 6 }, () => undefined),
      ...Array.from({ length: 20 }, (_, i) => i),
    ]);
    expect(slots.filter((slot) => slot.position === 'RX').map((slot) => slot.character)).toEqual([
      ...Array.from({ length: 8 }, () => undefined),
      ...Array.from({ length: 18 }, (_, i) => i),
    ]);
  });

  // M.493 §2 (from memory): the two sendings of a character lie 400 ms apart on MF/HF, 33 1/3 ms on VHF, from the end of
  // one to the beginning of the next: four characters of ten bits.
  it('leave 400 ms or 33 1/3 ms between the two sendings of a character', () => {
    const slots = airSlots(ALERT);
    const format = slots.flatMap((slot, i) => (slot.character === 0 ? [i] : []));
    const between = (format[1] - format[0] - 1) * 10;
    expect(between / BIT_RATE['mf-hf']).toBeCloseTo(0.4, 12);
    expect(between / BIT_RATE.vhf).toBeCloseTo(1 / 30, 12);
    expect(RX_DELAY_PAIRS).toBe(2);
  });

  it('open with 125 six times and 111 down to 104', () => {
    expect(PHASING_DX_COUNT).toBe(6);
    expect(PHASING_RX).toEqual([111, 110, 109, 108, 107, 106, 105, 104]);
  });

  it('send the format specifier twice and close EOS, ECC, EOS, EOS', () => {
    expect(informationCharacters([120, 5, 117, 8])).toEqual([120, 120, 5, 117, 8, 117, 117]);
  });
});

describe('bits', () => {
  it('are the dots, then ten bits for each slot', () => {
    const { bits, sendings } = frameCall(ALERT);
    expect(sendings).toHaveLength(1);
    expect(bitsToLetters(bits.subarray(0, 200))).toBe('BY'.repeat(100));
    const slots = slotsOf(DISTRESS_ALERT);
    expect(slots.map((_, i) => bitsToSymbol(bits, 200 + 10 * i))).toEqual(slots);
    expect(bits).toHaveLength(200 + 10 * slots.length);
  });

  it('begin a dot pattern with B', () => {
    expect(bitsToLetters(dotBits(20))).toBe('BYBYBYBYBYBYBYBYBYBY');
    expect(dotBits(0)).toHaveLength(0);
  });
});

// Durations worked from M.493 §1.3 and §3 (from memory): 26 pairs of ten-bit slots are 520 bits, 31 are 620.
describe('durations', () => {
  it.each<[string, readonly number[], FramingOptions, number, number]>([
    ['a distress alert on MF/HF', ALERT, {}, 720, 7.2],
    ['a distress alert on VHF', ALERT, { band: 'vhf' }, 540, 0.45],
    ['a test call to a coast station on MF/HF', charactersOf('test-call'), {}, 640, 6.4],
    // JP567: no gap "between the last signal of one alert and the dot signal of the next"; 5 × 7.2 s.
    ['an attempt of five, dots before each', ALERT, { repeat: 5 }, 3600, 36],
    // JP567 allows it on frequencies that are not exclusive to DSC; 7.2 + 4 × 5.2 s.
    ['an attempt of five with dots before the first', ALERT, { repeat: 5, dotsBefore: 'first' }, 2800, 28],
    ['an alert without dots', ALERT, { dots: 0 }, 520, 5.2],
    ['an alert with twenty dots on MF/HF', ALERT, { dots: 20, band: 'mf-hf' }, 540, 5.4],
  ])('%s', (_, characters, options, bits, seconds) => {
    const sequence = frameCall(characters, options);
    expect(sequence.bits).toHaveLength(bits);
    expect(sequence.duration).toBeCloseTo(seconds, 12);
  });

  it('count the dots of each sending', () => {
    const dots = (options: FramingOptions) =>
      frameCall(ALERT, options).sendings.map((sending) => sending.dots);
    expect(dots({ repeat: 3 })).toEqual([200, 200, 200]);
    expect(dots({ repeat: 3, dotsBefore: 'first' })).toEqual([200, 0, 0]);
    expect(dots({ repeat: 3, dotsBefore: 'each', dots: 40 })).toEqual([40, 40, 40]);
    expect(frameCall(ALERT, { band: 'vhf' }).band).toBe('vhf');
    expect(frameCall(ALERT).band).toBe('mf-hf');
  });
});

// JP567: on MF/HF 20 bits before acknowledgements of individual calls and all calls to coast stations, 200 before the
// rest; 20 on VHF. M.493 §3.4.1 and §3.4.2 (from memory) list the formats.
describe('dot pattern', () => {
  it.each(CASES)('before $name: $dots bits', ({ characters, band, dots }) => {
    expect(dotPatternLength(numbers(characters), band)).toBe(dots);
    expect(frameCall(numbers(characters), { band }).sendings[0].dots).toBe(dots);
    expect(dotPatternLength(numbers(characters), 'vhf')).toBe(20);
  });

  it.each([
    [
      'a routine call to a ship',
      '120 29 91 23 45 60 100 29 96 54 32 10 109 126 126 126 126 126 126 126 117',
      200,
    ],
    [
      'a routine call to a coast station',
      '120 00 29 91 23 40 100 29 96 54 32 10 109 126 126 126 126 126 126 126 117',
      20,
    ],
    [
      'an acknowledgement to a ship',
      '120 29 91 23 45 60 100 29 96 54 32 10 109 126 126 126 126 126 126 126 122',
      20,
    ],
    [
      'an automatic call to a ship',
      '123 29 91 23 45 60 100 00 29 91 23 40 100 126 126 126 126 126 126 126 117',
      200,
    ],
    [
      'an automatic call to a coast station',
      '123 00 29 91 23 40 100 29 91 23 45 60 100 126 126 126 126 126 126 126 117',
      20,
    ],
    [
      'an individual relay to a coast station',
      charactersOf('distress-relay-individual').slice(0, -1).join(' '),
      20,
    ],
    [
      'an individual relay to a ship',
      '120 29 91 23 45 60 112 00 29 91 23 40 112 29 96 54 32 10 101 99 99 99 99 99 88 88 109 117',
      200,
    ],
    [
      'a relay acknowledgement to a ship',
      '120 29 91 23 45 60 112 00 29 91 23 40 112 29 96 54 32 10 101 99 99 99 99 99 88 88 109 122',
      20,
    ],
    [
      'a call to a group of coast stations',
      '114 00 29 99 99 90 100 29 91 23 45 60 100 126 126 126 126 126 126 126 127',
      20,
    ],
    ['a group call', '114 02 99 12 34 50 100 29 91 23 45 60 100 126 126 126 126 126 126 126 127', 200],
    [
      'an acknowledgement to all ships',
      '116 112 00 29 91 23 40 110 29 91 23 45 60 101 99 99 99 99 99 88 88 100 122',
      200,
    ],
  ])('before %s on MF/HF', (_, content, dots) => {
    expect(dotPatternLength([...numbers(content), 0], 'mf-hf')).toBe(dots);
  });

  it('is 200 or 20', () => {
    expect([LONG_DOTS, SHORT_DOTS]).toEqual([200, 20]);
    expect(BIT_RATE).toEqual({ 'mf-hf': 100, vhf: 1200 });
  });
});

describe('expansions', () => {
  it('follow the closing ends of sequence by default, RX running on', () => {
    const written = slotsOf(EXPANDED_ALERT);
    expect(airSlots(ALERT, [EXPANSION]).map((slot) => slot.symbol)).toEqual(written);
    const { bits, sendings } = frameCall({ symbols: ALERT, expansions: [EXPANSION] });
    expect(sendings[0].slots.map((slot) => slot.symbol)).toEqual(written);
    expect(bits).toHaveLength(200 + 10 * written.length);
    expect(frameCall({ symbols: ALERT, expansions: [EXPANSION] }, { expansionsAfter: 'end' }).bits).toEqual(
      bits,
    );
  });

  it('follow the error check if told so', () => {
    const { sendings } = frameCall({ symbols: ALERT, expansions: [EXPANSION] }, { expansionsAfter: 'check' });
    expect(sendings[0].slots.map((slot) => slot.symbol)).toEqual(slotsOf(EXPANDED_ALERT_AFTER_CHECK));
  });

  it('are each closed by their own end of sequence', () => {
    expect(informationCharacters([120, 117, 13], [[102, 122, 28], EXPANSION])).toEqual([
      120, 120, 117, 13, 117, 117, 102, 122, 28, 122, 122, 100, 74, 7, 2, 50, 127, 102, 127, 127,
    ]);
    expect(informationCharacters([120, 117, 13], [[102, 122, 28], EXPANSION], 'check')).toEqual([
      120, 120, 117, 13, 102, 122, 28, 100, 74, 7, 2, 50, 127, 102, 127, 127,
    ]);
  });
});

describe('refusals', () => {
  it.each<[string, unknown, object]>([
    ['symbols', [112, 127], {}],
    ['symbols', undefined, {}],
    ['symbols', '112 127 15', {}],
    ['symbols[1]', [112, 128, 127, 0], {}],
    ['symbols[2]', [112, 127, NaN], {}],
    ['band', ALERT, { band: 'hf' }],
    ['band', ALERT, { band: 'toString' }],
    ['dots', ALERT, { dots: -2 }],
    ['dots', ALERT, { dots: 1002 }],
    ['dots', ALERT, { dots: 21 }],
    ['dots', ALERT, { dots: '20' }],
    ['repeat', ALERT, { repeat: 0 }],
    ['repeat', ALERT, { repeat: 101 }],
    ['repeat', ALERT, { repeat: 1.5 }],
    ['dotsBefore', ALERT, { dotsBefore: 'none' }],
    ['symbols', {}, {}],
    ['symbols', null, {}],
    ['expansions', { symbols: ALERT, expansions: 5 }, {}],
    ['expansions[0]', { symbols: ALERT, expansions: [[100, 127]] }, {}],
    ['expansions[1]', { symbols: ALERT, expansions: [EXPANSION, 'x'] }, {}],
    ['expansions[0][1]', { symbols: ALERT, expansions: [[100, -1, 127, 5]] }, {}],
    ['expansionsAfter', ALERT, { expansionsAfter: 'start' }],
  ])('%s is named', (field, symbols, options) => {
    expect(refusal(() => frameCall(symbols as number[], options))).toMatchObject({
      field,
      expected: expect.stringMatching(/.{6}/) as string,
    });
  });

  it.each([
    [{ dots: 0 }, 520],
    [{ dots: 1000 }, 1520],
    [{ repeat: 100, dots: 0 }, 52_000],
  ])('%o is allowed', (options, bits) => {
    expect(frameCall(ALERT, options).bits).toHaveLength(bits);
  });

  it('never throw another error', () => {
    fc.assert(
      fc.property(fc.anything(), fc.object(), (symbols, options) => {
        for (const given of [symbols, ALERT]) {
          refusal(() => frameCall(given as number[], options));
        }
      }),
    );
  });
});
