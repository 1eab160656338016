/** Calls that a station sends on its own initiative: what is told, offered and refused, when, and by which rule. */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import {
  acknowledgementOf,
  choicesFor,
  createStation,
  dueAt,
  stepStation,
  type OutgoingExchange,
  type StationEvent,
} from '../../src/procedures/index.js';
import {
  COAST,
  HF8,
  MF,
  MINUTE,
  OTHER,
  SHIP,
  THIRD,
  VHF,
  acknowledgementFor,
  alertFrom,
  received,
  relayOf as relayTo,
} from './calls.js';
import { Host, NOON, choose } from './host.js';

const DAY = 24 * 60 * MINUTE;

/** 20 dots and (6 + 25) · 20 bits at 1200 Bd, in whole milliseconds; at 100 Bd they take 6.4 s. */
const ON_VHF = 533;
const ON_MF = 6400;

const test: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const testAnswer: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST };
const routineTo = (station: string, vhfChannel: number, self = SHIP): Call => ({
  kind: 'routineCall',
  to: { station },
  self,
  telecommand1: 'f3e',
  telecommand2: 'none',
  message: { receive: { vhfChannel }, transmit: 'none' },
});
const routine = routineTo(OTHER, 72);
const proposal = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: { hz: 2_182_000 }, transmit: 'none' },
} as const;
const area = { area: { latitude: 50, longitude: -14, south: 3, east: 4 } };
const relayOf = (casualty: string, self = SHIP) => relayTo(casualty, { station: COAST }, self);
const answerTo = (call: Call, by = OTHER) => acknowledgementOf(call, { type: 'able' }, { self: by });

const ship = () => new Host({ identity: SHIP });
const send = (host: Host, call: Call, frequencyHz: number) => host.give({ type: 'call', call, frequencyHz });
const told = (host: Host) => host.all('tell').map(({ at, notice, rule }) => [at, notice, rule]);
const outgoing = (host: Host, at = -1) => host.state.exchanges.at(at) as OutgoingExchange;

describe('a call that goes out', () => {
  it.each<[string, string, Call, number]>([
    ['a test (M541-8 Annex 1 §4)', 'individualAcknowledged', test, MF],
    ['a routine call to one station', 'individualAcknowledged', routine, VHF],
    [
      'an urgency call to one station',
      'individualAcknowledged',
      { kind: 'urgencyCall', to: { station: COAST }, self: SHIP, ...proposal },
      MF,
    ],
    [
      'an urgency call to an area (M.541 Annex 3 §2, from memory)',
      'announced',
      { kind: 'urgencyCall', to: area, self: SHIP, ...proposal },
      MF,
    ],
    [
      'a safety call to an area (M.541 Annex 3 §3, from memory)',
      'announced',
      { kind: 'safetyCall', to: area, self: SHIP, ...proposal },
      MF,
    ],
    [
      'a call to a group (M.541 Annex 3 §2 and §3, from memory)',
      'notToMany',
      { ...routine, to: { group: '029900011' } } as Call,
      VHF,
    ],
    ['the relay of a ship (FCC80 §80.1117(a); C25 §2.3)', 'relayOnBehalf', relayOf(THIRD), HF8],
  ])('names the rule for %s: %s', (_, rule, call, frequencyHz) => {
    const host = ship();
    send(host, call, frequencyHz);
    expect(host.all('phase')[0]).toMatchObject({ kind: 'outgoing', from: undefined, to: 'sending', rule });
    expect(host.all('transmit')).toMatchObject([{ at: 0, call, frequencyHz, repeat: 1, rule }]);
    expect(outgoing(host)).toMatchObject({ attempts: 0, sentTimes: [], acknowledgements: 0 });
    expect(outgoing(host)).not.toHaveProperty('isNecessary');
  });

  it('names the rule for the relay of a coast station (Radio Regulations 32.16, from memory)', () => {
    const host = new Host({ identity: COAST });
    send(host, { ...relayOf(THIRD, COAST), to: area }, MF);
    expect(host.all('transmit')).toMatchObject([{ rule: 'coastRelays' }]);
  });

  // Routine calls between ships go out on 2177 kHz (RR Appendix 15 and 17; FCC80 §80.359).
  it('on a frequency that is not for it is sent, and the operator is told', () => {
    const call = { ...routine, ...proposal } as Call;
    const host = ship();
    send(host, call, MF);
    expect(told(host)).toEqual([[0, { type: 'frequency', call, frequencyHz: MF }, 'individualAcknowledged']]);
    expect(host.all('tell')[0].exchange).toBe(outgoing(host).id);
    expect(host.all('transmit')).toHaveLength(1);
    const right = ship();
    send(right, call, 2_177_000);
    expect(right.all('tell')).toEqual([]);
  });

  it('to many is announced, and the caller goes where it says', () => {
    const call: Call = { kind: 'urgencyCall', to: area, self: SHIP, ...proposal };
    const host = ship();
    send(host, call, MF);
    host.runTo(10);
    // 200 dots and 31 · 20 bits at 100 Bd.
    expect(host.all('phase').at(-1)).toMatchObject({ at: 8200, to: 'announced', rule: 'announced' });
    expect(host.all('watch')).toMatchObject([
      { at: 8200, call, frequencyHz: MF, side: 'caller', rule: 'announced', exchange: outgoing(host).id },
    ]);
    expect(choicesFor(host.state, outgoing(host).id)).toEqual([]);
    expect(dueAt(host.state)).toBeUndefined();
  });
});

describe('a call that does not go out', () => {
  it('is no call by itself', () => {
    expect(send(ship(), testAnswer, MF)).toMatchObject([
      {
        type: 'refuse',
        refusal: { type: 'notByItself', kind: 'testAcknowledgement' },
        rule: 'onlyWhatWasReceived',
      },
    ]);
  });

  it('is in the name of another station', () => {
    expect(send(ship(), { ...test, self: OTHER }, MF)).toMatchObject([
      { type: 'refuse', refusal: { type: 'otherSender', identity: SHIP }, rule: 'operator' },
    ]);
  });

  it('was cut off: it counts as not sent and may be sent again at once', () => {
    for (const [call, frequencyHz, wait] of [
      [test, MF, 'acknowledgementWait'],
      [routine, VHF, 'routineWait'],
    ] as const) {
      const host = ship();
      send(host, call, frequencyHz);
      host.time = 200;
      host.give({ type: 'unsent', transmission: host.all('transmit')[0].transmission });
      expect(outgoing(host)).toMatchObject({ phase: 'unanswered', attempts: 0, sentTimes: [] });
      expect(outgoing(host)).not.toHaveProperty('sentAt');
      expect(told(host)).toEqual([[200, { type: 'callUnsent' }, 'listenFirst']]);
      expect(host.all('offer')).toMatchObject([
        {
          exchange: outgoing(host).id,
          choices: [
            { choice: 'resend', kind: 'outgoing', from: NOON + 200, rule: wait },
            { choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' },
          ],
          rule: 'listenFirst',
        },
      ]);
      choose(host, 'resend');
      expect(host.all('transmit')).toHaveLength(2);
    }
  });
});

// About 60 s for the acknowledgement (common practice, no source).
describe('a call that nobody answers', () => {
  it('ends its wait after 60 s, which is told and may be followed by another', () => {
    const host = ship();
    send(host, test, MF);
    host.run(ON_MF);
    const { id } = outgoing(host);
    const wait = 'acknowledgementWait';
    const until = ON_MF + MINUTE;
    expect(host.done.at(-1)?.action).toEqual({ type: 'timer', exchange: id, at: NOON + until, rule: wait });
    expect(choicesFor(host.state, id)).toEqual([
      { choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' },
    ]);
    host.time = until - 1;
    expect(host.give({ type: 'tick' })).toEqual([]);
    host.run(until);
    expect(told(host)).toEqual([[until, { type: 'unanswered', attempts: 1 }, wait]]);
    expect(host.all('offer')).toMatchObject([
      {
        at: until,
        exchange: id,
        rule: wait,
        choices: [
          { choice: 'resend', kind: 'outgoing', from: NOON + until, rule: wait },
          { choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' },
        ],
      },
    ]);
    expect(dueAt(host.state)).toBeUndefined();
    choose(host, 'resend');
    host.run(until + ON_MF + MINUTE);
    expect(told(host).at(-1)?.[1]).toEqual({ type: 'unanswered', attempts: 2 });
  });

  // M.541 Annex 3 §4.2 (from memory).
  it('is repeated after 5 minutes where it is routine, and then after 15, counted from its end', () => {
    const host = ship();
    send(host, routine, VHF);
    host.run(2 * MINUTE);
    const resend = () => choicesFor(host.state, outgoing(host).id)[0];
    // The wait for the acknowledgement is that of the repetition.
    expect(outgoing(host).phase).toBe('awaiting');
    host.run(ON_VHF + 5 * MINUTE);
    expect(resend()).toMatchObject({
      choice: 'resend',
      from: NOON + ON_VHF + 5 * MINUTE,
      rule: 'routineWait',
    });
    choose(host, 'resend');
    expect(host.all('phase').at(-1)).toMatchObject({
      from: 'unanswered',
      to: 'sending',
      rule: 'routineWait',
    });
    host.run(11 * MINUTE);
    const second = 2 * ON_VHF + 5 * MINUTE;
    expect(resend()).toMatchObject({ from: NOON + second + 15 * MINUTE });
    host.time = second + 15 * MINUTE - 1;
    expect(choose(host, 'resend')).toMatchObject([
      { type: 'refuse', refusal: { type: 'early', seconds: 1 }, rule: 'routineWait' },
    ]);
    host.time++;
    choose(host, 'resend');
    expect(host.all('transmit')).toHaveLength(3);
  });
});

describe('the same routine call put together anew (M.541 Annex 3 §4.2, from memory)', () => {
  const automatic = {
    ...routine,
    kind: 'automaticCall',
    to: { station: COAST },
    telephone: '5550123',
  } as Call;

  it.each([
    ['a routine call', routine],
    ['a call to the automatic service', automatic],
  ])('waits as its repetition would: %s', (_, call) => {
    const host = ship();
    send(host, call, VHF);
    host.run(MINUTE);
    const end = outgoing(host).sentAt ?? 0;
    const early = (seconds: number) => [
      { type: 'refuse', refusal: { type: 'early', seconds }, rule: 'routineWait' },
    ];
    // Begun seconds are counted whole.
    expect(send(host, call, VHF)).toEqual(early(Math.ceil((end - NOON) / 1000 + 4 * 60)));
    host.run(end - NOON + 5 * MINUTE - 1);
    expect(send(host, call, VHF)).toEqual(early(1));
    host.run(end - NOON + 5 * MINUTE);
    send(host, call, VHF);
    expect(host.all('transmit')).toHaveLength(2);
  });

  it('does not hold up another, nor a test, nor a call to many', () => {
    const host = ship();
    const group = { ...routine, to: { group: '029900011' } } as Call;
    for (const call of [group, { ...test, to: { station: OTHER } } as Call, routine]) send(host, call, VHF);
    host.run(MINUTE);
    for (const call of [routineTo(OTHER, 77), group, { ...test, to: { station: OTHER } } as Call])
      send(host, call, VHF);
    host.run(2 * MINUTE);
    expect(host.all('refuse')).toEqual([]);
    expect(host.all('transmit')).toHaveLength(6);
  });

  it('goes out at once where the one before was answered or did not go out', () => {
    const host = ship();
    send(host, routine, VHF);
    host.run(MINUTE);
    host.give(received(answerTo(routine), VHF));
    send(host, routine, VHF);
    host.give({ type: 'unsent', transmission: host.all('transmit')[1].transmission });
    send(host, routine, VHF);
    expect(host.all('refuse')).toEqual([]);
    expect(host.all('transmit')).toHaveLength(3);
  });
});

// M.541 Annex 2 (from memory): at most five times in 24 hours.
describe('calls of a coast station to one ship', () => {
  it('are five in 24 hours, whatever they say, and others are not counted', () => {
    const host = new Host({ identity: COAST });
    const toShip = (vhfChannel: number) => routineTo(SHIP, vhfChannel, COAST);
    for (let hour = 0; hour < 5; hour++) {
      host.run(hour * 60 * MINUTE);
      send(host, toShip(25 + hour), VHF);
      send(host, routineTo(OTHER, 25 + hour, COAST), VHF);
      send(host, { kind: 'testCall', to: { station: SHIP }, self: COAST }, VHF);
    }
    host.run(5 * 60 * MINUTE);
    expect(host.all('transmit')).toHaveLength(15);
    // The first ended 0.533 s after noon: 19 hours and that are left.
    expect(send(host, toShip(85), VHF)).toEqual([
      { type: 'refuse', refusal: { type: 'early', seconds: 19 * 3600 + 1 }, rule: 'coastRepeats' },
    ]);
    host.time = DAY + ON_VHF - 1;
    expect(send(host, toShip(85), VHF)).toMatchObject([{ refusal: { type: 'early', seconds: 1 } }]);
    host.time = DAY + ON_VHF;
    send(host, toShip(85), VHF);
    expect(host.all('transmit')).toHaveLength(16);
  });

  it('remember their latest five times', () => {
    const host = new Host({ identity: COAST });
    const call = { kind: 'testCall', to: { station: SHIP }, self: COAST } as const;
    send(host, call, VHF);
    for (let count = 1; count < 7; count++) {
      host.run(host.time + 2 * MINUTE);
      choose(host, 'resend');
    }
    host.run(host.time + MINUTE);
    const { attempts, sentTimes, sentAt } = outgoing(host);
    expect(attempts).toBe(7);
    expect(sentTimes).toHaveLength(5);
    expect(sentTimes.at(-1)).toBe(sentAt);
  });
});

describe('the acknowledgement of a call', () => {
  it('of a test completes it: nothing follows by voice (M.493 §8.5, from memory)', () => {
    const host = ship();
    send(host, test, MF);
    host.runTo(20);
    host.give(received(testAnswer, MF));
    const rule = 'individualAcknowledged';
    expect(host.all('phase').at(-1)).toMatchObject({ from: 'awaiting', to: 'answered', rule });
    expect(told(host)).toEqual([
      [20_000, { type: 'acknowledged', call: testAnswer, when: 'inTime' }, rule],
      [20_000, { type: 'complete' }, 'complete'],
    ]);
    expect(host.all('watch')).toEqual([]);
    expect(outgoing(host)).toMatchObject({ acknowledgement: testAnswer, acknowledgements: 1 });
    expect(outgoing(host)).not.toHaveProperty('waitUntil');
    expect(choicesFor(host.state, outgoing(host).id)).toEqual([]);
    expect(dueAt(host.state)).toBeUndefined();
  });

  it('that repeats the proposal sends both there', () => {
    const host = ship();
    send(host, routine, VHF);
    host.runTo(5);
    host.give(received(answerTo(routine), VHF));
    expect(host.all('watch')).toMatchObject([
      { call: routine, side: 'caller', frequencyHz: VHF, rule: 'individualAcknowledged' },
    ]);
  });

  it('that names another channel sends both to that one (M.541 Annex 3 §4, from memory)', () => {
    const host = ship();
    send(host, routine, VHF);
    host.runTo(5);
    const message = { receive: { vhfChannel: 8 }, transmit: 'none' } as const;
    const answer = acknowledgementOf(routine, { type: 'propose', message }, { self: OTHER });
    host.give(received(answer, VHF));
    expect(host.all('phase').at(-1)).toMatchObject({ to: 'answered', rule: 'otherChannel' });
    expect(told(host)).toEqual([
      [5000, { type: 'acknowledged', call: answer, when: 'inTime' }, 'otherChannel'],
    ]);
    expect(host.all('watch')).toMatchObject([{ call: { ...routine, message }, rule: 'otherChannel' }]);
  });

  it('that says unable declines it: it may be sent again when a repetition may (JP567)', () => {
    const host = ship();
    send(host, routine, VHF);
    host.runTo(5);
    const refusal = acknowledgementOf(routine, { type: 'unable', reason: 'busy' }, { self: OTHER });
    host.give(received(refusal, VHF));
    expect(host.all('phase').at(-1)).toMatchObject({ to: 'declined', rule: 'unable' });
    expect(told(host)).toEqual([[5000, { type: 'acknowledged', call: refusal, when: 'inTime' }, 'unable']]);
    const resend = {
      choice: 'resend',
      kind: 'outgoing',
      from: NOON + ON_VHF + 5 * MINUTE,
      rule: 'routineWait',
    };
    expect(host.all('offer')).toMatchObject([{ choices: [resend], rule: 'unable' }]);
    expect(host.all('watch')).toEqual([]);
    host.run(6 * MINUTE);
    choose(host, 'resend');
    expect(outgoing(host)).not.toHaveProperty('acknowledgement');
    host.runTo(370);
    host.give(received(answerTo(routine), VHF));
    expect(outgoing(host)).toMatchObject({ phase: 'answered', attempts: 2, acknowledgements: 2 });
  });

  it('counts when it comes late, and is told as such', () => {
    const host = ship();
    send(host, test, MF);
    host.run(2 * MINUTE);
    host.give(received(testAnswer, MF));
    expect(told(host).at(-2)).toEqual([
      2 * MINUTE,
      { type: 'acknowledged', call: testAnswer, when: 'late' },
      'individualAcknowledged',
    ]);
    expect(outgoing(host).phase).toBe('answered');
  });

  it('takes a repetition out of the queue that waits for a free frequency', () => {
    const host = ship();
    send(host, test, MF);
    host.run(2 * MINUTE);
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    choose(host, 'resend');
    host.give(received(testAnswer, MF));
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toHaveLength(1);
    expect(outgoing(host)).toMatchObject({ phase: 'answered', attempts: 1 });
  });

  it('that comes once more is told and changes nothing', () => {
    const host = ship();
    send(host, test, MF);
    host.runTo(20);
    host.give(received(testAnswer, MF));
    host.runTo(25);
    const actions = host.give(received(testAnswer, MF));
    expect(actions).toEqual([
      {
        type: 'tell',
        exchange: outgoing(host).id,
        notice: { type: 'acknowledgedAgain', by: COAST, frequencyHz: MF },
        rule: 'matching',
      },
    ]);
    expect(outgoing(host).acknowledgements).toBe(2);
  });

  it('counts for 15 minutes after the call and no longer (common practice, no source)', () => {
    for (const [late, counted] of [
      [0, 1],
      [1, 0],
    ]) {
      const host = ship();
      send(host, test, MF);
      host.run(ON_MF + 15 * MINUTE + late);
      host.give(received(testAnswer, MF));
      expect(outgoing(host).acknowledgements).toBe(counted);
    }
  });

  it('does not count for a call that still waits for a free frequency', () => {
    const host = ship();
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    send(host, test, MF);
    host.runTo(30);
    host.give(received(testAnswer, MF));
    expect(outgoing(host)).toMatchObject({ phase: 'sending', acknowledgements: 0 });
    expect(told(host).map(([, notice]) => (notice as { type: string }).type)).toEqual(['unmatched']);
  });

  it.each([
    ['while both wait', 30],
    ['when both waits are over', 200],
  ])('belongs to the later of two equal calls, then to the earlier, then is one more: %s', (_, seconds) => {
    const host = ship();
    send(host, test, MF);
    host.runTo(10);
    send(host, test, MF);
    host.runTo(seconds);
    const counts = () => [0, 1].map((at) => outgoing(host, at).acknowledgements);
    const seen = [1, 2, 3].map(() => {
      host.give(received(testAnswer, MF));
      return counts();
    });
    expect(seen).toEqual([
      [0, 1],
      [1, 1],
      [1, 2],
    ]);
  });
});

describe('a call that the operator stops', () => {
  it('waits no longer, and an acknowledgement that comes yet is told and leads nowhere', () => {
    const host = ship();
    send(host, routine, VHF);
    host.runTo(2);
    choose(host, 'stop');
    expect(host.all('phase').at(-1)).toMatchObject({ from: 'awaiting', to: 'stopped', rule: 'operator' });
    expect(dueAt(host.state)).toBeUndefined();
    expect(choicesFor(host.state, outgoing(host).id)).toEqual([]);
    host.runTo(5);
    const answer = answerTo(routine);
    expect(host.give(received(answer, VHF))).toEqual([
      {
        type: 'tell',
        exchange: outgoing(host).id,
        notice: { type: 'acknowledged', call: answer, when: 'left' },
        rule: 'matching',
      },
    ]);
    expect(outgoing(host)).toMatchObject({ phase: 'stopped', acknowledgement: answer });
  });

  it('is broken off on the air', () => {
    const host = ship();
    send(host, test, MF);
    const { id } = outgoing(host);
    expect(choicesFor(host.state, id)).toEqual([
      { choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' },
    ]);
    host.runTo(2);
    choose(host, 'stop');
    expect(host.all('cease')).toMatchObject([{ at: 2000, rule: 'operator' }]);
    host.runTo(100);
    expect(outgoing(host)).toMatchObject({ phase: 'stopped', attempts: 0 });
    expect(host.all('tell')).toEqual([]);
  });

  it('stays stopped where it went out whole before it could be broken off', () => {
    let state = createStation({ identity: SHIP }, NOON);
    const step = (event: StationEvent, now: number) => {
      const result = stepStation(state, event, NOON + now);
      state = result.state;
      return result.actions;
    };
    const [transmit] = step({ type: 'call', call: test, frequencyHz: MF }, 0).filter(
      (action) => action.type === 'transmit',
    );
    step({ type: 'choose', exchange: 1, choice: 'stop' }, 6399);
    expect(step({ type: 'sent', transmission: transmit.transmission }, 6400)).toEqual([]);
    expect(state.exchanges).toMatchObject([{ phase: 'stopped', attempts: 1, sentAt: NOON + 6400 }]);
  });

  it('may be stopped when nobody answered', () => {
    const host = ship();
    send(host, test, MF);
    host.run(2 * MINUTE);
    choose(host, 'stop');
    expect(host.all('phase').at(-1)).toMatchObject({ from: 'unanswered', to: 'stopped' });
  });
});

// FCC80 §80.1117(a); C25 §2.
describe('relays that wait for a free frequency', () => {
  it('are withdrawn for the casualty that a coast station acknowledged, and for no other', () => {
    const host = ship();
    host.give({ type: 'channel', frequencyHz: HF8, busy: true });
    send(host, relayOf(THIRD), HF8);
    send(host, relayOf(OTHER), HF8);
    send(host, { ...routine, ...proposal, to: { station: COAST } } as Call, HF8);
    host.runTo(10);
    host.give(received(acknowledgementFor(THIRD), HF8));
    const relays = host.state.exchanges.filter(({ kind }) => kind === 'outgoing');
    expect(relays.map(({ phase }) => phase)).toEqual(['stopped', 'sending', 'sending']);
    const withdrawn = host.all('tell').filter(({ notice }) => notice.type === 'relayWithdrawn');
    expect(withdrawn).toMatchObject([{ at: 10_000, exchange: relays[0].id, rule: 'acknowledgedAlready' }]);
    expect(host.all('phase').find(({ to }) => to === 'stopped')?.rule).toBe('acknowledgedAlready');
    host.give({ type: 'channel', frequencyHz: HF8, busy: false });
    host.run(2 * MINUTE);
    expect(host.all('transmit').map(({ call }) => ('casualty' in call ? call.casualty : call.kind))).toEqual([
      OTHER,
      'routineCall',
    ]);
  });

  it('need no second confirmation that help is necessary', () => {
    const host = new Host({ identity: SHIP, coastStation: COAST });
    host.give(received(alertFrom(THIRD), MF));
    host.give({ type: 'choose', exchange: 1, choice: 'relay', necessary: true });
    host.run(2 * MINUTE);
    expect(outgoing(host)).toMatchObject({ kind: 'outgoing', isNecessary: true, phase: 'unanswered' });
    const [resend] = choicesFor(host.state, outgoing(host).id);
    expect(resend).toMatchObject({ choice: 'resend', rule: 'noRelayOnVhfOrMf' });
    expect(resend).not.toHaveProperty('needs');
    choose(host, 'resend');
    expect(host.all('transmit')).toHaveLength(2);
  });

  it('are not offered again once a coast station has acknowledged', () => {
    const host = ship();
    send(host, relayOf(THIRD), HF8);
    host.run(2 * MINUTE);
    const { id } = outgoing(host);
    expect(choicesFor(host.state, id).map(({ choice }) => choice)).toEqual(['resend', 'stop']);
    host.give(received(acknowledgementFor(THIRD), HF8));
    expect(choicesFor(host.state, id).map(({ choice }) => choice)).toEqual(['stop']);
  });
});
