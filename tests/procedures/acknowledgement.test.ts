/** Which acknowledgement belongs to which call: ITU-R M.493 Tables A1-4.1 to A1-4.10 (from memory), by hand. */
import { describe, expect, it } from 'vitest';
import type { Call, DistressRelay } from '../../src/calls/index.js';
import { acknowledgementOf, acknowledges } from '../../src/procedures/acknowledgement.js';
import { refusal } from '../refusal.js';

const SHIP = '299000111';
const OTHER = '299000222';
const COAST = '002990001';
/** All coast stations of the digits 299, and of others. */
const [ALL_COASTS, FOREIGN_COASTS] = ['002990000', '002320000'];

const message = { receive: { hz: 4_125_000 }, transmit: 'none' } as const;
const proposal = { telecommand1: 'j3e', telecommand2: 'none', message } as const;
const head = { to: { station: SHIP }, self: COAST } as const;
const toCoast = { to: { station: COAST }, self: SHIP } as const;
const distress = { nature: 'fire', position: 'none', time: 'none', followOn: 'j3e' } as const;
const relay: DistressRelay = { kind: 'distressRelay', ...toCoast, casualty: OTHER, ...distress };

const PAIRS: readonly (readonly [Call, Call])[] = [
  [
    { kind: 'urgencyCall', ...toCoast, ...proposal },
    { kind: 'urgencyAcknowledgement', ...head, ...proposal },
  ],
  [
    { kind: 'safetyCall', ...toCoast, ...proposal },
    { kind: 'safetyAcknowledgement', ...head, ...proposal },
  ],
  [
    { kind: 'routineCall', ...toCoast, ...proposal },
    { kind: 'routineAcknowledgement', ...head, ...proposal },
  ],
  [
    { kind: 'automaticCall', ...toCoast, ...proposal, telephone: '5551234' },
    { kind: 'automaticAcknowledgement', ...head, ...proposal, telephone: '5551234' },
  ],
  [
    { kind: 'testCall', ...toCoast },
    { kind: 'testAcknowledgement', ...head },
  ],
  [
    { kind: 'pollingRequest', ...toCoast },
    { kind: 'pollingReply', ...head },
  ],
  [
    { kind: 'positionRequest', ...toCoast },
    { kind: 'positionReport', ...head, position: 'none', time: 'none' },
  ],
  [relay, { kind: 'relayAcknowledgement', ...head, casualty: OTHER, ...distress }],
];

describe.each(PAIRS.map(([call, answer]) => ({ call, answer })))('a $call.kind', ({ call, answer }) => {
  it('is acknowledged by its own kind', () => {
    expect(acknowledgementOf(call, { type: 'able' }, { self: COAST })).toEqual(answer);
    for (const [, other] of PAIRS) expect(acknowledges(other, call), other.kind).toBe(other === answer);
  });

  it('is acknowledged by the called station alone, and for its sender alone', () => {
    expect(acknowledges({ ...answer, self: OTHER } as Call, call)).toBe(false);
    expect(acknowledges({ ...answer, self: { unassigned: [1] } } as unknown as Call, call)).toBe(false);
    expect(acknowledges({ ...answer, to: { station: OTHER } } as Call, call)).toBe(false);
  });

  it('to all coast stations is acknowledged by any of them, of the same digits', () => {
    const toAll = (station: string) => ({ ...call, to: { station } }) as Call;
    expect(acknowledges(answer, toAll(ALL_COASTS))).toBe(true);
    expect(acknowledges(answer, toAll(FOREIGN_COASTS))).toBe(false);
    expect(acknowledges({ ...answer, self: OTHER } as Call, toAll(ALL_COASTS))).toBe(false);
  });
});

describe('a distress relay', () => {
  const [, acknowledgement] = PAIRS[PAIRS.length - 1];
  const to = (address: DistressRelay['to']): Call => ({ ...relay, to: address });

  it('is acknowledged about the same casualty alone', () => {
    expect(acknowledges({ ...acknowledgement, casualty: '299000333' } as Call, relay)).toBe(false);
  });

  it('to all ships is acknowledged by a coast station, to its sender or to all ships', () => {
    expect(acknowledges(acknowledgement, to('allShips'))).toBe(true);
    expect(acknowledges({ ...acknowledgement, to: 'allShips' } as Call, to('allShips'))).toBe(true);
    expect(acknowledges({ ...acknowledgement, self: '299000333' } as Call, to('allShips'))).toBe(false);
  });
});

describe('an answer', () => {
  const call: Call = { kind: 'routineCall', ...toCoast, ...proposal };
  const field = (act: () => unknown) => refusal(act)?.field;

  it('may refuse or propose something else where the call proposes something', () => {
    expect(acknowledgementOf(call, { type: 'unable', reason: 'busy' }, { self: COAST })).toMatchObject({
      telecommand1: 'unable',
      telecommand2: 'busy',
      message: { receive: 'none', transmit: 'none' },
    });
    const elsewhere = { receive: { hz: 4_146_000 }, transmit: 'none' } as const;
    expect(acknowledgementOf(call, { type: 'propose', message: elsewhere }, { self: COAST })).toMatchObject({
      telecommand1: 'j3e',
      message: elsewhere,
    });
  });

  // A position may be asked for in category routine too: the answer carries it where the frequencies stood.
  it('gives the position that a routine call asks for', () => {
    const where = { position: { latitude: 48, longitude: -12 }, time: '09:30' } as const;
    const asking = { ...call, telecommand1: 'position' } as Call;
    expect(acknowledgementOf(asking, { type: 'able' }, { self: COAST, position: where })).toMatchObject({
      telecommand1: 'position',
      message: where,
    });
  });

  it.each<[string, Call, string]>([
    ['an acknowledgement', PAIRS[4][1], 'call'],
    ['a sender that cannot be read', { ...call, self: { unassigned: [1] } }, 'call'],
    ['a call to many', { ...call, to: { group: '029900010' } }, 'call'],
    ['a call that asks for none', { ...call, eos: 'noAcknowledgement' } as unknown as Call, 'call'],
  ])('is not given to %s', (_, given, name) => {
    const error = refusal(() => acknowledgementOf(given, { type: 'able' }, { self: COAST }));
    expect(error).toMatchObject({
      field: name,
      expected: expect.stringContaining('acknowledgement') as string,
    });
  });

  it('cannot refuse a test call', () => {
    const test = PAIRS[4][0];
    expect(field(() => acknowledgementOf(test, { type: 'unable', reason: 'busy' }, { self: COAST }))).toBe(
      'answer.type',
    );
  });
});
