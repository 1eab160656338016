import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { encodeCall, fromSentences, toSentences, type Address, type Call } from '../../src/calls/index.js';
import { CASES } from '../vectors/cases.js';
import { anyCall, expansions } from './arbitraries.js';

/** The exclusive-or of the characters, in two hexadecimal digits (IEC 61162-1 §7, from memory). */
const sum = (body: string) =>
  Array.from(body)
    .reduce((all, character) => all ^ (character.codePointAt(0) ?? 0), 0)
    .toString(16)
    .toUpperCase()
    .padStart(2, '0');
const sealed = (body: string) => `$${body}*${sum(body)}`;
const caseOf = (name: string) => CASES[CASES.findIndex((row) => row.name === name)];
const addressOf = (call: Call) => ('to' in call ? { to: call.to } : {});

// The fields of the DSC sentence (IEC 61162-1 §8.3, from memory): format, address, category, nature or telecommand 1,
// follow-on or telecommand 2, position or channel, time or telephone number, casualty, its nature, acknowledgement,
// expansion; service commands without their hundred. Typed by hand.
const WRITTEN: [name: string, ...bodies: string[]][] = [
  ['distress-alert', 'CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,'],
  ['distress-alert-undesignated', 'CDDSC,12,2991234560,12,07,00,9999999999,8888,,,S,'],
  ['distress-acknowledgement', 'CDDSC,16,0029912340,12,10,09,1503000412,0930,2991234560,01,S,'],
  ['own-alert-cancellation', 'CDDSC,16,2991234560,12,10,00,1503000412,0930,2991234560,01,S,'],
  ['distress-relay-unknown-casualty', 'CDDSC,16,2996543210,12,12,00,1480000530,1015,,07,S,'],
  ['distress-relay-individual', 'CDDSC,20,2996543210,12,12,09,1503000412,0930,2991234560,01,R,'],
  ['relay-acknowledgement-individual', 'CDDSC,20,0029912340,12,12,09,1503000412,0930,2991234560,01,B,'],
  ['urgency-all-ships', 'CDDSC,16,2991234560,10,00,26,900016,,,,S,'],
  ['urgency-medical-transport', 'CDDSC,02,2991234560,10,09,11,021820021820,,,,S,'],
  ['urgency-individual-position', 'CDDSC,20,2991234560,10,09,26,1503000412,0930,,,R,'],
  ['safety-unable-busy', 'CDDSC,20,0029912340,08,04,02,,,,,B,'],
  ['test-call', 'CDDSC,20,2991234560,08,18,26,,,,,R,'],
  ['position-report', 'CDDSC,20,2991234560,08,21,26,1503000412,0930,,,B,'],
  ['automatic-call-odd', 'CDDSC,23,2991234560,00,09,26,,5550123,,,R,'],
  ['automatic-acknowledgement', 'CDDSC,23,0029912340,00,01,26,900025900025,0012345678,,,B,'],
  ['automatic-end-of-call', 'CDDSC,23,2991234560,00,05,26,900025900025,,,,R,'],
  [
    'expansion-fine-position',
    'CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,E',
    'CDDSE,1,1,A,2991234560,00,74070250',
  ],
  [
    'expansion-several',
    'CDDSC,12,2991234560,12,01,00,1503000412,0930,,,S,E',
    'CDDSE,2,1,A,2991234560,01,020100,02,0123,03,2345,04,242528142235294107',
    'CDDSE,2,2,A,2991234560,06,0012',
  ],
  [
    'expansion-joined',
    'CDDSC,20,0029912340,08,21,26,,,,,R,E',
    'CDDSE,2,1,A,0029912340,02,',
    'CDDSE,2,2,Q,0029912340,03,',
  ],
];

describe('sentences', () => {
  it.each(WRITTEN)('of %s are as typed by hand', (name, ...bodies) => {
    expect(toSentences(caseOf(name).call)).toEqual(bodies.map(sealed));
  });

  // Worked by hand over CDDSE,1,1,A, in hexadecimal, each character and the sum so far: C 43, D 44 → 07, D 44 → 43, S 53 → 10,
  // E 45 → 55, comma 2C → 79, 1 31 → 48, comma → 64, 1 → 55, comma → 79, A 41 → 38, comma → 14. The other is the sentence that
  // textbooks print.
  it('have their checksum in hexadecimal', () => {
    expect(sum('CDDSE,1,1,A,')).toBe('14');
    expect(sum('GPGLL,4916.45,N,12311.12,W,225444,A')).toBe('31');
  });

  // A frequency or channel has six digits, a telephone number at most 16 (IEC 61162-1, from memory).
  it('refuse what their fields have no room for', () => {
    const refused = (call: unknown) => refusal(() => toSentences(call as Call))?.field;
    expect(refused(caseOf('routine-tens-of-hertz').call)).toBe('message');
    const automatic = caseOf('automatic-call-odd').call;
    expect(refused({ ...automatic, telephone: '1'.repeat(17) })).toBe('telephone');
    expect(toSentences({ ...automatic, telephone: '1'.repeat(16) } as never)[0]).toContain('1'.repeat(16));
  });

  const carried = CASES.filter((row) => !/surplus|unassigned-format|tens-of-hertz/.test(row.name));
  it.each(carried)('of $name bring the call back', ({ call }) => {
    const sentences = toSentences(call);
    for (const sentence of sentences) expect(sentence.length).toBeLessThanOrEqual(80);
    const back = fromSentences(sentences, addressOf(call));
    // How expansions share an end of sequence is not carried.
    const expansions = call.expansions?.map((expansion) => ({ ...expansion, joined: undefined }));
    expect(back).toEqual({ ...call, expansions });
    expect(encodeCall(back).symbols).toEqual(encodeCall(call).symbols);
  });

  it('bring back any call that they can carry', () => {
    let carriedCalls = 0;
    fc.assert(
      fc.property(anyCall, expansions, (call, list) => {
        const plain = list.map((expansion) => {
          const { joined, ...alone } = expansion;
          return joined ? alone : expansion;
        });
        for (const given of [call, { ...call, expansions: plain } as Call]) {
          let sentences: string[] = [];
          if (refusal(() => (sentences = toSentences(given)))) continue;
          carriedCalls++;
          const back = fromSentences(
            sentences.map((sentence) => `${sentence}\r\n`),
            addressOf(given),
          );
          expect(encodeCall(back).symbols).toEqual(encodeCall(given).symbols);
          expect(encodeCall(back).expansions).toEqual(encodeCall(given).expansions);
        }
      }),
      { numRuns: 600 },
    );
    expect(carriedCalls).toBeGreaterThan(300);
  });
});

describe('what no sentence carries', () => {
  const routine = caseOf('routine-individual').call;
  const alert = caseOf('distress-alert').call;
  it.each<[object, string]>([
    [caseOf('unassigned-format').call, 'kind'],
    [caseOf('surplus-characters').call, 'eos'],
    [{ ...alert, rest: [5] }, 'rest'],
    [{ ...alert, eos: { unassigned: [126] } }, 'eos'],
    [{ ...alert, nature: { unassigned: [5] } }, 'nature'],
    [{ ...alert, position: { unassigned: [126, 126, 126, 126, 126] } }, 'position'],
    [{ ...routine, message: { receive: 'none', transmit: { hz: 100 } } }, 'message.receive'],
    [{ ...routine, message: { receive: { unassigned: [126, 5, 5] }, transmit: 'none' } }, 'message.receive'],
    [{ ...routine, self: { unassigned: [126, 0, 0, 0, 0] } }, 'self'],
    [{ ...caseOf('automatic-call-odd').call, telephone: { unassigned: [107] } }, 'telephone'],
    [{ ...caseOf('automatic-call-odd').call, message: { position: 'none', time: '09:30' } }, 'telephone'],
    [{ ...caseOf('automatic-call-odd').call, message: { position: 'none' } }, 'telephone'],
    [
      { ...routine, message: { position: { unassigned: [126, 126, 126, 126, 126] }, time: '09:30' } },
      'position',
    ],
    [{ ...alert, expansions: [{ kind: 'speed', value: { unassigned: [] } }] }, 'expansions[0]'],
    [{ ...alert, expansions: [{ kind: 'unassignedExpansion', symbols: [5] }] }, 'expansions[0]'],
    [
      {
        ...alert,
        expansions: [{ kind: 'unassignedExpansion', symbols: [107, ...new Array<number>(40).fill(1)] }],
      },
      'expansions[0]',
    ],
    [{ ...alert, self: '5' }, 'self'],
  ])('%o: %s', (call, field) => {
    // Surplus characters make the end of sequence of that case one that alerts do not have, which can be carried.
    const given =
      field === 'eos' && 'rest' in call ? { ...call, rest: undefined, eos: { unassigned: [5] } } : call;
    expect(refusal(() => toSentences(given as Call))).toMatchObject({ field });
  });

  it('is more than nine sentences of expansions', () => {
    // Each of these needs a sentence of its own: 19 characters of the rest, and 44 of data.
    const long = { kind: 'unassignedExpansion', symbols: [107, ...new Array<number>(22).fill(1)] };
    const of = (count: number) => ({ ...alert, expansions: new Array<object>(count).fill(long) }) as Call;
    expect(toSentences(of(9))).toHaveLength(10);
    expect(() => toSentences(of(10))).toThrow('expansions: got 10, expected at most nine sentences of them');
  });

  it.each<[object, string]>([
    [
      { ...alert, position: { unassigned: [126, 126, 126, 126, 126] } },
      'position: got [126,126,126,126,126], expected symbols below 100',
    ],
    [{ ...alert, time: { unassigned: [126, 126] } }, 'time: got [126,126], expected symbols below 100'],
    [{ ...alert, followOn: { unassigned: [5] } }, 'followOn: got [5], expected a symbol from 100 to 127'],
    [
      { ...routine, telecommand1: { unassigned: [5] } },
      'telecommand1: got [5], expected a symbol from 100 to 127',
    ],
    [
      { ...routine, telecommand2: { unassigned: [5] } },
      'telecommand2: got [5], expected a symbol from 100 to 127',
    ],
    [{ ...alert, rest: [126] }, 'rest: got [126], expected no surplus symbols'],
    [{ ...alert, eos: { unassigned: [126] } }, 'eos: got [126], expected an assigned end of sequence'],
    [
      { ...routine, message: { receive: 'none', transmit: { hz: 100 } } },
      'message.receive: got [126,126,126], expected a frequency or channel before the one to transmit on',
    ],
  ])('%o: says what it cannot carry and why', (call, message) => {
    expect(() => toSentences(call as Call)).toThrow(`${message}, which is all that a sentence can carry`);
  });

  it('is not an end of sequence of another kind', () => {
    expect(toSentences({ ...alert, eos: 'acknowledgeGiven' } as Call)).toEqual([
      sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,B,'),
    ]);
  });
});

describe('reading', () => {
  const to: Address = { station: '002991234' };
  const dsc = sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,E');
  const dse = sealed('CDDSE,1,1,A,2991234560,02,0123');

  it('takes any talker and line end', () => {
    const [plain, other] = ['CD', 'CT'].map((talker) =>
      fromSentences([`${sealed(`${talker}DSC,12,2991234560,12,01,09,1503000412,0930,,,S,`)}\r\n`]),
    );
    expect(other).toEqual(plain);
    expect(plain).toEqual(caseOf('distress-alert').call);
  });

  it('takes a reply as it takes what came by itself', () => {
    const reply = sealed('CDDSE,1,1,R,2991234560,02,0123');
    expect(fromSentences([dsc, reply])).toEqual(fromSentences([dsc, dse]));
    expect(fromSentences([dsc, dse]).expansions).toEqual([{ kind: 'speed', value: 12.3 }]);
  });

  it('takes a position whose time is left out', () => {
    const sentences = [sealed('CDDSC,20,2991234560,08,21,26,1503000412,,,,B,')];
    const call = fromSentences(sentences, { to });
    // Quadrant 1 is NW, then DDMM and DDDMM (M.493, from memory).
    expect('message' in call && call.message).toEqual({ position: { latitude: 50.5, longitude: -4.2 } });
    expect(toSentences(call)).toEqual(sentences);
  });

  it('takes one frequency, and two of either length', () => {
    const read = (message: string) => {
      const call = fromSentences([sealed(`CDDSC,20,2991234560,00,09,26,${message},,,,R,`)], { to });
      return 'message' in call ? call.message : undefined;
    };
    expect(read('')).toEqual({ receive: 'none', transmit: 'none' });
    expect(read('082940')).toEqual({ receive: { hz: 8_294_000 }, transmit: 'none' });
    expect(read('41235355')).toEqual({ receive: { hz: 12_353_550 }, transmit: 'none' });
    expect(read('08294041235355')).toEqual({ receive: { hz: 8_294_000 }, transmit: { hz: 12_353_550 } });
    expect(read('41235355082940')).toEqual({ receive: { hz: 12_353_550 }, transmit: { hz: 8_294_000 } });
  });

  it.each<[string, readonly unknown[], object, string]>([
    ['no sentence', [], {}, 'sentences'],
    ['not a list', 'x' as never, {}, 'sentences'],
    ['another talker form', ['$CDSC,12*00'], {}, 'sentences[0]'],
    ['no checksum', ['$CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,'], {}, 'sentences[0]'],
    ['a wrong checksum', [`${dsc.slice(0, -2)}00`], {}, 'sentences[0] checksum'],
    ['a number', [5], {}, 'sentences[0]'],
    ['a sentence too long', [sealed(`CDDSC,12,${'0'.repeat(80)}`)], {}, 'sentences[0]'],
    ['a DSE first', [dse], {}, 'sentences[0]'],
    ['a DSC second', [dsc, dsc], {}, 'sentences[1]'],
    ['a DSE missing', [dsc], {}, 'expansion indicator'],
    [
      'a DSE too many',
      [sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,'), dse],
      {},
      'expansion indicator',
    ],
    [
      'another indicator',
      [sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,F')],
      {},
      'expansion indicator',
    ],
    ['a field too few', [sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S')], {}, 'fields'],
    ['a field too many', [sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,,')], {}, 'fields'],
    ['an unknown end', [sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,T,')], {}, 'acknowledgement'],
    ['a short identity', [sealed('CDDSC,12,299123456,12,01,09,1503000412,0930,,,S,')], {}, 'self'],
    ['a command too high', [sealed('CDDSC,12,2991234560,12,28,09,1503000412,0930,,,S,')], {}, 'nature'],
    ['a command of one digit', [sealed('CDDSC,12,2991234560,12,1,09,1503000412,0930,,,S,')], {}, 'nature'],
    ['another category', [sealed('CDDSC,12,2991234560,00,01,09,1503000412,0930,,,S,')], {}, 'category'],
    ['a short position', [sealed('CDDSC,12,2991234560,12,01,09,150300041,0930,,,S,')], {}, 'position'],
    ['a short time', [sealed('CDDSC,12,2991234560,12,01,09,1503000412,930,,,S,')], {}, 'time'],
    ['an unknown format', [sealed('CDDSC,21,2991234560,00,00,26,,,,,R,')], {}, 'format'],
    ['no addressee', [sealed('CDDSC,20,2991234560,00,00,26,,,,,R,')], {}, 'to'],
    ['the wrong addressee', [sealed('CDDSC,14,2991234560,00,00,26,,,,,S,')], { to }, 'to'],
    ['half a frequency', [sealed('CDDSC,20,2991234560,00,00,26,0829,,,,R,')], { to }, 'message'],
    [
      'three frequencies',
      [sealed('CDDSC,20,2991234560,00,00,26,082940082940082940,,,,R,')],
      { to },
      'message',
    ],
    ['letters for a frequency', [sealed('CDDSC,20,2991234560,00,00,26,0829A0,,,,R,')], { to }, 'message'],
    ['a time without a position', [sealed('CDDSC,20,2991234560,00,00,26,082940,0930,,,R,')], { to }, 'time'],
    ['letters for a number', [sealed('CDDSC,23,2991234560,00,00,26,,12A,,,R,')], { to }, 'telephone'],
    // Two digits each, no more and no fewer, from 00 to 27 (IEC 61162-1, from memory).
    [
      'a format of three digits',
      [sealed('CDDSC,012,2991234560,12,01,09,1503000412,0930,,,S,')],
      {},
      'format',
    ],
    [
      'a category of three digits',
      [sealed('CDDSC,12,2991234560,112,01,09,1503000412,0930,,,S,')],
      {},
      'category',
    ],
    [
      'a nature of three digits',
      [sealed('CDDSC,12,2991234560,12,011,09,1503000412,0930,,,S,')],
      {},
      'nature',
    ],
    [
      'a follow-on of three digits',
      [sealed('CDDSC,12,2991234560,12,01,109,1503000412,0930,,,S,')],
      {},
      'followOn',
    ],
    ['no follow-on', [sealed('CDDSC,12,2991234560,12,01,,1503000412,0930,,,S,')], {}, 'followOn'],
    ['no first telecommand', [sealed('CDDSC,20,2991234560,00,,26,,,,,R,')], { to }, 'telecommand1'],
    ['no second telecommand', [sealed('CDDSC,20,2991234560,00,00,,,,,,R,')], { to }, 'telecommand2'],
    ['no nature', [sealed('CDDSC,16,0029912340,12,10,09,1503000412,0930,2991234560,,S,')], {}, 'nature'],
    [
      'no follow-on of another',
      [sealed('CDDSC,16,0029912340,12,10,,1503000412,0930,2991234560,01,S,')],
      {},
      'followOn',
    ],
    [
      'something before it',
      [` ${sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,')}`],
      {},
      'sentences[0]',
    ],
    [
      'something behind it',
      [`${sealed('CDDSC,12,2991234560,12,01,09,1503000412,0930,,,S,')} 5`],
      {},
      'sentences[0]',
    ],
    ['a code of three digits', [dsc, sealed('CDDSE,1,1,A,2991234560,022,0123')], {}, 'DSE sentence 1 code'],
    [
      'a code with a letter before',
      [dsc, sealed('CDDSE,1,1,A,2991234560,A02,0123')],
      {},
      'DSE sentence 1 code',
    ],
    ['a short casualty', [sealed('CDDSC,16,0029912340,12,10,09,1503000412,0930,29,01,S,')], {}, 'casualty'],
    ['another station', [dsc, sealed('CDDSE,1,1,A,2996543210,02,0123')], {}, 'DSE sentence 1 address'],
    ['a sentence missing', [dsc, sealed('CDDSE,2,1,A,2991234560,02,0123')], {}, 'DSE sentence 1'],
    ['sentences swapped', [dsc, sealed('CDDSE,1,2,A,2991234560,02,0123')], {}, 'DSE sentence 1'],
    ['another flag', [dsc, sealed('CDDSE,1,1,X,2991234560,02,0123')], {}, 'DSE sentence 1 flag'],
    ['a code without data', [dsc, sealed('CDDSE,1,1,A,2991234560,02')], {}, 'DSE sentence 1'],
    ['no code', [dsc, sealed('CDDSE,1,1,A,2991234560')], {}, 'DSE sentence 1'],
    ['a code too high', [dsc, sealed('CDDSE,1,1,A,2991234560,28,01')], {}, 'DSE sentence 1 code'],
    ['odd data', [dsc, sealed('CDDSE,1,1,A,2991234560,02,012')], {}, 'DSE sentence 1 data'],
  ])('refuses %s', (_, sentences, options, field) => {
    expect(refusal(() => fromSentences(sentences as string[], options))).toMatchObject({
      field,
      expected: expect.stringMatching(/./) as string,
    });
  });

  it('refuses anything else with the one error type', () => {
    const line = fc.oneof(
      fc.string(),
      fc.anything(),
      fc.string({ unit: 'grapheme-ascii' }).map((s) => sealed(`CDDSC,${s}`)),
    );
    const fields = fc
      .array(fc.oneof(fc.constantFrom('', '12', '00', '20', 'S', 'E', '2991234560', '1503000412', '0930')), {
        minLength: 11,
        maxLength: 11,
      })
      .map((list) => sealed(`CDDSC,${list.join(',')}`));
    fc.assert(
      fc.property(fc.array(fc.oneof(line, fields)), (sentences) => {
        refusal(() => fromSentences(sentences as string[], { to }));
      }),
      { numRuns: 1000 },
    );
  });
});
