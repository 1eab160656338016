/**
 * One step of a station: what it takes and refuses, what waits for what, when it goes on by itself and what it forgets.
 * Settings, timers and memory are common practice without a source; where a standard asks for something, it is named.
 */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import {
  DEFAULT_TIMING,
  choicesFor,
  createStation,
  dueAt,
  stepStation,
  type AlertExchange,
  type Choice,
  type DistressExchange,
  type Exchange,
  type IncomingExchange,
  type OutgoingExchange,
  type ProcedureTiming,
  type StationEvent,
  type StationSettings,
  type StationState,
} from '../../src/procedures/index.js';
import { refusal } from '../refusal.js';
import {
  COAST,
  HF8,
  MF,
  MINUTE,
  OTHER,
  SECOND_COAST,
  SHIP,
  THIRD as CASUALTY,
  VHF,
  acknowledgementFor,
  alertFrom,
  received,
  relayOf,
} from './calls.js';
import { Host, NOON } from './host.js';

const GROUP = '029900010';
const SHIP_TO_SHIP = 2_177_000;
const SECOND = 1000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

const ALERT = alertFrom(CASUALTY);
const RELAY = relayOf(CASUALTY, { station: COAST }, SHIP);
const TEST: Extract<Call, { kind: 'testCall' }> = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const proposal = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: { hz: 2_182_000 }, transmit: 'none' },
} as const;
const ROUTINE: Call = { kind: 'routineCall', to: { station: OTHER }, self: SHIP, ...proposal };
const AREA = { area: { latitude: 50, longitude: -14, south: 3, east: 4 } };
const URGENCY: Call = { kind: 'urgencyCall', to: AREA, self: SHIP, ...proposal };
const SAFETY: Call = { kind: 'safetyCall', to: AREA, self: SHIP, ...proposal };

const send = (call: Call, frequencyHz: number): StationEvent => ({ type: 'call', call, frequencyHz });
const busy = (frequencyHz: number, is = true): StationEvent => ({ type: 'channel', frequencyHz, busy: is });
const distress = (...frequencies: number[]): StationEvent => ({
  type: 'distress',
  nature: 'flooding',
  followOn: 'j3e',
  frequencies,
});
const choice = (name: string, exchange = 1, more: object = {}) =>
  ({ type: 'choose', exchange, choice: name, ...more }) as StationEvent;

const ship = (more: Partial<StationSettings> = {}) => new Host({ identity: SHIP, seed: 1, ...more });
const coast = () => new Host({ identity: COAST, seed: 2 });
const sentKinds = (host: Host) => host.all('transmit').map(({ call }) => call.kind);

describe('the settings of a station', () => {
  it('fill in what is left out', () => {
    const state = createStation({ identity: SHIP }, NOON);
    expect(state).toStrictEqual({
      identity: SHIP,
      groups: [],
      automatic: { test: false, position: false, polling: false },
      timing: DEFAULT_TIMING,
      now: NOON,
      random: createStation({ identity: SHIP, seed: 0 }, 0).random,
      nextId: 1,
      position: 'none',
      positionTime: 'none',
      radios: { 'mf-hf': { ceasing: false, queue: [] }, vhf: { ceasing: false, queue: [] } },
      busy: [],
      exchanges: [],
    });
  });

  it('keep what is given', () => {
    const given = {
      identity: SHIP,
      name: 'Grey Petrel',
      callSign: 'ZZ9AB',
      coastStation: COAST,
      groups: [GROUP, '029900011'],
      automatic: { test: true, position: false, polling: true },
      timing: {
        acknowledgementWaitMs: 70_000,
        answerLimitMs: 80_000,
        matchMs: 90_000,
        busyLimitMs: 100_000,
        hfRelayMs: 200_000,
      },
    };
    expect(createStation({ ...given, seed: 7 }, NOON)).toMatchObject(given);
  });

  it.each(['test', 'position', 'polling'] as const)('allow automatic answers one by one: %s', (name) => {
    const none = { test: false, position: false, polling: false };
    const state = createStation({ identity: SHIP, automatic: { [name]: true } }, 0);
    expect(state.automatic).toEqual({ ...none, [name]: true });
  });

  it('choose the random waits: one seed the same, another others', () => {
    const nextOf = (seed: number, identity = SHIP) => {
      const host = ship({ identity, seed });
      host.give(distress(MF));
      host.run(MINUTE);
      return dueAt(host.state);
    };
    expect(nextOf(3)).toBe(nextOf(3));
    const next = [0, 1, 2, 3, 4, 2 ** 32, -1].map((seed) => nextOf(seed));
    expect(new Set(next).size).toBe(next.length);
    // Two ships that leave it out do not send over each other again and again.
    expect(nextOf(0, OTHER)).not.toBe(nextOf(0));
  });

  it.each<[string, Partial<StationSettings>]>([
    ['a name of one character', { name: 'A' }],
    ['a name of 60', { name: 'A'.repeat(60) }],
    ['a call sign of one character', { callSign: 'Z' }],
    ['a call sign of 20', { callSign: 'Z'.repeat(20) }],
    ['100 groups', { groups: Array<string>(100).fill(GROUP) }],
    ['the least seed', { seed: Number.MIN_SAFE_INTEGER }],
    ['the greatest seed', { seed: Number.MAX_SAFE_INTEGER }],
  ])('may be %s', (_, more) => {
    const { seed, ...kept } = more;
    expect(createStation({ identity: SHIP, ...more }, 0)).toMatchObject(kept);
    expect(seed === undefined || Number.isSafeInteger(seed)).toBe(true);
  });

  const all = '{ identity, name, callSign, coastStation, groups, automatic, timing, seed }';
  it.each<[string, unknown, string, string]>([
    ['no record', null, 'settings', all],
    ['a list', [], 'settings', all],
    ['an unknown setting', { colour: 'x' }, 'settings.colour', `nothing: settings is ${all}`],
    ['no identity', { identity: undefined }, 'settings.identity', 'nine digits'],
    ['eight digits', { identity: '29900011' }, 'settings.identity', 'nine digits'],
    ['ten digits', { identity: '2990001110' }, 'settings.identity', 'nine digits'],
    ['ten characters', { identity: ' 299000111' }, 'settings.identity', 'nine digits'],
    ['a letter', { identity: '29900011x' }, 'settings.identity', 'nine digits'],
    ['a number', { identity: 299_000_111 }, 'settings.identity', 'nine digits'],
    ['an empty name', { name: '' }, 'settings.name', 'text of 1 to 60 characters'],
    ['a long name', { name: 'A'.repeat(61) }, 'settings.name', 'text of 1 to 60 characters'],
    ['a name that is no text', { name: 5 }, 'settings.name', 'text of 1 to 60 characters'],
    ['a name that is a list', { name: ['A'] }, 'settings.name', 'text of 1 to 60 characters'],
    ['an empty call sign', { callSign: '' }, 'settings.callSign', 'text of 1 to 20 characters'],
    ['a long call sign', { callSign: 'Z'.repeat(21) }, 'settings.callSign', 'text of 1 to 20 characters'],
    ['a short coast station', { coastStation: '00299' }, 'settings.coastStation', 'nine digits'],
    ['groups that are no list', { groups: GROUP }, 'settings.groups', 'a list of at most 100 identities'],
    [
      '101 groups',
      { groups: Array<string>(101).fill(GROUP) },
      'settings.groups',
      'a list of at most 100 identities',
    ],
    ['a wrong second group', { groups: [GROUP, 'x'] }, 'settings.groups[1]', 'nine digits'],
    ['a gap among groups', { groups: Array<string>(1) }, 'settings.groups[0]', 'nine digits'],
    ['answers that are no record', { automatic: true }, 'settings.automatic', '{ test, position, polling }'],
    [
      'an answer to anything else',
      { automatic: { distress: true } },
      'settings.automatic.distress',
      'nothing: settings.automatic is { test, position, polling }',
    ],
    ['a test that is no flag', { automatic: { test: 1 } }, 'settings.automatic.test', 'true or false'],
    [
      'a position that is no flag',
      { automatic: { position: 'no' } },
      'settings.automatic.position',
      'true or false',
    ],
    ['polling that is no flag', { automatic: { polling: 0 } }, 'settings.automatic.polling', 'true or false'],
    [
      'waits that are no record',
      { timing: 5 },
      'settings.timing',
      '{ acknowledgementWaitMs, answerLimitMs, matchMs, busyLimitMs, hfRelayMs }',
    ],
    [
      'a broken seed',
      { seed: 0.5 },
      'settings.seed',
      'an integer from -9007199254740991 to 9007199254740991',
    ],
    [
      'a seed too great',
      { seed: 2 ** 53 },
      'settings.seed',
      'an integer from -9007199254740991 to 9007199254740991',
    ],
    [
      'a seed too small',
      { seed: -(2 ** 53) },
      'settings.seed',
      'an integer from -9007199254740991 to 9007199254740991',
    ],
    [
      'a seed that is text',
      { seed: '1' },
      'settings.seed',
      'an integer from -9007199254740991 to 9007199254740991',
    ],
  ])('are not %s', (_, wrong, field, expected) => {
    const isRecord = typeof wrong === 'object' && wrong !== null && !Array.isArray(wrong);
    const settings = isRecord ? { identity: SHIP, ...wrong } : wrong;
    expect(refusal(() => createStation(settings as StationSettings, 0))).toMatchObject({ field, expected });
  });

  it.each<[keyof ProcedureTiming, number, number]>([
    ['acknowledgementWaitMs', SECOND, HOUR],
    ['answerLimitMs', SECOND, HOUR],
    ['matchMs', SECOND, DAY],
    ['busyLimitMs', SECOND, HOUR],
    ['hfRelayMs', 3 * MINUTE, HOUR],
  ])('hold the wait %s within %d and %d ms', (name, least, most) => {
    const withWait = (ms: unknown) =>
      createStation({ identity: SHIP, timing: { [name]: ms } }, 0).timing[name];
    expect([withWait(least), withWait(most)]).toEqual([least, most]);
    for (const wrong of [least - 1, most + 1, NaN, Infinity, String(least)]) {
      expect(refusal(() => withWait(wrong))).toMatchObject({
        field: `settings.timing.${name}`,
        expected: `a number from ${least} to ${most} ms`,
      });
    }
  });

  it('are read, not kept: a list changed later changes no station', () => {
    const groups = [GROUP];
    const state = createStation({ identity: SHIP, groups }, 0);
    groups.push('029900011');
    expect(state.groups).toEqual([GROUP]);
  });
});

describe('the clock of a station', () => {
  it.each([-1, 8.64e15 + 1, NaN, Infinity, '0' as unknown as number])('is never %o', (now) => {
    const expected = 'a number from 0 to 8640000000000000 ms';
    const state = createStation({ identity: SHIP }, 0);
    expect(refusal(() => stepStation(state, { type: 'tick' }, now))).toMatchObject({
      field: 'now',
      expected,
    });
    expect(refusal(() => createStation({ identity: SHIP }, now))).toMatchObject({ field: 'now', expected });
  });

  it.each([0, 8.64e15])('may be %d ms', (now) => {
    const state = createStation({ identity: SHIP }, now);
    expect(stepStation(state, { type: 'tick' }, now).state.now).toBe(now);
  });

  it('does not go back: a time before the latest counts as the latest', () => {
    const state = createStation({ identity: SHIP }, NOON);
    const later = stepStation(state, { type: 'tick' }, NOON + 5000).state;
    const after = stepStation(later, send(TEST, MF), NOON + 1000).state;
    expect(after.now).toBe(NOON + 5000);
    expect(after.exchanges[0].since).toBe(NOON + 5000);
  });
});

describe('an event that is wrong', () => {
  const call = { ...TEST, to: { station: '1' } };
  it.each<[string, StationEvent, string]>([
    ['of no kind', { type: 'nothing' } as unknown as StationEvent, 'event'],
    ['a call on no frequency', send(TEST, 5), 'frequency'],
    ['a call that cannot be', send(call, MF), 'to.station'],
    ['a received call on no frequency', received({ ...TEST, self: OTHER }, NaN), 'frequency'],
    ['a choice on no frequency', choice('stop', 1, { frequencyHz: 5 }), 'frequency'],
    ['an alert on no frequency', distress(5), 'frequency'],
    ['an occupied frequency that is none', busy(NaN), 'frequency'],
    ['a free frequency that is none', busy(5, false), 'frequency'],
  ])('is refused and leaves the station as it was: %s', (_, event, field) => {
    const host = ship();
    host.give(send(TEST, MF));
    const before = structuredClone(host.state);
    expect(refusal(() => host.give(event))?.field).toBe(field);
    expect(host.state).toEqual(before);
  });

  it('of no kind says what is wanted', () => {
    const event = { type: 'nothing' } as unknown as StationEvent;
    expect(refusal(() => ship().give(event))).toMatchObject({
      value: event,
      expected: 'an event of a station',
    });
  });
});

describe('a step', () => {
  function deepFreeze(value: unknown): void {
    if (typeof value !== 'object' || value === null || Object.isFrozen(value)) return;
    Object.freeze(value);
    Object.values(value).forEach(deepFreeze);
  }

  // Every event twice on a frozen state: what is given is not changed, and the same step follows.
  it('is a pure function of state, event and time', () => {
    const position = { latitude: 48.5, longitude: -12.25 };
    const events: StationEvent[] = [
      { type: 'position', position, time: '11:58' },
      send(TEST, MF),
      busy(HF8),
      received({ ...TEST, to: { station: SHIP }, self: COAST }, MF),
      received(ALERT, MF),
      distress(VHF, MF, HF8),
      { type: 'unsent', transmission: 2 },
      choice('cancel', 5),
      busy(HF8, false),
      { type: 'sent', transmission: 99 },
      choice('able', 3),
      { type: 'tick' },
    ];
    let state = createStation({ identity: SHIP, seed: 4 }, NOON);
    events.forEach((event, i) => {
      deepFreeze(state);
      deepFreeze(event);
      const first = stepStation(state, event, NOON + 700 * i);
      expect(stepStation(state, event, NOON + 700 * i)).toEqual(first);
      state = first.state;
    });
    expect(state.exchanges.map(({ kind }) => kind)).toEqual(['outgoing', 'incoming', 'alert', 'distress']);
  });

  it('gives no number to two things', () => {
    const host = ship();
    host.give(send(TEST, MF));
    host.give(send(ROUTINE, SHIP_TO_SHIP));
    host.give(distress(VHF, MF));
    host.run(10 * MINUTE);
    const ids = [
      ...host.state.exchanges.map(({ id }) => id),
      ...host.all('transmit').map(({ transmission }) => transmission),
    ];
    expect(new Set(ids).size).toBe(ids.length);
    expect(Math.min(...ids)).toBe(1);
  });

  it('takes the end of a transmission that is not on the air for nothing', () => {
    const host = ship();
    host.give(send(TEST, MF));
    const [{ transmission }] = host.all('transmit');
    for (const type of ['sent', 'unsent'] as const) {
      expect(host.give({ type, transmission: transmission + 1 })).toEqual([]);
    }
    host.run(20 * SECOND);
    expect(host.state.exchanges[0].phase).toBe('awaiting');
    expect(host.give({ type: 'unsent', transmission })).toEqual([]);
    expect(host.state.exchanges[0].phase).toBe('awaiting');
  });

  it('holds a frequency occupied until it is free, however often that was said', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(busy(MF));
    host.give(busy(HF8));
    expect(host.state.busy).toEqual([MF, HF8]);
    expect(host.give(busy(MF, false))).toEqual([]);
    expect(host.state.busy).toEqual([HF8]);
    host.give(send(TEST, HF8));
    expect(host.all('transmit')).toEqual([]);
    host.give(busy(HF8, false));
    expect(host.all('transmit')).toHaveLength(1);
  });
});

describe('what an operator chooses', () => {
  it('must be about an exchange that there is', () => {
    const host = ship();
    host.give(send(TEST, MF));
    expect(host.give(choice('stop', 99))).toEqual([
      { type: 'refuse', refusal: { type: 'noExchange', exchange: 99 }, rule: 'onlyWhatIsOffered' },
    ]);
    expect(choicesFor(host.state, 99)).toEqual([]);
    expect(choicesFor(host.state, 1)).toEqual<Choice[]>([
      { choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' },
    ]);
  });

  it('must be offered now', () => {
    const host = ship();
    host.give(send(TEST, MF));
    for (const name of ['resend', 'able', 'jump']) {
      expect(host.give(choice(name))).toEqual([
        { type: 'refuse', refusal: { type: 'notOffered', phase: 'sending' }, rule: 'onlyWhatIsOffered' },
      ]);
    }
  });

  // M.541 Annex 3 §4.2 (from memory): after the second attempt a routine call waits 15 minutes. 200 dots and 31 · 20
  // bits at 100 Bd: 8.2 s a call; the second begins when 5 minutes after the first are over and ends at 316.4 s.
  it('must not be too early: the seconds left are told, begun ones in full', () => {
    const host = ship();
    host.give(send(ROUTINE, SHIP_TO_SHIP));
    host.run(308_200);
    host.give(choice('resend'));
    host.run(700 * SECOND);
    const from = 316_400 + 15 * MINUTE;
    const early = (seconds: number) => [
      { type: 'refuse', refusal: { type: 'early', seconds }, rule: 'routineWait' },
    ];
    expect(choicesFor(host.state, 1)[0]).toMatchObject({ choice: 'resend', from: NOON + from });
    expect(host.give(choice('resend'))).toEqual(early(517));
    host.time = from - 1000;
    expect(host.give(choice('resend'))).toEqual(early(1));
    host.time = from - 1;
    expect(host.give(choice('resend'))).toEqual(early(1));
    host.time = from;
    expect(host.give(choice('resend')).map(({ type }) => type)).toEqual(['phase', 'transmit']);
  });

  // M541-8 Annex 1 §3.3.2: on MF not before a minute; the procedure itself puts the acknowledgement off.
  it('is never too early where it acknowledges an alert', () => {
    const host = coast();
    host.give(received(ALERT, MF));
    host.run(10 * SECOND);
    expect(host.give(choice('acknowledge'))).toEqual([
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'acknowledgementDelayed', seconds: 50 },
        rule: 'coastWaits',
      },
      { type: 'timer', exchange: 1, at: NOON + MINUTE, rule: 'coastWaits' },
    ]);
  });

  // C25 §2; M.541 Annex 3 §1 (from memory): a coast station has acknowledged it.
  it('is no relay that the table forbids, by hand or once more', () => {
    const host = ship();
    host.give(received(ALERT, HF8));
    host.run(5 * MINUTE);
    host.give(choice('relay', 1, { to: { station: COAST } }));
    host.run(7 * MINUTE);
    const relay = host.state.exchanges.at(-1)?.id ?? 0;
    host.give(received(acknowledgementFor(CASUALTY, SECOND_COAST), HF8));
    const refused = [{ type: 'refuse', refusal: { type: 'rule' }, rule: 'acknowledgedAlready' }];
    expect(host.give(choice('resend', relay))).toEqual(refused);
    expect(host.give(send(RELAY, HF8))).toEqual(refused);
    expect(sentKinds(host)).toEqual(['distressRelay']);
  });

  // FCC80 §80.1117(a); C25 §2.3: a relay of a VHF alert only where the master finds it necessary, said once.
  it('needs to be confirmed once for a relay that is sent again', () => {
    const host = ship();
    host.give(received({ ...ALERT, followOn: 'f3e' }, VHF));
    host.give(choice('relay', 1, { to: { station: COAST }, necessary: true, frequencyHz: MF }));
    host.run(3 * MINUTE);
    const relay = host.state.exchanges.at(-1)?.id ?? 0;
    expect(host.give(choice('resend', relay))[0]).toMatchObject({ type: 'phase', to: 'sending' });
    host.run(6 * MINUTE);
    expect(sentKinds(host)).toEqual(['distressRelay', 'distressRelay']);
  });

  it('confirms the need of a relay only where it sends one again', () => {
    const host = ship();
    host.give(send(RELAY, MF));
    host.run(3 * MINUTE);
    host.give(received(ALERT, MF));
    host.give(choice('stop', 1, { necessary: true }));
    expect(host.state.exchanges[0]).not.toHaveProperty('isNecessary');
  });
});

describe('what waits to be sent', () => {
  // M.493 Annex 1 and Radio Regulations Article 53 (from memory): distress, urgency, safety, routine.
  it('goes by its urgency, and among equals by its turn', () => {
    const host = ship();
    const second: Call = { ...TEST, to: { station: SECOND_COAST } };
    host.give(send(TEST, MF));
    for (const call of [ROUTINE, second, SAFETY, URGENCY, RELAY]) {
      host.give(send(call, call === ROUTINE ? SHIP_TO_SHIP : MF));
    }
    host.run(MINUTE);
    expect(host.all('transmit').map(({ call }) => call)).toEqual([
      TEST,
      RELAY,
      URGENCY,
      second,
      SAFETY,
      ROUTINE,
    ]);
  });

  it('keeps no alert from its wait for the next attempt', () => {
    const host = ship();
    host.give(distress(MF));
    host.give(busy(HF8));
    host.give(send(TEST, HF8));
    host.run(40 * SECOND);
    expect(host.state.exchanges.map(({ phase }) => phase)).toEqual(['waiting', 'sending']);
  });

  it('is broken off once, whoever asks for it', () => {
    const host = ship();
    host.give(send(TEST, MF));
    expect(host.give(choice('stop'))).toMatchObject([{ type: 'cease', rule: 'operator' }, { type: 'phase' }]);
    host.give(distress(MF));
    expect(host.all('cease')).toHaveLength(1);
  });

  it('about one casualty is not changed by the alert of another', () => {
    const host = coast();
    host.give(received(ALERT, MF));
    host.give(choice('acknowledge'));
    host.give(received(alertFrom(OTHER), MF));
    host.give(choice('acknowledge', 3));
    host.run(7200);
    host.give(received({ ...alertFrom(OTHER), nature: 'sinking' }, MF));
    host.run(2 * MINUTE);
    expect(host.all('transmit').map(({ call }) => call)).toEqual([
      acknowledgementFor(CASUALTY),
      { ...acknowledgementFor(OTHER), nature: 'sinking' },
    ]);
  });

  it('goes out on VHF and on MF and HF at the same time', () => {
    const host = ship();
    host.give(send(TEST, MF));
    host.give(send({ ...TEST, to: { station: SECOND_COAST } }, VHF));
    host.give(send({ ...TEST, to: { station: SECOND_COAST } }, HF8));
    expect(host.all('transmit').map(({ at, frequencyHz }) => [at, frequencyHz])).toEqual([
      [0, MF],
      [0, VHF],
    ]);
  });

  it('is passed by what waits for another frequency that is free', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(send(TEST, MF));
    host.give(send(TEST, HF8));
    expect(host.all('transmit').map(({ frequencyHz }) => frequencyHz)).toEqual([HF8]);
  });

  it('gives up after five minutes on an occupied frequency, not a millisecond before', () => {
    const host = ship();
    host.give(busy(MF));
    expect(host.give(send(URGENCY, MF))).toEqual([
      { type: 'phase', exchange: 1, kind: 'outgoing', from: undefined, to: 'sending', rule: 'announced' },
      { type: 'timer', exchange: 1, at: NOON + 5 * MINUTE, rule: 'listenFirst' },
    ]);
    host.time = 5 * MINUTE - 1;
    expect(host.give({ type: 'tick' })).toEqual([]);
    host.time = 5 * MINUTE;
    expect(host.give({ type: 'tick' }).slice(0, 2)).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'outgoing',
        from: 'sending',
        to: 'unanswered',
        rule: 'listenFirst',
      },
      { type: 'tell', exchange: 1, notice: { type: 'callUnsent' }, rule: 'listenFirst' },
    ]);
    expect(host.state.radios['mf-hf'].queue).toEqual([]);
  });

  it('gives up after the time that was set', () => {
    const host = ship({ timing: { busyLimitMs: 20 * SECOND } });
    host.give(busy(MF));
    host.give(send(TEST, MF));
    expect(dueAt(host.state)).toBe(NOON + 20 * SECOND);
  });

  // A coast station answers after at least 5 s (M.541 Annex 2, from memory): it waits from then on.
  it('counts its wait from when it may go out', () => {
    const host = coast();
    host.give(busy(MF));
    host.give(received(TEST, MF));
    host.give(choice('able'));
    expect(dueAt(host.state)).toBe(NOON + 5 * SECOND);
    host.run(6 * SECOND);
    expect(dueAt(host.state)).toBe(NOON + 5 * SECOND + 5 * MINUTE);
    host.run(5 * SECOND + 5 * MINUTE);
    expect(host.all('tell').map(({ notice }) => notice.type)).toEqual([
      'call',
      'acknowledgementUnsent',
      'expired',
    ]);
  });

  it('is not given up where it is about the distress of others', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(send(RELAY, MF));
    expect(dueAt(host.state)).toBeUndefined();
    host.run(30 * HOUR);
    expect(host.state.exchanges).toMatchObject([{ phase: 'sending' }]);
    expect(host.give(busy(MF, false))).toMatchObject([{ type: 'transmit', call: RELAY }]);
  });

  it('says what the latest alert said where it acknowledges one, and leaves other calls as they are', () => {
    const host = coast();
    const position = { latitude: 48.6, longitude: -12.5 };
    const own: Call = { ...TEST, self: COAST, to: { station: SECOND_COAST } };
    host.give(received(ALERT, MF));
    host.give(choice('acknowledge'));
    host.give(busy(HF8));
    host.give(send(own, HF8));
    host.run(7200);
    host.give(received({ ...ALERT, position }, MF));
    // The attempt goes on: the acknowledgement waits for its end all the same.
    host.run(55 * SECOND);
    host.give(received({ ...ALERT, position }, MF));
    host.run(80 * SECOND);
    host.give(busy(HF8, false));
    // A call is 7.2 s long: 9 s after the last nothing more is to come.
    expect(host.all('transmit').map(({ at, call }) => [at, call])).toEqual([
      [64 * SECOND, { ...ALERT, kind: 'distressAcknowledgement', self: COAST, casualty: CASUALTY, position }],
      [80 * SECOND, own],
    ]);
  });
});

describe('the timer', () => {
  const timer = (exchange: number, at: number, rule: string) => ({
    type: 'timer',
    exchange,
    at: NOON + at,
    rule,
  });
  const timers = (host: Host) => host.all('timer').map(({ at: _, ...action }) => action);

  // A test of 20 dots and 31 · 20 bits at 100 Bd to a coast station: 6.4 s; on VHF 0.533 s. Then 60 s for the answer.
  it('tells the next time at which the station goes on, when that changes', () => {
    const host = ship();
    host.give(send(TEST, MF));
    host.run(10 * SECOND);
    host.give({ type: 'tick' });
    host.give({ type: 'position', position: 'none', time: 'none' });
    expect(
      host.done.filter(({ action }) => action.type === 'timer').map(({ at, action }) => [at, action]),
    ).toEqual([[6400, timer(1, 66_400, 'acknowledgementWait')]]);
  });

  it('tells the earliest of several, and the next when that is over', () => {
    const host = ship();
    host.give(send(TEST, MF));
    host.run(10 * SECOND);
    host.give(send({ ...TEST, to: { station: SECOND_COAST } }, VHF));
    host.run(11 * SECOND);
    expect(host.all('timer')).toHaveLength(1);
    host.give(choice('stop', 1));
    expect(host.done.at(-1)?.action).toEqual(timer(3, 70_533, 'acknowledgementWait'));
    host.give(choice('stop', 3));
    expect(dueAt(host.state)).toBeUndefined();
    expect(host.all('timer')).toHaveLength(2);
  });

  it('tells an earlier time that comes up', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(send(TEST, MF));
    expect(dueAt(host.state)).toBe(NOON + 5 * MINUTE);
    host.give(send(TEST, VHF));
    host.run(2 * SECOND);
    expect(host.done.at(-1)?.action).toEqual(timer(3, 60_533, 'acknowledgementWait'));
  });

  it('is always later than now', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(distress(MF, HF8));
    for (let step = 0; step < 12; step++) {
      const due = dueAt(host.state);
      if (due !== undefined) expect(due).toBeGreaterThan(host.state.now);
      host.run(host.next() ?? host.time);
    }
    expect(timers(host).length).toBeGreaterThan(1);
  });
});

describe('what a station forgets', () => {
  const base = { since: NOON };
  const incoming = (id: number, more: Partial<IncomingExchange> = {}): IncomingExchange => ({
    ...base,
    id,
    kind: 'incoming',
    phase: 'closed',
    call: { ...TEST, to: { station: SHIP }, self: COAST },
    frequencyHz: MF,
    expiresAt: NOON + DAY * 2,
    receivedAt: NOON,
    received: 1,
    ...more,
  });
  const outgoing = (id: number, more: Partial<OutgoingExchange> = {}): OutgoingExchange => ({
    ...base,
    id,
    kind: 'outgoing',
    phase: 'answered',
    call: TEST,
    frequencyHz: MF,
    attempts: 1,
    sentTimes: [NOON],
    acknowledgements: 0,
    ...more,
  });
  const alert = (id: number, phase: AlertExchange['phase'] = 'open'): AlertExchange => ({
    ...base,
    id,
    kind: 'alert',
    phase,
    casualty: CASUALTY,
    alert: ALERT,
    heard: [{ frequencyHz: MF, firstAt: NOON, lastAt: NOON, count: 1 }],
    acknowledgedBy: [],
    openings: 1,
  });
  const own = (id: number, phase: DistressExchange['phase'] = 'cancelled'): DistressExchange => ({
    ...base,
    id,
    kind: 'distress',
    phase,
    distress: { nature: 'flooding', followOn: 'j3e' },
    frequencies: [MF],
    attempts: 1,
    attemptFrom: 0,
    isOut: true,
    sentOn: [MF],
    acknowledgedBy: [],
  });
  const remembering = (exchanges: readonly Exchange[]): StationState => ({
    ...createStation({ identity: SHIP }, NOON),
    nextId: 10_000,
    exchanges: [...exchanges],
  });
  const after = (exchanges: readonly Exchange[], ms = 1) =>
    stepStation(remembering(exchanges), { type: 'tick' }, NOON + ms);
  const ids = ({ state }: { state: StationState }) => state.exchanges.map(({ id }) => id);
  const range = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i);

  it.each<[string, Exchange, number]>([
    ['an answered call from another', incoming(1, { phase: 'answered' }), HOUR],
    ['an expired call from another', incoming(1, { phase: 'expired' }), HOUR],
    ['an own call that never went out', outgoing(1, { phase: 'unanswered', sentTimes: [] }), HOUR],
    // The calls of a coast station are counted by the day (M.541 Annex 2, from memory).
    ['an own call that went out', outgoing(1), DAY],
    ['an own call that was announced', outgoing(1, { phase: 'announced' }), DAY],
    ['an alert that nobody acknowledged', alert(1), DAY],
    ['an alert that was acknowledged', alert(1, 'acknowledged'), DAY],
    ['an alert that was closed', alert(1, 'closed'), DAY],
    ['the own alert once cancelled', own(1), DAY],
    ['the own alert once acknowledged', own(1, 'acknowledged'), DAY],
  ])('is %s after its time, and not before', (_, exchange, kept) => {
    expect(ids(after([exchange], kept - 1))).toEqual([1]);
    const over = after([exchange], kept);
    expect(ids(over)).toEqual([]);
    expect(over.actions).toEqual([]);
  });

  it.each<[string, Exchange]>([
    ['a call that is on its way', outgoing(1, { phase: 'sending' })],
    ['a call whose answer is awaited', outgoing(1, { phase: 'awaiting', waitUntil: NOON + 3 * DAY })],
    ['an answer on its way', incoming(1, { phase: 'answering' })],
    ['an own alert on the air', own(1, 'sending')],
    ['an own alert that waits for its next attempt', own(1, 'waiting')],
    ['an own alert that is being cancelled', own(1, 'cancelling')],
  ])('is never %s', (_, exchange) => {
    expect(ids(after([exchange], 2 * DAY))).toEqual([1]);
  });

  it('is nothing while there are 500 at rest, and the oldest of 501', () => {
    const all = range(1, 501).map((id) => incoming(id));
    expect(ids(after(all.slice(0, 500)))).toEqual(range(1, 500));
    const step = after(all);
    expect(ids(step)).toEqual(range(2, 500));
    expect(step.actions).toEqual([]);
  });

  it('does not count what is still going on', () => {
    const going = range(1, 100).map((id) => outgoing(id, { phase: 'awaiting', waitUntil: NOON + DAY }));
    const atRest = range(101, 500).map((id) => incoming(id));
    expect(ids(after([...going, ...atRest]))).toEqual(range(1, 600));
  });

  it('is what is finished before what was acknowledged, and that before what is open', () => {
    const first = [alert(1), alert(2, 'acknowledged'), incoming(3), outgoing(4, { phase: 'unanswered' })];
    const filled = (count: number) => [...first, ...range(5, 496 + count).map((id) => alert(id))];
    expect(ids(after(filled(1))).slice(0, 3)).toEqual([1, 2, 4]);
    expect(ids(after(filled(2))).slice(0, 3)).toEqual([1, 2, 5]);
    expect(ids(after(filled(3))).slice(0, 2)).toEqual([1, 5]);
    expect(ids(after(filled(4))).slice(0, 2)).toEqual([5, 6]);
  });

  it('goes by age whatever order they are remembered in', () => {
    const all = range(1, 502).map((id) => incoming(id));
    expect(ids(after([...all].reverse()))).toEqual(range(3, 500).reverse());
  });

  it('is told where it was open, and what was to be sent about it is taken back', () => {
    const acknowledgement: Call = {
      ...ALERT,
      kind: 'distressAcknowledgement',
      self: SHIP,
      casualty: CASUALTY,
    };
    const state = remembering(range(1, 501).map((id) => alert(id)));
    const queued = {
      id: 9000,
      exchange: 1,
      call: acknowledgement,
      frequencyHz: MF,
      repeat: 1,
      priority: 1,
      notBefore: NOON + HOUR,
      rule: 'shipConsults',
    } as const;
    const other = { ...queued, id: 9001, exchange: 2 };
    state.radios['mf-hf'].queue.push(queued, other);
    const step = stepStation(state, { type: 'tick' }, NOON + 1);
    expect(step.actions).toEqual([
      { type: 'tell', exchange: 1, notice: { type: 'forgotten' }, rule: 'memory' },
    ]);
    expect(step.state.radios['mf-hf'].queue).toEqual([other]);
  });

  it('is an own alert only beyond 20 of them, however many of others there are', () => {
    const others = range(1, 500).map((id) => alert(id));
    const mine = range(501, 21).map((id) => own(id));
    expect(ids(after([...others, ...mine.slice(1)]))).toEqual([...range(1, 500), ...range(502, 20)]);
    const step = after([...others, ...mine]);
    expect(ids(step)).toEqual([...range(1, 500), ...range(502, 20)]);
    expect(step.actions).toEqual([]);
  });

  it('is an own alert that was acknowledged after those that are over', () => {
    const mine = [own(1, 'acknowledged'), own(2), ...range(3, 19).map((id) => own(id))];
    expect(ids(after(mine))).toEqual([1, ...range(3, 19)]);
  });
});
