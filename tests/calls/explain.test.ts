import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import {
  CALL_KINDS,
  callFields,
  decodeCall,
  encodeCall,
  explainFields,
  nameExpansion,
} from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';

describe('explainFields', () => {
  // Fields by M.493 Tables A1-4.1 and A1-4.7 (from memory), spelled out by hand.
  it('reads out a distress alert', () => {
    const symbols = [112, 29, 91, 23, 45, 60, 101, 14, 81, 20, 12, 45, 9, 30, 109, 127, 58];
    expect(explainFields(symbols)).toEqual([
      { field: 'format', label: 'format specifier', symbols: [112], meaning: 'distress alert' },
      {
        field: 'self',
        label: 'self-ID',
        symbols: [29, 91, 23, 45, 60],
        digits: '299123456 0',
        meaning: 'ship 299 123 456',
      },
      { field: 'nature', label: 'nature', symbols: [101], meaning: 'flooding' },
      {
        field: 'position',
        label: 'position',
        symbols: [14, 81, 20, 12, 45],
        digits: '1 48 12 012 45',
        meaning: '48°12′N 012°45′W',
      },
      { field: 'time', label: 'time', symbols: [9, 30], meaning: '09:30 UTC' },
      { field: 'followOn', label: 'follow-on', symbols: [109], meaning: 'J3E telephony' },
      { field: 'eos', label: 'end of sequence', symbols: [127], meaning: 'end of sequence' },
      {
        field: 'errorCheck',
        label: 'error check',
        symbols: [58],
        meaning: 'exclusive-or of the characters before it',
      },
    ]);
  });

  it('names the characters that a kind of call always has', () => {
    const test = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' }).symbols;
    expect(explainFields(test).map(({ label, meaning }) => [label, meaning])).toEqual([
      ['format specifier', 'individual call'],
      ['address', 'coast station 00 299 1234'],
      ['category', 'safety'],
      ['self-ID', 'ship 299 123 456'],
      ['telecommand 1', 'test'],
      ['telecommand 2', 'no information'],
      ['message', 'no information'],
      ['end of sequence', 'acknowledgement requested (RQ)'],
      ['error check', 'exclusive-or of the characters before it'],
    ]);
    const report = encodeCall({
      kind: 'positionReport',
      to: { station: '002991234' },
      self: '299123456',
      position: 'none',
      time: 'none',
    }).symbols;
    expect(explainFields(report).find(({ field }) => field === 'message')).toMatchObject({
      symbols: [55],
      meaning: 'a position follows',
    });
    const cancellation = encodeCall({
      kind: 'ownAlertCancellation',
      self: '299123456',
      nature: 'fire',
      position: 'none',
      time: 'none',
      followOn: 'j3e',
    }).symbols;
    expect(
      explainFields(cancellation)
        .filter(({ field }) => field === 'self')
        .map(({ label }) => label),
    ).toEqual(['self-ID', 'self-ID again']);
  });

  it('says what the error check should have been', () => {
    const wrong = [112, 29, 91, 23, 45, 60, 101, 14, 81, 20, 12, 45, 9, 30, 109, 127, 59];
    expect(explainFields(wrong).at(-1)).toMatchObject({ meaning: 'disagrees: 58 was expected' });
  });

  it('leaves no character of any sequence out', () => {
    const formats = fc.constantFrom(102, 112, 114, 116, 120, 123, 55);
    const symbol = fc.integer({ min: 0, max: 127 });
    const sequences = fc
      .tuple(formats, fc.array(symbol, { minLength: 2, maxLength: 40 }))
      .map(([format, rest]) => [format, ...rest]);
    fc.assert(
      fc.property(sequences, (symbols) => {
        expect(explainFields(symbols).flatMap((field) => field.symbols)).toEqual(symbols);
      }),
      { numRuns: 1000 },
    );
  });

  it('keeps what the tables do not have: surplus, a format and a body that fit no call', () => {
    // An alert with 126 too much before its end of sequence (Table A1-4.1, from memory).
    const alert = [112, 29, 91, 23, 45, 60, 101, 15, 3, 0, 4, 12, 9, 30, 109];
    expect(explainFields([...alert, 126, 127, 42]).at(-3)).toEqual({
      field: 'rest',
      label: 'surplus',
      symbols: [126],
      meaning: 'not in the tables for this call',
    });
    expect(explainFields([...alert, 127, 42]).map(({ field }) => field)).not.toContain('rest');
    // 121 is no format specifier; 112 alone has no fields.
    expect(explainFields([121, 5, 6, 127, 0]).slice(0, 2)).toEqual([
      { field: 'format', label: 'format specifier', symbols: [121], meaning: 'unassigned (121)' },
      { field: 'symbols', label: 'unassigned', symbols: [5, 6], meaning: 'fits no kind of call' },
    ]);
    expect(explainFields([112, 127, 15]).map(({ field }) => field)).toEqual(['format', 'eos', 'errorCheck']);
  });

  it('gives digits for no field that has none', () => {
    for (const field of explainFields([112, 29, 91, 23, 45, 60, 101, 15, 3, 0, 4, 12, 9, 30, 109, 127, 84])) {
      expect('digits' in field).toBe(['self', 'position'].includes(field.field));
    }
  });

  it.each([[[]], [[112, 127]], [[112, 128, 127, 1]]])('refuses %j', (symbols: number[]) => {
    expect(() => explainFields(symbols)).toThrow(DotphaseError);
  });
});

describe('nameExpansion', () => {
  // Specifiers of M.821-1 (from memory).
  it.each([
    [[100, 7, 41, 0, 0, 127, 53], 'finer position'],
    [[106, 0, 12, 127, 25], 'persons on board'],
    [[111, 0, 127, 16], 'unassigned expansion'],
  ])('%j is %s', (symbols, name) => {
    expect(nameExpansion(symbols)).toBe(name);
  });
});

describe('callFields', () => {
  it('gives the properties a typed call has, in the order they are sent', () => {
    expect(callFields('distressAlert')).toEqual(['self', 'nature', 'position', 'time', 'followOn']);
    expect(callFields('distressRelay').slice(0, 3)).toEqual(['to', 'self', 'casualty']);
    expect(callFields('distressAcknowledgement').slice(0, 2)).toEqual(['self', 'casualty']);
    expect(callFields('testCall')).toEqual(['to', 'self']);
    expect(callFields('automaticCall').at(-1)).toBe('telephone');
    expect(callFields('automaticCall')[0]).toBe('to');
    expect(callFields('no kind' as never)).toEqual([]);
  });

  it('names fields that decoding gives for every kind', () => {
    const self = '299123456';
    const values: Record<string, unknown> = {
      to: { station: '002991234' },
      self,
      casualty: self,
      nature: 'fire',
      position: 'none',
      time: 'none',
      followOn: 'j3e',
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: 'none', transmit: 'none' },
      telephone: '123',
    };
    for (const kind of CALL_KINDS) {
      const fields = callFields(kind);
      const call = { kind, ...Object.fromEntries(fields.map((field) => [field, values[field]])) };
      if (kind === 'distressAcknowledgement') Object.assign(call, { casualty: '299654321' });
      const decoded = decodeCall(encodeCall(call as never).symbols);
      expect(decoded).toEqual(call);
    }
  });
});
