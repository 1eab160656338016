import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { decodeCall, encodeCall, type Call } from '../../src/calls/index.js';
import { CASES, numbers } from '../vectors/cases.js';

const close = (content: readonly number[]) => [
  ...content,
  content.reduce((check, symbol) => check ^ symbol, 0),
];
const kinds = [...new Map(CASES.map((row) => [row.call.kind, row])).values()];
const ALL = Array.from({ length: 128 }, (_, symbol) => symbol);
const range = (from: number, to: number) => ALL.filter((symbol) => symbol >= from && symbol <= to);

describe.each(kinds)('every symbol in every place of a $call.kind', ({ characters }) => {
  const content = numbers(characters).slice(0, -1);

  it('comes back', () => {
    let different = 0;
    for (let at = 0; at < content.length; at++) {
      for (const symbol of ALL) {
        const sent = close(content.with(at, symbol));
        const back = encodeCall(decodeCall(sent)).symbols;
        if (back.length !== sent.length || back.some((found, i) => found !== sent[i])) different++;
      }
    }
    expect(different).toBe(0);
  });

  it('is refused where the error check does not go with it', () => {
    const sent = close(content);
    for (let at = 0; at < sent.length; at++) {
      for (const symbol of [0, 99, 100, 126, 127].filter((other) => other !== sent[at])) {
        expect(() => decodeCall(sent.with(at, symbol))).toThrow(/^error check: /);
      }
    }
  });
});

const ALERT = numbers('112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127');
/** What a field of the alert reads as with another symbol in one of its places. */
function alertWith(at: number, symbol: number): Record<string, unknown> {
  return decodeCall(close(ALERT.with(at, symbol))) as unknown as Record<string, unknown>;
}

// What each field assigns, by the rules of M.493 §5 to §9 and Table A1-3 (from memory), worked out here by themselves.
describe('a symbol is assigned', () => {
  const typed = (field: string, at: number) =>
    ALL.filter((symbol) => {
      const call = alertWith(at, symbol);
      const value = call[field];
      return (
        call.kind === 'distressAlert' &&
        !(typeof value === 'object' && value !== null && 'unassigned' in value)
      );
    });

  it('as a nature of distress', () => {
    expect(typed('nature', 6)).toEqual([...range(100, 110), 112]);
  });

  it('as a follow-on', () => {
    expect(typed('followOn', 14)).toEqual([100, 109, 113, 115, 126]);
  });

  it('as an end of sequence', () => {
    expect(typed('eos', 15)).toEqual([117, 122, 127]);
    expect(alertWith(15, 127)).not.toHaveProperty('eos');
    expect(alertWith(15, 122)).toHaveProperty('eos', 'acknowledgeGiven');
  });

  it('in an identity, by its digits', () => {
    for (const at of [1, 2, 3, 4]) expect(typed('self', at)).toEqual(range(0, 99));
    // The tenth digit is 0.
    expect(typed('self', 5)).toEqual(range(0, 99).filter((symbol) => symbol % 10 === 0));
  });

  it('in a position, by its digits', () => {
    const isPosition = (digits: string) => {
      const [quadrant, latitude, latitudeMinutes, longitude, longitudeMinutes] = [
        digits.slice(0, 1),
        digits.slice(1, 3),
        digits.slice(3, 5),
        digits.slice(5, 8),
        digits.slice(8),
      ].map(Number);
      const whole = (degrees: number, minutes: number) => 60 * degrees + minutes;
      return (
        quadrant <= 3 &&
        latitudeMinutes < 60 &&
        longitudeMinutes < 60 &&
        whole(latitude, latitudeMinutes) <= 60 * 90 &&
        whole(longitude, longitudeMinutes) <= 60 * 180
      );
    };
    for (let place = 0; place < 5; place++) {
      const expected = range(0, 99).filter((symbol) => {
        const digits = ALERT.slice(7, 12).with(place, symbol);
        return isPosition(digits.map((pair) => String(pair).padStart(2, '0')).join(''));
      });
      expect(typed('position', 7 + place)).toEqual(expected);
    }
  });

  it('in a time, by hours and minutes', () => {
    expect(typed('time', 12)).toEqual(range(0, 23));
    expect(typed('time', 13)).toEqual(range(0, 59));
  });

  it('in a telecommand', () => {
    const base = numbers('120 29 96 54 32 10 100 29 91 23 45 60 109 126 08 29 40 08 29 40 117');
    const typedIn = (name: 'telecommand1' | 'telecommand2', at: number) =>
      ALL.filter((symbol) => {
        const call = decodeCall(close(base.with(at, symbol)));
        return call.kind === 'routineCall' && typeof call[name] === 'string';
      });
    expect(typedIn('telecommand1', 12)).toEqual([
      ...[100, 101, 103, 104, 105, 106, 109, 110, 112, 113, 115, 118, 121, 126],
    ]);
    expect(typedIn('telecommand2', 13)).toEqual([...range(100, 113), ...range(120, 124), 126]);
  });

  it('in a frequency or channel, by its first digits', () => {
    const base = numbers('120 29 96 54 32 10 100 29 91 23 45 60 109 126 08 29 40 126 126 126 117');
    const shapes = ALL.map((symbol) => {
      const call = decodeCall(close(base.with(14, symbol)));
      if (!('message' in call) || !('receive' in call.message)) return 'other';
      const { receive } = call.message;
      return typeof receive === 'string' ? receive : Object.keys(receive)[0];
    });
    for (const symbol of ALL) {
      // 0–2: hundreds of hertz; 3: MF/HF channel; 4: tens of hertz, a symbol more than there is; 55: a position; 90: VHF
      // channel, whose next digit here, 2 of 29, names the coast side.
      const expected =
        symbol < 30
          ? 'hz'
          : symbol < 40
            ? 'channel'
            : symbol === 55 || (symbol >= 40 && symbol < 50)
              ? 'other'
              : symbol === 90
                ? 'vhfChannel'
                : 'unassigned';
      expect(shapes[symbol], String(symbol)).toBe(expected);
    }
  });
});

// 126 126 126 with a first digit of 4 takes a symbol of the other half; the frequency is then no digits.
it('takes four symbols where the first digit is 4', () => {
  const base = numbers('120 29 96 54 32 10 100 29 91 23 45 60 109 126 40 82 94 00 126 126 126 117');
  expect(decodeCall(close(base))).toMatchObject({
    message: { receive: { hz: 8_294_000, resolutionHz: 10 }, transmit: 'none' },
  });
});

describe('a call cut short in its message', () => {
  const base = numbers('120 29 96 54 32 10 100 29 91 23 45 60 109 126 08 29 40 08 29 40');
  it.each([0, 1, 2, 3, 4, 5])('after %i characters of it still says who calls whom', (count) => {
    const sent = close([...base.slice(0, 14 + count), 117]);
    const call = decodeCall(sent);
    expect(call).toEqual({
      kind: 'routineCall',
      to: { station: '299654321' },
      self: '299123456',
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { unassigned: base.slice(14, 14 + count) },
    });
    expect(encodeCall(call).symbols).toEqual(sent);
  });
});

describe('every field of every kind', () => {
  const BAD: readonly unknown[] = [null, 5, 'no such word', {}, [], true, NaN, '', { unassigned: 'x' }];
  const NEVER: readonly unknown[] = [{ unassigned: [128] }, { unassigned: [0, 1, 2] }, { unassigned: [] }];

  describe.each(kinds.filter(({ call }) => call.kind !== 'unassignedCall'))('of a $call.kind', ({ call }) => {
    const fields = Object.keys(call).filter((name) => !['kind', 'rest', 'expansions'].includes(name));
    it.each(fields)('%s is refused by its name', (field) => {
      for (const bad of [...BAD, ...NEVER]) {
        // A telephone number takes any number of symbols, and a message what is left of it.
        if (field === 'telephone' && NEVER.indexOf(bad) > 0) continue;
        if (field === 'message' && NEVER.indexOf(bad) > 0) continue;
        const given = { ...call, [field]: bad };
        const error = refusal(() => encodeCall(given));
        expect(error?.field.split('.')[0]).toBe(field);
      }
    });

    it('may not be missing', () => {
      for (const field of fields.filter((name) => name !== 'eos')) {
        const given = Object.fromEntries(Object.entries(call).filter(([name]) => name !== field));
        expect(() => encodeCall(given as unknown as Call), field).toThrow(new RegExp(`^${field}`));
      }
    });

    it('may not be one too many', () => {
      expect(() => encodeCall({ ...call, speed: 12 } as unknown as Call)).toThrow(
        `speed: got 12, expected no such field in a ${call.kind}`,
      );
      expect(encodeCall({ ...call, speed: undefined } as unknown as Call).symbols).toEqual(
        encodeCall(call).symbols,
      );
    });
  });

  it('of an unassigned call', () => {
    for (const bad of [undefined, null, 5, 'x', [], [121], [121, 128], [121, -1], [121, 0.5]]) {
      expect(() => encodeCall({ kind: 'unassignedCall', symbols: bad as number[] })).toThrow(/^symbols: /);
    }
    expect(() =>
      encodeCall({ kind: 'unassignedCall', symbols: [121, 127], self: '299123456' } as Call),
    ).toThrow(/^self: /);
  });
});

describe('values are refused by their names', () => {
  const base = CASES.find(({ name }) => name === 'routine-individual')?.call as Call & {
    kind: 'routineCall';
  };
  const alert = CASES[0].call as Call & { kind: 'distressAlert' };
  const area = { latitude: 50, longitude: -10, south: 5, east: 8 };
  const urgency = { ...base, kind: 'urgencyCall' };
  const receive = (half: unknown) => ({ ...base, message: { receive: half, transmit: 'none' } });
  it.each<[string, object, string]>([
    ['call', 5 as never, 'a call with its kind'],
    ['kind', { kind: 'alert' }, 'one of distressAlert, '],
    ['kind', {}, 'unassignedCall'],
    ['self', { ...alert, self: '29912345' }, 'an identity of nine digits'],
    ['self', { ...alert, self: '2991234567' }, 'an identity of nine digits'],
    ['self', { ...alert, self: '299123456 ' }, 'an identity of nine digits'],
    ['self', { ...alert, self: 'x299123456' }, 'an identity of nine digits'],
    ['self', { ...alert, self: 299_123_456 }, 'an identity of nine digits'],
    ['to', { ...alert, to: 'allShips' }, 'nothing: this kind of call is for everyone'],
    ['to', { ...base, to: 'allShips' }, '{ group } or { station }'],
    ['to', { ...base, to: { area } }, '{ group } or { station }'],
    ['to', { ...urgency, to: 'all' }, "'allShips' or { area } or { group } or { station }"],
    ['to.station', { ...base, to: { station: '299654321', group: '029912345' } }, 'nothing'],
    [
      'to.area.latitude',
      { ...urgency, to: { area: { ...area, latitude: 50.5 } } },
      'an integer from -90 to 90',
    ],
    [
      'to.area.longitude',
      { ...urgency, to: { area: { ...area, longitude: 181 } } },
      'an integer from -180 to 180',
    ],
    ['to.area.south', { ...urgency, to: { area: { ...area, south: -1 } } }, 'an integer from 0 to 99'],
    ['to.area.east', { ...urgency, to: { area: { ...area, east: 100 } } }, 'an integer from 0 to 99'],
    ['to.area.width', { ...urgency, to: { area: { ...area, width: 1 } } }, 'nothing'],
    ['to.area.quadrant', { ...urgency, to: { area: { ...area, quadrant: 'SE' } } }, 'NE, NW, SE or SW'],
    ['to.area', { ...urgency, to: { area: 5 } }, '{ latitude, longitude, south, east } in whole degrees'],
    ['position', { ...alert, position: 5 }, "{ latitude, longitude } or 'none'"],
    ['position.latitude', { ...alert, position: { latitude: 90.001, longitude: 0 } }, 'decimal degrees'],
    [
      'position.latitude',
      { ...alert, position: { latitude: '50', longitude: 0 } },
      'decimal degrees from −90 to 90',
    ],
    [
      'position.longitude',
      { ...alert, position: { latitude: 0, longitude: NaN } },
      'decimal degrees from −180',
    ],
    ['position.longitude', { ...alert, position: { latitude: 0 } }, 'decimal degrees from −180 to 180'],
    [
      'position.quadrant',
      { ...alert, position: { latitude: 1, longitude: 0, quadrant: 'SE' } },
      'agreeing with',
    ],
    [
      'position.quadrant',
      { ...alert, position: { latitude: 0, longitude: 1, quadrant: 'NW' } },
      'agreeing with',
    ],
    [
      'position.quadrant',
      { ...alert, position: { latitude: 0, longitude: 0, quadrant: 'N' } },
      'agreeing with',
    ],
    ['position.height', { ...alert, position: { latitude: 0, longitude: 0, height: 3 } }, 'nothing'],
    ['time', { ...alert, time: '24:00' }, "a time UTC from '00:00' to '23:59', or 'none'"],
    ['time', { ...alert, time: '9:30' }, 'a time UTC'],
    ['time', { ...alert, time: '09:60' }, 'a time UTC'],
    ['nature', { ...alert, nature: 'storm' }, 'one of fire, flooding, '],
    ['message', { ...base, message: 5 }, '{ receive, transmit } or { position, time }'],
    ['message.transmit', { ...base, message: { receive: 'none' } }, '{ hz }, { channel }, { vhfChannel }'],
    ['message.time', { ...base, message: { position: 'none', time: 5 } }, 'a time UTC'],
    ['message.receive', { ...base, message: { position: 'none', receive: 'none' } }, 'nothing'],
    ['message.position', { ...base, message: { position: 5 } }, '{ latitude, longitude }'],
    ['message.receive', receive({}), "{ hz }, { channel }, { vhfChannel } or 'none'"],
    ['message.receive.hz', receive({ hz: 15 }), 'a multiple of 10 Hz from 0 to 99999990'],
    ['message.receive.hz', receive({ hz: -100 }), 'a multiple of 10 Hz'],
    ['message.receive.hz', receive({ hz: 100_000_000 }), 'a multiple of 10 Hz'],
    ['message.receive.hz', receive({ hz: '100' }), 'a multiple of 10 Hz'],
    ['message.receive.resolutionHz', receive({ hz: 100, resolutionHz: 100 }), '10, or nothing'],
    ['message.receive.vhfChannel', receive({ hz: 100, vhfChannel: 16 }), 'nothing'],
    ['message.receive.channel', receive({ channel: 100_000 }), 'an integer from 0 to 99999'],
    ['message.receive.vhfChannel', receive({ vhfChannel: 1000 }), 'an integer from 0 to 999'],
    ['message.receive.simplex', receive({ vhfChannel: 16, simplex: 'both' }), "'ship', 'coast' or nothing"],
    [
      'message.unassigned',
      { ...base, message: { unassigned: [1, 2, 3, 4, 5, 6, 7] } },
      'as many symbols as the',
    ],
    ['message.receive.unassigned', receive({ unassigned: [1] }), 'as many symbols as the field holds'],
    ['message.other', { ...base, message: { unassigned: [126], other: 5 } }, 'nothing'],
    ['rest', { ...alert, rest: [128] }, 'a list of symbols from 0 to 127'],
    ['rest', { ...alert, rest: 'x' }, 'a list of symbols from 0 to 127'],
    ['eos', { ...alert, eos: null }, 'one of acknowledgeRequest, acknowledgeGiven, end'],
    ['expansions', { ...alert, expansions: 5 }, 'a list of expansions'],
    ['expansions[0]', { ...alert, expansions: [5] }, 'an expansion with its kind'],
    ['expansions[0]', { ...alert, expansions: [[]] }, 'an expansion with its kind'],
    ['expansions[0].kind', { ...alert, expansions: [{}] }, 'one of finePosition, positionSource, '],
    [
      'expansions[0].value',
      { ...base, expansions: [{ kind: 'finePosition' }] },
      'a value, as the call holds no',
    ],
    [
      'position.latitude',
      { ...alert, position: { latitude: 91, longitude: 0 }, expansions: [{ kind: 'finePosition' }] },
      'decimal degrees',
    ],
    [
      'message.position.latitude',
      {
        ...base,
        message: { position: { latitude: 91, longitude: 0 } },
        expansions: [{ kind: 'finePosition' }],
      },
      'decimal degrees',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'speed' }] },
      'a number from 0 to 999.9 in steps of 0.1',
    ],
    ['expansions[0].value', { ...alert, expansions: [{ kind: 'speed', value: 12.34 }] }, 'in steps of 0.1'],
    ['expansions[0].value', { ...alert, expansions: [{ kind: 'speed', value: 1000 }] }, 'from 0 to 999.9'],
    ['expansions[0].value', { ...alert, expansions: [{ kind: 'speed', value: -1 }] }, 'from 0 to 999.9'],
    ['expansions[0].value', { ...alert, expansions: [{ kind: 'course', value: 360 }] }, 'from 0 to 359.9'],
    ['expansions[0].value', { ...alert, expansions: [{ kind: 'personsOnBoard', value: 1.5 }] }, 'steps of 1'],
    ['expansions[0].knots', { ...alert, expansions: [{ kind: 'speed', value: 1, knots: 2 }] }, 'nothing'],
    [
      'expansions[0].joined',
      { ...alert, expansions: [{ kind: 'speed', value: 1, joined: true }] },
      'nothing, as no',
    ],
    [
      'expansions[0].joined',
      { ...alert, expansions: [{ kind: 'speed', value: 1, joined: 1 }] },
      'true or nothing',
    ],
    ['expansions[0].eos', { ...alert, expansions: [{ kind: 'speed', value: 1, eos: 'no' }] }, 'one of'],
    [
      'expansions[0].value.latitude',
      { ...alert, expansions: [{ kind: 'finePosition', value: { latitude: 10_000, longitude: 0 } }] },
      'from 0 to 9999',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'finePosition', value: 5 }] },
      '{ latitude, longitude }',
    ],
    [
      'expansions[0].value.source',
      {
        ...alert,
        expansions: [
          { kind: 'positionSource', value: { source: 'sextant', resolutionMinutes: 0, datum: 'wgs84' } },
        ],
      },
      'one of invalid, differentialGps, ',
    ],
    [
      'expansions[0].value.datum',
      {
        ...alert,
        expansions: [{ kind: 'positionSource', value: { source: 'gps', resolutionMinutes: 0, datum: 'x' } }],
      },
      'one of wgs84, wgs72, other',
    ],
    [
      'expansions[0].value.resolutionMinutes',
      {
        ...alert,
        expansions: [
          { kind: 'positionSource', value: { source: 'gps', resolutionMinutes: 10, datum: 'wgs84' } },
        ],
      },
      'from 0 to 9.9',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'furtherIdentification', value: 'é' }] },
      '1 to 20 of A–Z, 0–9, full stop, comma, -, / and space',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'furtherIdentification', value: '' }] },
      '1 to 20',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'furtherIdentification', value: 'A'.repeat(21) }] },
      '1 to 20',
    ],
    [
      'expansions[0].value',
      { ...alert, expansions: [{ kind: 'furtherIdentification', value: 'A\0' }] },
      '1 to 20',
    ],
    [
      'expansions[0].symbols',
      { ...alert, expansions: [{ kind: 'unassignedExpansion', symbols: [200] }] },
      'a list of symbols from 0 to 127',
    ],
    [
      'expansions[0]',
      { ...alert, expansions: [{ kind: 'unassignedExpansion', symbols: [] }] },
      'a specifier from 100 and data below 100',
    ],
    [
      'expansions[0]',
      { ...alert, expansions: [{ kind: 'unassignedExpansion', symbols: [107, 108] }] },
      'a specifier from 100 and data below 100',
    ],
    [
      'expansions[1]',
      {
        ...alert,
        expansions: [
          { kind: 'speed', value: 1 },
          { kind: 'unassignedExpansion', symbols: [5], joined: true },
        ],
      },
      'a specifier from 100 and data below 100',
    ],
  ])('%s %o', (field, given, expected) => {
    expect(refusal(() => encodeCall(given as Call))).toMatchObject({
      field,
      expected: expect.stringContaining(expected) as string,
    });
  });
});
