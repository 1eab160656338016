import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { decodeCall, encodeCall, type Call } from '../../src/calls/index.js';
import { errorCheck } from '../../src/symbols/index.js';
import { DotphaseError } from '../../src/errors.js';
import { CASES, numbers } from '../vectors/cases.js';
import { CALLS, anyCall, expansions, finePosition, symbols } from './arbitraries.js';

const close = (content: readonly number[]) => [
  ...content,
  content.reduce((check, symbol) => check ^ symbol, 0),
];

// The characters of each case are typed by hand from the tables of ITU-R M.493 (from memory), see cases.ts.
describe.each(CASES)('$name: $about', ({ call, characters, expansions: sequences = [] }) => {
  it('is sent as the tables say', () => {
    expect(encodeCall(call).symbols).toEqual(numbers(characters));
    expect(encodeCall(call).expansions).toEqual(sequences.map(numbers));
  });

  it('is read back', () => {
    expect(decodeCall(numbers(characters), { expansions: sequences.map(numbers) })).toEqual(call);
  });
});

describe('error check', () => {
  // ITU-R M.493 Annex 1 §10 (from memory): the exclusive-or of the seven-bit values. The running sum of the distress
  // alert, worked by hand: each line is the sum so far and the next character.
  it('is the exclusive-or, step by step', () => {
    const steps: [character: number, sum: number][] = [
      [112, 0b1110000],
      [29, 0b1101101],
      [91, 0b0110110],
      [23, 0b0100001],
      [45, 0b0001100],
      [60, 0b0110000],
      [101, 0b1010101],
      [15, 0b1011010],
      [3, 0b1011001],
      [0, 0b1011001],
      [4, 0b1011101],
      [12, 0b1010001],
      [9, 0b1011000],
      [30, 0b1000110],
      [109, 0b0101011],
      [127, 0b1010100],
    ];
    steps.forEach(([, sum], i) => {
      expect(errorCheck(steps.slice(0, i + 1).map(([character]) => character))).toBe(sum);
    });
    expect(numbers(CASES[0].characters)).toEqual([...steps.map(([character]) => character), 84]);
    expect(errorCheck([])).toBe(0);
  });

  it('takes the format specifier and the end of sequence once each', () => {
    // Test call and acknowledgement: the same characters but for the ends, 117 and 122.
    expect(0b1110101 ^ 0b0100101).toBe(80);
    expect(0b1111010 ^ 0b0100101).toBe(95);
    expect(
      encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' }).symbols.at(-1),
    ).toBe(80);
    expect(
      encodeCall({ kind: 'testAcknowledgement', to: { station: '299123456' }, self: '002991234' }).symbols.at(
        -1,
      ),
    ).toBe(95);
  });

  it('must agree', () => {
    const good = numbers(CASES[0].characters);
    const bad = [...good.slice(0, -1), 85];
    expect(() => decodeCall(bad)).toThrow(DotphaseError);
    expect(() => decodeCall(bad)).toThrow(
      'error check: got 85, expected 84, the exclusive-or of the characters before it',
    );
    expect(decodeCall(bad, { ignoreErrorCheck: true })).toEqual(decodeCall(good));
    expect(() => decodeCall(bad, { ignoreErrorCheck: false })).toThrow(DotphaseError);
  });
});

describe('every kind of call', () => {
  it.each(Object.keys(CALLS) as Call['kind'][])('%s comes back as it went', (kind) => {
    fc.assert(
      fc.property(CALLS[kind], (call) => {
        const sent = encodeCall(call).symbols;
        expect(sent.every((symbol) => Number.isInteger(symbol) && symbol >= 0 && symbol <= 127)).toBe(true);
        expect(sent.reduce((check, symbol) => check ^ symbol, 0)).toBe(0);
        expect(decodeCall(sent)).toEqual(call);
      }),
      { numRuns: 150 },
    );
  });

  it('comes back with any expansions', () => {
    fc.assert(
      fc.property(anyCall, expansions, (call, list) => {
        // A finer position that stands by itself would go into the call's own, and is tried below.
        const kept = list.filter((expansion) => expansion.kind !== 'finePosition');
        fc.pre(kept.length > 0 && kept[0].joined !== true);
        const expanded: Call = { ...call, expansions: kept };
        expect(
          decodeCall(encodeCall(expanded).symbols, { expansions: encodeCall(expanded).expansions }),
        ).toEqual(expanded);
        expect(encodeCall(expanded).symbols).toEqual(encodeCall(call).symbols);
      }),
    );
  });

  it('comes back with its position to 1/10000 minute', () => {
    fc.assert(
      fc.property(
        CALLS.distressAlert,
        CALLS.positionReport,
        CALLS.urgencyCall,
        finePosition,
        (alert, report, urgency, position) => {
          const calls: Call[] = [
            { ...alert, position, expansions: [{ kind: 'finePosition' }] },
            { ...report, position, expansions: [{ kind: 'speed', value: 'none' }, { kind: 'finePosition' }] },
            { ...urgency, message: { position, time: '09:30' }, expansions: [{ kind: 'finePosition' }] },
          ];
          for (const call of calls) {
            const back = decodeCall(encodeCall(call).symbols, { expansions: encodeCall(call).expansions });
            expect(back).toEqual(call);
          }
        },
      ),
    );
  });

  // 50°30.7407′ and 4°12.0250′ by hand: the call to the minute below, the rest in ten-thousandths.
  it('is cut off to the minute, whether an expansion holds the rest or not', () => {
    const call: Call = {
      ...(CASES[0].call as Call & { kind: 'distressAlert' }),
      position: { latitude: 50 + 30.7407 / 60, longitude: -(4 + 12.025 / 60) },
    };
    const position = (symbols: number[]) => symbols.slice(7, 12);
    expect(position(encodeCall({ ...call, expansions: [{ kind: 'finePosition' }] }).symbols)).toEqual([
      15, 3, 0, 4, 12,
    ]);
    expect(position(encodeCall(call).symbols)).toEqual([15, 3, 0, 4, 12]);
  });

  // Common practice, no source: sets drop the fraction of a minute. Quadrant 1 (NW), 48° 12′, 012° 45′ by hand.
  it.each([
    ['48°12.59′N 012°45.99′W', 48 + 12.59 / 60, -(12 + 45.99 / 60), [14, 81, 20, 12, 45]],
    ['48°12.9999′N 012°45.9999′W', 48 + 12.9999 / 60, -(12 + 45.9999 / 60), [14, 81, 20, 12, 45]],
    ['48°12′N 012°45′W', 48 + 12 / 60, -(12 + 45 / 60), [14, 81, 20, 12, 45]],
    ['00°00.9′S 179°59.9′E', -0.9 / 60, 179 + 59.9 / 60, [20, 0, 1, 79, 59]],
  ])('%s goes out without its fraction of a minute', (_, latitude, longitude, symbols) => {
    const alert = CASES[0].call as Call & { kind: 'distressAlert' };
    expect(encodeCall({ ...alert, position: { latitude, longitude } }).symbols.slice(7, 12)).toEqual(symbols);
  });

  it('keeps a finer position apart where it cannot go into the call', () => {
    const end = (symbols: number[]) => close([...symbols, 127]);
    const fine = end([100, 0, 1, 0, 0]);
    const decoded = (position: number[], sequence = fine) => {
      const alert = [112, 29, 91, 23, 45, 60, 101, ...position, 9, 30, 109];
      return decodeCall(end(alert), { expansions: [sequence] });
    };
    // At the pole there is nothing finer to the north; and without a position there is nothing to make finer.
    expect(decoded([19, 0, 0, 0, 0])).toMatchObject({
      position: { latitude: 90, longitude: 0 },
      expansions: [{ kind: 'finePosition', value: { latitude: 1, longitude: 0 } }],
    });
    expect(decoded([99, 99, 99, 99, 99])).toMatchObject({ position: 'none' });
    expect(decoded([15, 3, 0, 4, 12], end([100, 110])).expansions).toEqual([
      { kind: 'finePosition', value: 'requested' },
    ]);
    expect(decoded([15, 3, 0, 4, 12], end([100, 1])).expansions).toEqual([
      { kind: 'finePosition', value: { unassigned: [1] } },
    ]);
    expect(decoded([15, 3, 0, 4, 12])).toMatchObject({
      position: { latitude: 50.5 + 1 / 600_000, longitude: -4.2 },
      expansions: [{ kind: 'finePosition' }],
    });
  });
});

describe('any characters', () => {
  it('come back from the call they spell, none dropped', () => {
    // Mostly lists that begin and end like a call, so that every row is reached.
    const format = fc.constantFrom(102, 112, 114, 116, 120, 123);
    const eos = fc.constantFrom(117, 122, 127);
    const word = fc.constantFrom(0, 29, 55, 99, 100, 103, 104, 105, 106, 108, 109, 110, 112, 118, 121, 126);
    const body = fc.array(fc.oneof(word, fc.integer({ min: 0, max: 127 })), { maxLength: 40 });
    const likely = fc.tuple(format, body, eos).map(([a, b, c]) => [a, ...b, c]);
    const lists = fc.oneof(
      likely,
      symbols().filter((list) => list.length >= 2),
    );
    fc.assert(
      fc.property(lists, (content) => {
        expect(encodeCall(decodeCall(close(content))).symbols).toEqual(close(content));
      }),
      { numRuns: 3000 },
    );
  });

  it('come back from a call with one character changed', () => {
    fc.assert(
      fc.property(anyCall, fc.nat(), fc.integer({ min: 0, max: 127 }), (call, at, symbol) => {
        const content = encodeCall(call).symbols.slice(0, -1);
        content[at % content.length] = symbol;
        expect(encodeCall(decodeCall(close(content))).symbols).toEqual(close(content));
      }),
      { numRuns: 2000 },
    );
  });

  it('come back from the expansions they spell', () => {
    const specifier = fc.integer({ min: 100, max: 106 });
    const sequence = fc
      .tuple(specifier, fc.array(fc.oneof(fc.integer({ min: 0, max: 127 }), specifier), { maxLength: 20 }))
      .chain(([first, rest]) => fc.constantFrom(117, 122, 127).map((eos) => close([first, ...rest, eos])));
    fc.assert(
      fc.property(
        fc.constantFrom(...CASES.filter((row) => !row.expansions)),
        fc.array(sequence, { maxLength: 3 }),
        (row, sequences) => {
          const call = decodeCall(numbers(row.characters), { expansions: sequences });
          expect(encodeCall(call).symbols).toEqual(numbers(row.characters));
          expect(encodeCall(call).expansions).toEqual(sequences);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('are refused with the one error type, whatever they are', () => {
    fc.assert(
      fc.property(fc.anything(), fc.anything(), (given, sequences) => {
        for (const act of [
          () => decodeCall(given as number[]),
          () => decodeCall(given as number[], { ignoreErrorCheck: true }),
          () => decodeCall(numbers(CASES[0].characters), { expansions: sequences as number[][] }),
        ]) {
          refusal(act);
        }
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    [[], 'symbols'],
    [[112, 127], 'symbols'],
    [[112, 128, 127, 0], 'symbols'],
    [[112, -1, 127, 0], 'symbols'],
    [[112, 1.5, 127, 0], 'symbols'],
    ['112 127 15', 'symbols'],
    [undefined, 'symbols'],
  ])('%j is refused', (given, field) => {
    expect(refusal(() => decodeCall(given as number[]))).toMatchObject({ field });
  });
});

describe('any JSON', () => {
  const names = ['kind', 'to', 'self', 'casualty', 'nature', 'position', 'time', 'followOn', 'telecommand1'];
  const more = ['telecommand2', 'message', 'telephone', 'eos', 'rest', 'expansions', 'symbols', 'category'];
  const mangled = fc
    .tuple(anyCall, fc.constantFrom(...names, ...more), fc.oneof(fc.anything(), fc.jsonValue()))
    .map(([call, name, value]) => ({ ...call, [name]: value }));
  const deep = fc
    .tuple(
      anyCall,
      fc.constantFrom(
        ['position', 'latitude'],
        ['position', 'quadrant'],
        ['to', 'area'],
        ['to', 'station'],
        ['message', 'receive'],
        ['message', 'time'],
      ),
      fc.anything(),
    )
    .map(([call, [outer, inner], value]) => {
      const held = (call as unknown as Record<string, unknown>)[outer];
      return { ...call, [outer]: { ...(typeof held === 'object' ? held : {}), [inner]: value } };
    });

  /** A call with a field of another. */
  const crossed = fc
    .tuple(anyCall, anyCall, fc.constantFrom(...names, ...more))
    .map(([call, other, name]) => ({ ...call, [name]: (other as unknown as Record<string, unknown>)[name] }));

  it('is encoded or refused with the one error type', () => {
    fc.assert(
      fc.property(fc.oneof(fc.anything(), mangled, deep), (given) => {
        for (const act of [
          () => encodeCall(given as Call).symbols,
          () => encodeCall(given as Call).expansions,
        ]) {
          refusal(act);
        }
      }),
      { numRuns: 3000 },
    );
  });

  it('that is encoded spells a call that encodes the same', () => {
    let encoded = 0;
    fc.assert(
      fc.property(fc.oneof(mangled, deep, crossed), (given) => {
        let sent: number[] = [];
        if (refusal(() => (sent = encodeCall(given).symbols))) return;
        encoded++;
        expect(encodeCall(decodeCall(sent)).symbols).toEqual(sent);
      }),
      { numRuns: 1000 },
    );
    // Otherwise hardly a value is taken.
    expect(encoded).toBeGreaterThan(100);
  });
});

describe('a sequence that is built like no call', () => {
  // Readable only where the parts that say what it is and who sent it are: by the characters of the tables
  // (M.493 Tables A1-4.3 to A1-4.8, from memory), each with one part that means nothing.
  const routineToAll = [116, 100, 29, 91, 23, 45, 60, 100, 126, 90, 0, 16, 126, 126, 126, 127];
  const distressTest = [
    116, 112, 29, 91, 23, 45, 60, 118, 29, 96, 54, 32, 10, 101, 15, 3, 0, 4, 12, 9, 30, 109, 127,
  ];
  const automaticSafety = [
    123, 0, 29, 91, 23, 40, 108, 29, 91, 23, 45, 60, 109, 126, 126, 126, 126, 126, 126, 126, 117,
  ];
  const kindOf = (content: readonly number[], at?: number, symbol = 0) => {
    const changed = content.map((own, i) => (i === at ? symbol : own));
    const call = decodeCall([...changed, 0], { ignoreErrorCheck: true });
    expect(encodeCall(call).symbols.slice(0, -1)).toEqual(changed);
    return call.kind;
  };

  it('is irregular where category and sender can be read', () => {
    expect(kindOf(routineToAll)).toBe('irregularCall');
    expect(kindOf(distressTest)).toBe('irregularDistressCall');
    expect(kindOf(automaticSafety)).toBe('irregularAutomaticCall');
  });

  it('is unassigned where the category cannot', () => {
    expect(kindOf(routineToAll, 1, 99)).toBe('unassignedCall');
    expect(kindOf(automaticSafety, 6, 99)).toBe('unassignedCall');
  });

  it('is unassigned where the sender cannot: 126 is no digits, a tenth digit is no identity', () => {
    expect(kindOf(routineToAll, 2, 126)).toBe('unassignedCall');
    expect(kindOf(routineToAll, 6, 61)).toBe('unassignedCall');
    expect(kindOf(automaticSafety, 7, 126)).toBe('unassignedCall');
    expect(kindOf(distressTest, 2, 126)).toBe('unassignedCall');
  });

  it('is no distress call where the casualty cannot', () => {
    expect(kindOf(distressTest, 8, 126)).toBe('unassignedCall');
  });

  it('says what is needed where there is too little', () => {
    expect(() => decodeCall([112, 127])).toThrow(
      'symbols: got [112,127], expected a format specifier, an end of sequence and an error check',
    );
    expect(() => encodeCall({ kind: 'unassignedCall', symbols: [112] })).toThrow(
      'symbols: got [112], expected a format specifier and an end of sequence',
    );
    expect(() =>
      encodeCall({ kind: 'testCall', to: { station: '002991234', x: 1 }, self: '299123456' } as never),
    ).toThrow('to.x: got 1, expected nothing: to is { station } alone');
  });
});

describe('an expansion that is not as M.821-1 has it (from memory)', () => {
  const test = numbers('120 00 29 91 23 40 108 29 91 23 45 60 118 126 126 126 126 126 126 126 117 80');
  const read = (...content: number[]) => {
    const sequence = close([...content, 117]);
    const call = decodeCall(test, { expansions: [sequence] });
    expect(encodeCall(call).expansions).toEqual([sequence]);
    return call.expansions;
  };

  it('is refused where its error check disagrees, unless that is to be ignored', () => {
    // 102 ^ 1 ^ 23 ^ 117 = 1100110 ^ 0000001 ^ 0010111 ^ 1110101 = 0000101 = 5.
    const wrong = [102, 1, 23, 117, 6];
    expect(() => decodeCall(test, { expansions: [wrong] })).toThrow(
      'expansions[0] error check: got 6, expected 5, the exclusive-or of the characters before it',
    );
    expect(decodeCall(test, { expansions: [wrong], ignoreErrorCheck: true }).expansions).toEqual([
      { kind: 'speed', value: 12.3 },
    ]);
    expect(() => decodeCall(test, { expansions: [[102, 117]] })).toThrow(
      'expansions[0]: got [102,117], expected a specifier, an end of sequence and an error check',
    );
    expect(() => decodeCall(test, { expansions: 5 as never })).toThrow('expansions: got 5');
  });

  it('keeps a source or datum that is not assigned, and the last that are', () => {
    expect(read(101, 8, 99, 2)).toEqual([
      { kind: 'positionSource', value: { source: 'other', resolutionMinutes: 9.9, datum: 'other' } },
    ]);
    for (const data of [
      [9, 1, 0],
      [2, 1, 3],
      [2, 1],
      [2, 1, 0, 0],
    ]) {
      expect(read(101, ...data)).toEqual([{ kind: 'positionSource', value: { unassigned: data } }]);
    }
  });

  it('keeps a course that no compass has, and a speed up to 999.9 knots', () => {
    expect(read(103, 36, 0)).toEqual([{ kind: 'course', value: { unassigned: [36, 0] } }]);
    expect(read(103, 35, 99)).toEqual([{ kind: 'course', value: 359.9 }]);
    expect(read(102, 99, 99)).toEqual([{ kind: 'speed', value: 999.9 }]);
  });

  it('keeps a text of more than twenty letters, and one of twenty', () => {
    const letters = (count: number) => new Array<number>(count).fill(11);
    expect(read(104, ...letters(20))).toEqual([{ kind: 'furtherIdentification', value: 'A'.repeat(20) }]);
    expect(read(104, ...letters(21))).toEqual([
      { kind: 'furtherIdentification', value: { unassigned: letters(21) } },
    ]);
    const text = (value: unknown) =>
      encodeCall({
        kind: 'testCall',
        to: { station: '002991234' },
        self: '299123456',
        expansions: [{ kind: 'furtherIdentification', value }],
      } as Call).expansions;
    expect(text('A'.repeat(20))[0]).toHaveLength(23);
    for (const value of ['A'.repeat(21), '', 'a', 5, null]) {
      expect(() => text(value)).toThrow(/^expansions\[0\]\.value: /);
    }
  });

  it('says its own end of sequence only where that is not the call’s', () => {
    expect(read(106, 0, 12)).toEqual([{ kind: 'personsOnBoard', value: 12 }]);
    const other = close([106, 0, 12, 127]);
    expect(decodeCall(test, { expansions: [other] }).expansions).toEqual([
      { kind: 'personsOnBoard', value: 12, eos: 'end' },
    ]);
    const joined = close([102, 126, 106, 0, 12, 127]);
    expect(decodeCall(test, { expansions: [joined] }).expansions).toEqual([
      { kind: 'speed', value: 'none' },
      { kind: 'personsOnBoard', value: 12, joined: true, eos: 'end' },
    ]);
  });

  it('is refused where it joins none, or is no object', () => {
    const of = (...list: unknown[]) =>
      encodeCall({
        kind: 'testCall',
        to: { station: '002991234' },
        self: '299123456',
        expansions: list,
      } as Call).expansions;
    expect(() => of({ kind: 'speed', value: 1, joined: true })).toThrow(
      'expansions[0].joined: got true, expected nothing, as no expansion stands before it',
    );
    for (const bad of [5, null, [], 'speed']) expect(() => of(bad)).toThrow(/^expansions\[0\]: /);
  });
});
