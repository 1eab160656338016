import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import {
  LEAST_CERTAINTY,
  decodeCall,
  describeCall,
  encodeCall,
  explainFields,
  type Call,
  type DecodedCall,
} from '../../src/calls/index.js';
import { anyCall, expansions, symbols } from './arbitraries.js';
import { inventedFigures, textWithOthers } from './certain.js';

/** The certainties of so many characters of which those at some places were not received. */
const without = (count: number, ...lost: number[]) =>
  Array.from({ length: count }, (_, i): number => (lost.includes(i) ? 0.89 : 1));

const from = (start: number, end: number) => Array.from({ length: end - start }, (_, i) => start + i);

// Characters by M.493 Tables A1-4.1 to A1-4.8 (from memory), spelled out by hand; the last is the error check.
const ALERT = [112, 29, 91, 23, 45, 60, 101, 14, 81, 20, 12, 45, 9, 30, 109, 127, 58];
const TEST = [
  120, 0, 29, 91, 23, 40, 108, 29, 91, 23, 45, 60, 118, 126, 126, 126, 126, 126, 126, 126, 117, 80,
];
const ROUTINE = [120, 0, 29, 91, 23, 40, 100, 29, 91, 23, 45, 60, 109, 126, 8, 29, 40, 8, 29, 10, 117, 64];
const ACKNOWLEDGEMENT = [
  116, 112, 0, 29, 91, 23, 40, 110, 29, 91, 23, 45, 60, 101, 14, 81, 20, 12, 45, 9, 30, 109, 127, 27,
];

const decoded = (list: readonly number[], ...lost: number[]) =>
  decodeCall(list, { certainty: without(list.length, ...lost) });
const told = (list: readonly number[], ...lost: number[]) => describeCall(decoded(list, ...lost));

describe('a call of which not every character was received', () => {
  it('says what was received of an alert cut in its middle, and nothing else', () => {
    const lost = from(10, 17);
    expect(decoded(ALERT, ...lost)).toEqual({
      kind: 'distressAlert',
      self: '299123456',
      nature: 'flooding',
      position: { notReceived: [14, 81, 20, null, null] },
      time: { notReceived: [null, null] },
      followOn: { notReceived: [null] },
      eos: { notReceived: [null] },
    });
    expect(told(ALERT, ...lost)).toBe(
      'Distress alert from ship 299 123 456: flooding at 48°12′N, longitude not received, time not received; follow-on not received. End of sequence: not received.',
    );
  });

  it.each([
    ['two digits of the identity', [4], 'ship 299 123 ??6'],
    ['the last digit of the identity', [5], 'ship 299 123 45?'],
    ['the digits that tell a ship', [1], 'station ??9 123 456'],
    ['the identity', from(1, 6), 'a station whose identity was not received'],
    ['the nature', [6], ': nature not received at 48'],
    ['the quadrant', [7], 'at ?8°12′N/S 012°45′E/W'],
    ['the hundreds of the longitude', [9], 'at 48°1?′N ?12°45′W'],
    ['the latitude', from(7, 10), 'at latitude not received, ?12°45′E/W'],
    ['the position', from(7, 12), ': flooding, position not received, position valid 09:30'],
    ['the hour', [12], 'position valid ??:30 UTC'],
    ['the minute', [13], 'position valid 09:?? UTC'],
    ['the follow-on', [14], '; follow-on not received.'],
    ['the end', [15], 'End of sequence: not received.'],
  ] as const)('prints no digit of %s', (_, lost, text) => {
    expect(told(ALERT, ...lost)).toContain(text);
  });

  it('prints characters that fit no value as they are', () => {
    const none = [...ALERT.slice(0, 7), 99, 99, 99, 99, 99, 88, 88, ...ALERT.slice(14)];
    expect(told(none, 10, 11, 13)).toContain(
      'flooding, position not received whole (characters 99 99 99 ? ?), time not received whole (characters 88 ?);',
    );
  });

  it('tells a coast station, its group and other kinds by the digits received', () => {
    expect(told(TEST, 4, 5)).toContain('to coast station 00 299 1???;');
    expect(told(TEST, 3, 4, 5)).toContain('to group of coast stations or coast station 00 29? ????;');
    expect(told(TEST, 1)).toContain('to station ??2 991 234');
  });

  it('is of its kind where only one kind of the tables stays possible', () => {
    // The error check and any other field; the words of the telecommand are a test call's.
    expect(decoded(TEST, 18, 21)).toEqual({
      kind: 'testCall',
      to: { station: '002991234' },
      self: '299123456',
    });
    expect(decoded(TEST, 6)).toMatchObject({ kind: 'testCall' });
    // Format specifier 112 is a distress alert, whatever else is missing.
    expect(decoded(ALERT, ...from(1, 17))).toMatchObject({ kind: 'distressAlert' });
  });

  it.each([
    ['the end of sequence of a test call', TEST, [20]],
    ['the first telecommand', TEST, [12]],
    ['the category', ROUTINE, [6]],
    ['the end of sequence of a routine call', ROUTINE, [20]],
    ['the second identity, which an own cancellation repeats', ACKNOWLEDGEMENT, from(8, 13)],
    ['the first telecommand of a call about a casualty', ACKNOWLEDGEMENT, [7]],
    ['the format specifier of a call of unclear build', ROUTINE, [0]],
  ] as const)('is of no kind without %s', (_, list, lost) => {
    const call = decoded(list, ...lost);
    expect(call.kind).toBe('partialCall');
    expect((call as DecodedCall & { kind: 'partialCall' }).symbols).toEqual(
      list.slice(0, -1).map((symbol, i) => ((lost as readonly number[]).includes(i) ? null : symbol)),
    );
  });

  it('keeps the fields that every possible kind has in the same place', () => {
    expect(decoded(ROUTINE, 12, 13, 14, 20)).toEqual({
      kind: 'partialCall',
      symbols: [120, 0, 29, 91, 23, 40, 100, 29, 91, 23, 45, 60, null, null, null, 29, 40, 8, 29, 10, null],
      format: 'individual',
      to: { station: '002991234' },
      category: 'routine',
      self: '299123456',
      message: { notReceived: [null, 29, 40, 8, 29, 10] },
    });
    expect(told(ROUTINE, ...from(12, 22))).toBe(
      'Call from ship 299 123 456 to coast station 00 299 1234, not received whole: individual call; ' +
        'category routine; first telecommand not received; end of sequence not received. ' +
        'Characters: 120 0 29 91 23 40 100 29 91 23 45 60 ? ? ? ? ? ? ? ? ?.',
    );
    expect(told(ACKNOWLEDGEMENT, 9)).toContain(
      'Distress acknowledgement from coast station 00 299 1234 for ship 29? ?23 456',
    );
  });

  it('claims no acknowledgement where it may be a cancellation', () => {
    const own = [...ACKNOWLEDGEMENT];
    own.splice(8, 5, 0, 29, 91, 23, 40);
    expect(told(own, 10)).toMatch(/^Call from coast station 00 299 1234 to all ships, not received whole/);
    // Two identities that differ in a character received are two.
    expect(decoded(ACKNOWLEDGEMENT, 10)).toMatchObject({ kind: 'distressAcknowledgement' });
  });

  it('does not shift fields behind a frequency whose length was not received', () => {
    expect(told(ROUTINE, 14)).toContain(
      'frequencies or position not received whole (characters ? 29 40 8 29 10)',
    );
    expect(told(ROUTINE, 16)).toContain('to receive on 829?.? kHz and transmit on 8291 kHz');
    expect(told(ROUTINE, 17)).toContain(
      'to receive on 8294 kHz and transmit on a channel not received whole (characters ? 29 10)',
    );
    const automatic: Call = {
      kind: 'automaticCall',
      to: { station: '002991234' },
      self: '299123456',
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 8_294_000 }, transmit: { hz: 8_291_000 } },
      telephone: '1234567',
    };
    const list = encodeCall(automatic).symbols;
    expect(decoded(list, 14)).toMatchObject({
      message: { notReceived: [null, 29, 40, 8, 29, 10, 105, 1, 23, 45, 67] },
      telephone: { notReceived: [] },
    });
    expect(told(list, 22)).toContain('telephone number 1??4567');
  });

  it('cannot be sent', () => {
    const call = decoded(ALERT, 10);
    expect(() => encodeCall(call as Call)).toThrow(
      'position: got {"notReceived":[14,81,20,null,45]}, expected a value: it was not received, and a call can only be sent whole',
    );
    expect(() => encodeCall(call as Call).expansions).toThrow('a call can only be sent whole');
    expect(() => encodeCall(decoded(TEST, 12) as unknown as Call)).toThrow('a call can only be sent whole');
    expect(() => encodeCall(decoded(TEST, 3) as Call)).toThrow(/^to\.station: got/);
    // What a field holds that was not received is no value of a call.
    // @ts-expect-error A decoded call may hold fields that were not received.
    expect(() => encodeCall(decoded(ALERT, 10))).toThrow();
  });

  it('is held to its error check only where all of it was received', () => {
    const wrong = ALERT.with(16, 57);
    expect(() => decodeCall(wrong)).toThrow('error check');
    expect(() => decodeCall(wrong, { certainty: without(17) })).toThrow('error check');
    expect(decoded(wrong, 16)).toEqual(decodeCall(ALERT));
    expect(() => decoded(wrong, 3)).not.toThrow();
  });

  it('takes a character at the least certainty as received', () => {
    const certainty = Array.from(ALERT, () => LEAST_CERTAINTY);
    expect(decodeCall(ALERT, { certainty })).toEqual(decodeCall(ALERT));
  });

  it.each([
    ['too few', [1, 1]],
    ['above 1', without(17).with(3, 1.1)],
    ['below 0', without(17).with(3, -0.1)],
    ['no numbers', without(17).with(3, NaN)],
    ['no list', 'certain'],
  ])('refuses certainties that are %s', (_, certainty) => {
    expect(() => decodeCall(ALERT, { certainty: certainty as number[] })).toThrow(
      /^certainty: got .* expected 17 numbers from 0 to 1/,
    );
  });

  it('is explained with what was not received', () => {
    const fields = explainFields(ALERT, without(17, 10, 11, 12, 16));
    expect(fields.map(({ label, symbols: list, digits, meaning }) => [label, list, digits, meaning])).toEqual(
      [
        ['format specifier', [112], undefined, 'distress alert'],
        ['self-ID', [29, 91, 23, 45, 60], '299123456 0', 'ship 299 123 456'],
        ['nature', [101], undefined, 'flooding'],
        ['position', [14, 81, 20, null, null], '1 48 12 0?? ??', '48°12′N, longitude not received'],
        ['time', [null, 30], undefined, '??:30 UTC'],
        ['follow-on', [109], undefined, 'J3E telephony'],
        ['end of sequence', [127], undefined, 'end of sequence'],
        ['error check', [null], undefined, 'not received'],
      ],
    );
    expect(explainFields(ALERT, without(17, 10, 11)).at(-1)?.meaning).toBe(
      "can't be checked: 2 characters before it not received",
    );
    expect(explainFields(TEST, without(22, 12)).map(({ label, meaning }) => [label, meaning])).toEqual([
      ['format specifier', 'individual call'],
      ['address', 'coast station 00 299 1234'],
      ['category', 'safety'],
      ['self-ID', 'ship 299 123 456'],
      ['telecommand 1', 'not received'],
      ['telecommand 2', 'no information'],
      ['not known', 'which fields these are was not received'],
      ['end of sequence', 'acknowledgement requested (RQ)'],
      ['error check', "can't be checked: 1 character before it not received"],
    ]);
  });
});

describe('whatever was not received of whatever was sent', () => {
  const sent = fc.oneof(
    anyCall.map((call) => encodeCall(call).symbols),
    symbols().filter((list) => list.length >= 3),
  );
  const received = fc
    .tuple(
      sent,
      fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 40, maxLength: 40 }),
      fc.nat(40),
    )
    .map(([list, values, cut]) => {
      const certainty = list.map((_, i) => (i >= cut ? 0 : (values[i % 40] ?? 1) < 0.2 ? 0.5 : 1));
      return { symbols: list, certainty };
    })
    .filter(({ certainty }) => certainty.some((value) => value < LEAST_CERTAINTY));

  it('stands neither in the call nor in its text nor in its explanation', () => {
    fc.assert(
      fc.property(received, fc.array(fc.nat(127), { minLength: 64, maxLength: 64 }), (heard, others) => {
        const call = decodeCall(heard.symbols, { certainty: heard.certainty });
        const text = describeCall(call);
        const all = { ...heard, expansions: [], text };
        const other = heard.symbols.map((symbol, i) => (heard.certainty[i] < 0.9 ? others[i % 64] : symbol));
        expect(decodeCall(other, { certainty: heard.certainty })).toEqual(call);
        expect(textWithOthers(all, (i) => others[i % 64])).toBe(text);
        expect(explainFields(other, heard.certainty)).toEqual(explainFields(heard.symbols, heard.certainty));
        expect(inventedFigures(all)).toEqual([]);
      }),
      { numRuns: 400 },
    );
  });

  it('leaves the expansions that were received', () => {
    fc.assert(
      fc.property(received, expansions, (heard, list) => {
        const alert = { kind: 'distressAlert', self: '299123456', nature: 'fire', position: 'none' } as const;
        const sequences = encodeCall({
          ...alert,
          time: 'none',
          followOn: 'none',
          expansions: list,
        }).expansions;
        const call = decodeCall(heard.symbols, { certainty: heard.certainty, expansions: sequences });
        expect(call.expansions).toHaveLength(list.length);
        expect(describeCall(call)).toContain('Expansions: ');
      }),
      { numRuns: 200 },
    );
  });
});

describe('the checks of a text', () => {
  const heard = { symbols: ALERT, certainty: without(17, 10, 11), expansions: [] };

  it('find what was invented', () => {
    expect(inventedFigures({ ...heard, text: describeCall(decodeCall(ALERT)) })).toEqual(['01245']);
    expect(
      inventedFigures({ ...heard, text: 'Characters: 112 29 91 23 45 60 101 14 81 20 12.' }),
    ).toHaveLength(1);
  });

  // An identity with a colon and a position behind it are two figures, which stand in two places of the call.
  it('take no two figures for one', () => {
    const { symbols } = encodeCall({
      kind: 'positionReport',
      to: { station: '299130273' },
      self: '299904159',
      position: { latitude: -24.54, longitude: 54.24 },
      time: '08:24',
    });
    const text = describeCall(decodeCall(symbols));
    expect(text).toContain('ship 299 130 273: 24°32′S');
    const certainty = without(symbols.length);
    expect(inventedFigures({ symbols, certainty, expansions: [], text })).toEqual([]);
    expect(
      inventedFigures({ symbols, certainty: without(symbols.length, 15), expansions: [], text }),
    ).toHaveLength(1);
  });
});
