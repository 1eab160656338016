/** What becomes of a received call: whom it is for, what is shown, what is watched and what is answered. */
import { describe, expect, it } from 'vitest';
import type { Call, CallKind, DecodedCall } from '../../src/calls/index.js';
import { receivedKind, type IncomingExchange, type StationSettings } from '../../src/procedures/index.js';
import {
  COAST,
  MF,
  MINUTE,
  OTHER,
  SECOND_COAST,
  SHIP,
  THIRD,
  VHF,
  acknowledgementFor,
  alertFrom,
  received,
  relayOf,
} from './calls.js';
import { Host, NOON, choose } from './host.js';

const GROUP = '029900010';
const AREA = { area: { latitude: 50, longitude: -14, south: 3, east: 4 } };
const UNREADABLE = { unassigned: [99, 99, 99, 99, 127] };
const NOT_RECEIVED = { notReceived: [null, 90, 0, 2, 20] };

const ship = (more: Partial<StationSettings> = {}) => new Host({ identity: SHIP, groups: [GROUP], ...more });
const coast = () => new Host({ identity: COAST });

const alert = alertFrom(OTHER);
const cancellation: Call = { ...alert, kind: 'ownAlertCancellation' };
const talk = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: { hz: 2_182_000 }, transmit: 'none' },
} as const;
const testTo = (station: string, self = OTHER): Call => ({ kind: 'testCall', to: { station }, self });
const routine: Call = { kind: 'routineCall', to: { station: SHIP }, self: OTHER, ...talk };
const urgencyTo = (to: unknown): Call => ({ kind: 'urgencyCall', to, self: OTHER, ...talk }) as Call;
const relayAcknowledgement = (casualty: string, self: string): Call => ({
  ...relayOf(casualty, { station: THIRD }, self),
  kind: 'relayAcknowledgement',
  to: { station: THIRD },
});

/** What a station tells of a call and does not act upon. */
const shown = (call: unknown, trust: string, rule: string) => [
  { type: 'tell', notice: { type: 'call', call, trust }, rule },
];

describe('a call that is not for the station', () => {
  it.each<[string, DecodedCall]>([
    ['its own test', testTo(COAST, SHIP)],
    ['its own alert', alertFrom(SHIP)],
    ['its own alert, cancelled', { ...cancellation, self: SHIP }],
    ['a test of another station', testTo(THIRD)],
    ['a call to an area elsewhere', urgencyTo({ area: { ...AREA.area, latitude: 10 } })],
    ['a call to another group', urgencyTo({ group: '029900011' })],
    [
      'the acknowledgement for another station',
      { kind: 'testAcknowledgement', to: { station: THIRD }, self: COAST },
    ],
    ['an irregular call to another station', { ...testTo(THIRD), eos: 'end' } as Call],
    [
      'part of a routine call to another station',
      { kind: 'partialCall', symbols: [null], to: { station: THIRD }, category: 'routine' },
    ],
  ])('is ignored: %s (M.493 §5, from memory)', (_, call) => {
    const host = ship();
    host.give({ type: 'position', position: { latitude: 48.5, longitude: -12.25 }, time: '11:40' });
    for (const quality of ['clean', 'doubtful'] as const)
      expect(host.give({ type: 'received', call, frequencyHz: MF, quality })).toEqual([]);
    expect(host.state.exchanges).toEqual([]);
  });

  it('is for it where it does not know where it is, and the call is to an area', () => {
    const elsewhere = urgencyTo({ area: { ...AREA.area, latitude: 10 } });
    expect(ship().give(received(elsewhere, MF))).toHaveLength(2);
  });
});

// Common practice, no source: shown whomever they are for, and never acted upon.
describe('a call about distress that is doubtful or was not received whole', () => {
  const toOther = { to: { station: THIRD } };
  it.each<[string, DecodedCall]>([
    ['an alert', alert],
    ['an acknowledgement', acknowledgementFor(SHIP)],
    ['a cancellation', cancellation],
    ['a relay to another station', relayOf(OTHER, { station: COAST }, THIRD)],
    ['the acknowledgement of a relay, to another station', relayAcknowledgement(OTHER, COAST)],
  ])('is shown: %s', (_, call) => {
    const host = ship();
    const doubtful = host.give({ type: 'received', call, frequencyHz: MF, quality: 'doubtful' });
    expect(doubtful).toEqual(shown(call, 'doubtful', 'doubtful'));
    const part = { ...call, time: { notReceived: [null, 40] } } as DecodedCall;
    expect(host.give({ type: 'received', call: part, frequencyHz: MF })).toEqual(
      shown(part, 'partial', 'doubtful'),
    );
    expect(host.state.exchanges).toEqual([]);
  });

  it.each<[string, object, boolean]>([
    ['an alert, by its format', { format: 'distress' }, true],
    ['a call of category distress, to another station', { ...toOther, category: 'distress' }, true],
    ['a call of a category that was not received', toOther, true],
    ['a call of category routine, to another station', { ...toOther, category: 'routine' }, false],
    ['a call of category routine, to me', { to: { station: SHIP }, category: 'routine' }, true],
  ])('may be %s', (_, fields, isShown) => {
    const call = { kind: 'partialCall', symbols: [null], ...fields } as DecodedCall;
    expect(ship().give({ type: 'received', call, frequencyHz: MF })).toEqual(
      isShown ? shown(call, 'partial', 'doubtful') : [],
    );
  });

  it('does not end the own alert', () => {
    const host = ship();
    host.give({ type: 'distress', nature: 'fire', followOn: 'j3e', frequencies: [MF] });
    host.runTo(60);
    host.give({ type: 'received', call: acknowledgementFor(SHIP), frequencyHz: MF, quality: 'doubtful' });
    expect(host.state.exchanges).toMatchObject([{ phase: 'waiting' }]);
  });
});

describe('a call to me that is doubtful or was not received whole', () => {
  it('is shown and not answered, also where that is done automatically', () => {
    const host = ship({ automatic: { test: true } });
    const call = testTo(SHIP);
    expect(host.give({ type: 'received', call, frequencyHz: MF, quality: 'doubtful' })).toEqual(
      shown(call, 'doubtful', 'doubtful'),
    );
    const part = { ...call, self: NOT_RECEIVED } as unknown as DecodedCall;
    expect(host.give({ type: 'received', call: part, frequencyHz: MF })).toEqual(
      shown(part, 'partial', 'doubtful'),
    );
    // What repetition restored is as good as clean.
    expect(host.give({ type: 'received', call, frequencyHz: MF, quality: 'recovered' })[0]).toMatchObject({
      type: 'phase',
      kind: 'incoming',
    });
  });
});

// Common practice, no source.
describe('a sequence that the call tables do not allow', () => {
  it.each<[string, object]>([
    ['a test with another end', { ...testTo(SHIP), eos: 'end' }],
    ['a test with symbols too many', { ...testTo(SHIP), rest: [126] }],
    ['a test of a station that cannot be read', { ...testTo(SHIP), self: UNREADABLE }],
    ['a call that no row allows', { ...urgencyTo('allShips'), kind: 'irregularCall', category: 'routine' }],
    [
      'an automatic call that no row allows',
      { ...routine, kind: 'irregularAutomaticCall', category: 'safety', telephone: 'none' },
    ],
    [
      'a distress call that no row allows',
      { ...relayOf(OTHER, 'allShips', THIRD), kind: 'irregularDistressCall', telecommand1: 'test' },
    ],
    ['an acknowledgement with another end', { ...acknowledgementFor(SHIP), eos: 'acknowledgeGiven' }],
    ['a relay of a station that cannot be read', { ...relayOf(OTHER, 'allShips', THIRD), self: UNREADABLE }],
    ['a cancellation by a station that cannot be read', { ...cancellation, self: UNREADABLE }],
  ])('is shown and not acted upon: %s', (_, call) => {
    const host = ship({ automatic: { test: true } });
    expect(host.give(received(call as Call, MF))).toEqual(shown(call, 'sure', 'irregular'));
    expect(host.state.exchanges).toEqual([]);
  });

  it('but begins as an alert is taken for one too', () => {
    const host = coast();
    const call: Call = { ...alert, eos: 'acknowledgeGiven' };
    expect(host.give(received(call, MF)).slice(0, 3)).toMatchObject([
      ...shown(call, 'sure', 'irregular'),
      { type: 'phase', kind: 'alert', to: 'open' },
      { type: 'tell', notice: { type: 'alert', casualty: OTHER, time: 'first' } },
    ]);
  });
});

describe('an acknowledgement', () => {
  it('of a call that was not sent is told and belongs to nothing (no source)', () => {
    for (const call of [
      { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST },
      { ...routine, kind: 'routineAcknowledgement', self: COAST },
    ] as Call[]) {
      expect(ship().give(received(call, MF))).toEqual([
        { type: 'tell', notice: { type: 'unmatched', by: COAST }, rule: 'matching' },
      ]);
    }
  });

  it('of a call that was sent is not', () => {
    const host = ship();
    host.give({ type: 'call', call: testTo(COAST, SHIP), frequencyHz: MF });
    host.runTo(10);
    host.give(received({ kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST }, MF));
    expect(host.all('tell').map(({ notice }) => notice.type)).toEqual(['acknowledged', 'complete']);
  });

  // M541-8 Annex 1 §3.3.5.
  it('of a distress belongs to the ship that it names', () => {
    const host = ship();
    expect(host.give(received(acknowledgementFor(SHIP), MF))).toEqual([
      { type: 'tell', notice: { type: 'strangeAcknowledgement', by: COAST }, rule: 'onlyWhatWasReceived' },
    ]);
    host.give(received(acknowledgementFor(OTHER), MF));
    expect(host.all('tell').at(-1)?.notice).toEqual({
      type: 'distressAcknowledged',
      by: COAST,
      casualty: OTHER,
    });
    host.give(received(relayAcknowledgement(THIRD, SECOND_COAST), MF));
    expect(host.all('tell').at(-1)?.notice).toMatchObject({ by: SECOND_COAST, casualty: THIRD });
  });
});

describe('a call to many (M.541 Annex 3 §2 and §3, from memory)', () => {
  it.each<[string, Call]>([
    ['all ships', urgencyTo('allShips')],
    ['the area around it', urgencyTo(AREA)],
    ['its group', { ...routine, to: { group: GROUP } }],
    ['all ships, of category safety', { ...urgencyTo('allShips'), kind: 'safetyCall' } as Call],
  ])('is told and watched, and not answered: to %s', (_, call) => {
    const host = ship();
    host.give({ type: 'position', position: { latitude: 48.5, longitude: -12.25 }, time: '11:40' });
    expect(host.give(received(call, MF))).toEqual([
      ...shown(call, 'sure', 'notToMany'),
      { type: 'watch', call, frequencyHz: MF, side: 'called', rule: 'notToMany' },
    ]);
    expect(host.state.exchanges).toEqual([]);
  });

  it('that nothing follows is not watched', () => {
    const call = { ...urgencyTo('allShips'), telecommand1: 'unable', telecommand2: 'busy' } as Call;
    expect(ship().give(received(call, MF))).toEqual(shown(call, 'sure', 'notToMany'));
  });
});

describe('a call to one station that asks for an answer', () => {
  const incoming = (host: Host) => host.state.exchanges[0] as IncomingExchange;

  // M541-8 Annex 1 §4; M.541 Annex 2 (from memory): a coast station within 4 1/2 minutes, a ship within 5 (no source).
  it.each<[string, () => Host, Call, string, number]>([
    ['a ship', ship, testTo(SHIP), 'individualAcknowledged', 5],
    ['a coast station', coast, testTo(COAST), 'coastAnswers', 4.5],
    [
      'a coast station of a called group',
      () => new Host({ identity: COAST, groups: ['002999999'] }),
      testTo('002999999'),
      'coastAnswers',
      4.5,
    ],
  ])('is put before the operator of %s', (_, make, call, rule, minutes) => {
    const host = make();
    expect(host.give(received(call, VHF)).slice(0, 2)).toEqual([
      { type: 'phase', exchange: 1, kind: 'incoming', from: undefined, to: 'open', rule },
      { type: 'tell', exchange: 1, notice: { type: 'call', call, trust: 'sure' }, rule },
    ]);
    expect(incoming(host).expiresAt).toBe(NOON + minutes * MINUTE);
  });

  // M.541 Annex 2 (from memory): no sooner than 5 s after it came; the receiver says when it ended.
  it.each([
    [undefined, 20_000, 25_000],
    [18_000, 18_000, 23_000],
    // A time that has not come yet is now.
    [21_000, 20_000, 25_000],
  ])('that ended at %s ms, told at 20 s, is answered 5 s after its end', (endedAt, receivedAt, sentAt) => {
    const host = coast();
    host.runTo(20);
    const ended = endedAt === undefined ? {} : { endedAt: NOON + endedAt };
    host.give({ type: 'received', call: testTo(COAST), frequencyHz: VHF, ...ended });
    expect(incoming(host).receivedAt).toBe(NOON + receivedAt);
    choose(host, 'able');
    host.runTo(40);
    expect(host.all('transmit')).toMatchObject([{ at: sentAt }]);
  });
});

describe('what a call asks of its receivers', () => {
  it.each<[CallKind, string, object?]>([
    ['distressAlert', 'alert'],
    ['distressRelay', 'relay'],
    ['distressAcknowledgement', 'distressAcknowledgement'],
    ['relayAcknowledgement', 'distressAcknowledgement'],
    ['ownAlertCancellation', 'cancellation'],
    ['testCall', 'request'],
    ['routineCall', 'request'],
    ['routineCall', 'announcement', { to: { group: GROUP } }],
    ['urgencyCall', 'announcement', { to: 'allShips' }],
    ['testAcknowledgement', 'acknowledgement'],
    ['positionReport', 'acknowledgement'],
    ['irregularCall', 'announcement'],
  ])('%s: %s', (kind, asks, more = {}) => {
    expect(receivedKind({ kind, to: { station: SHIP }, self: OTHER, ...more } as unknown as Call)).toBe(asks);
  });
});
