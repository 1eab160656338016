/**
 * The own distress, told action by action: what goes out, what the operator is told and may choose, and by which rule.
 * M541-8 Annex 1 §3.1 and §3.3, FCC80 §80.335; ITU-R M.541 Annex 3 §1.7 and M.493 §8.6 (from memory).
 */
import { describe, expect, it } from 'vitest';
import type { Call, DistressAlert, OwnAlertCancellation } from '../../src/calls/index.js';
import {
  choicesFor,
  dueAt,
  type Choice,
  type ChoiceName,
  type DistressExchange,
  type Notice,
  type RuleName,
  type StationAction,
  type StationEvent,
  type StationSettings,
} from '../../src/procedures/index.js';
import { refusal } from '../refusal.js';
import { COAST, HF8, MF, MINUTE, OTHER, SECOND_COAST, SHIP, VHF, received } from './calls.js';
import { Host, NOON } from './host.js';

const HF4 = 4_207_500;
const HF6 = 6_312_000;
const HF12 = 12_577_000;
const HF16 = 16_804_500;
const SIX = [MF, HF4, HF6, HF8, HF12, HF16];
const SECOND = 1000;

const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'flooding',
  position: 'none',
  time: 'none',
  followOn: 'j3e',
};
const CANCELLATION: OwnAlertCancellation = { ...ALERT, kind: 'ownAlertCancellation' };

type DistressEvent = Extract<StationEvent, { type: 'distress' }>;
const distress = (frequencies: readonly number[], more: Partial<DistressEvent> = {}): DistressEvent => ({
  type: 'distress',
  nature: 'flooding',
  followOn: 'j3e',
  frequencies,
  ...more,
});
const acknowledgement = (by: string): Call => ({
  ...ALERT,
  kind: 'distressAcknowledgement',
  self: by,
  casualty: SHIP,
});
const busy = (frequencyHz: number, is = true): StationEvent => ({ type: 'channel', frequencyHz, busy: is });

const ship = (more: Partial<StationSettings> = {}) => new Host({ identity: SHIP, seed: 1, ...more });

/** A ship that has sent an alert, some time after the attempt. */
function alerting(frequencies: readonly number[], until: number): Host {
  const host = ship();
  host.give(distress(frequencies));
  host.run(until);
  return host;
}

const choose = (host: Host, choice: ChoiceName, exchange = 1) =>
  host.give({ type: 'choose', exchange, choice });
const unsent = (host: Host, frequencyHz: number) => {
  const last = host.all('transmit').findLast((each) => each.frequencyHz === frequencyHz);
  return host.give({ type: 'unsent', transmission: last?.transmission ?? -1 });
};
const offered = (host: Host, exchange = 1) => choicesFor(host.state, exchange).map(({ choice }) => choice);
const own = (host: Host, exchange = 1) =>
  host.state.exchanges.find(({ id }) => id === exchange) as DistressExchange;
/** What was sent so far: when, on which frequency and how often in a row. */
const sendings = (host: Host) =>
  host.all('transmit').map(({ at, frequencyHz, repeat }) => [at, frequencyHz, repeat]);

const phase = (
  from: DistressExchange['phase'] | undefined,
  to: DistressExchange['phase'],
  rule: RuleName,
  exchange = 1,
): StationAction => ({ type: 'phase', exchange, kind: 'distress', from, to, rule });
const tell = (notice: Notice, rule: RuleName, exchange = 1): StationAction => ({
  type: 'tell',
  exchange,
  notice,
  rule,
});
const watch = (call: Call, frequencyHz: number, rule: RuleName = 'distressTraffic', exchange = 1) => ({
  type: 'watch',
  exchange,
  call,
  frequencyHz,
  side: 'caller',
  rule,
});
const transmit = (call: Call, frequencyHz: number, repeat: number, rule: RuleName, exchange = 1) => ({
  type: 'transmit',
  transmission: expect.any(Number) as number,
  exchange,
  call,
  frequencyHz,
  repeat,
  rule,
});
const timer = (at: number, rule: RuleName, exchange = 1) => ({
  type: 'timer',
  exchange,
  at: NOON + at,
  rule,
});
const cease = (rule: RuleName) => ({ type: 'cease', transmission: expect.any(Number) as number, rule });

const RESEND: Choice = { choice: 'resend', kind: 'distress', from: 0, rule: 'repetitionByHand' };
const STOP: Choice = { choice: 'stop', kind: 'distress', from: 0, rule: 'stopped' };
const CANCEL: Choice = { choice: 'cancel', kind: 'distress', from: 0, rule: 'selfCancel' };

describe('an attempt (M541-8 Annex 1 §3.1.3)', () => {
  it('on one frequency is five calls in a row, with watch on the telephony of the band', () => {
    expect(ship().give(distress([MF]))).toEqual([
      phase(undefined, 'sending', 'singleFrequency'),
      watch(ALERT, MF),
      transmit(ALERT, MF, 5, 'singleFrequency'),
    ]);
  });

  it('on several is one call on each, one after the other, with watch on the telephony of all of them', () => {
    const host = ship();
    expect(host.give(distress([MF, HF8]))).toEqual([
      phase(undefined, 'sending', 'multiFrequency'),
      watch(ALERT, MF),
      watch(ALERT, HF8),
      transmit(ALERT, MF, 1, 'multiFrequency'),
      timer(SECOND, 'distressPatience'),
    ]);
    // 200 dots and 520 bits at 100 Bd: 7.2 s (JP567).
    host.run(7200);
    expect(host.doneAt(7200)).toEqual([transmit(ALERT, HF8, 1, 'multiFrequency')]);
  });

  it.each([
    ['VHF alone', [VHF], 'singleFrequency', [[VHF, 5, 'singleFrequency']]],
    [
      'VHF and one of MF and HF: one on each radio',
      [VHF, HF8],
      'singleFrequency',
      [
        [HF8, 5, 'singleFrequency'],
        [VHF, 5, 'singleFrequency'],
      ],
    ],
    [
      'VHF and two of MF and HF',
      [VHF, MF, HF8],
      'multiFrequency',
      [
        [MF, 1, 'multiFrequency'],
        [VHF, 5, 'singleFrequency'],
        [HF8, 1, 'multiFrequency'],
      ],
    ],
  ] as const)('on %s', (_, frequencies, rule, sent) => {
    const host = ship();
    expect(host.give(distress(frequencies))[0]).toEqual(phase(undefined, 'sending', rule));
    host.run(MINUTE);
    expect(host.all('transmit').map((each) => [each.frequencyHz, each.repeat, each.rule])).toEqual(sent);
    expect(own(host)).toMatchObject({ phase: 'waiting', attempts: 1 });
  });

  it('announces the telephony of each band: F3E on VHF, J3E on MF and HF', () => {
    for (const followOn of ['f3e', 'j3e'] as const) {
      const host = ship();
      host.give(distress([VHF, MF], { followOn }));
      const said = host.all('transmit').map(({ call, frequencyHz }) => [frequencyHz, call]);
      expect(said).toEqual([
        [MF, { ...ALERT, followOn: 'j3e' }],
        [VHF, { ...ALERT, followOn: 'f3e' }],
      ]);
      expect(host.all('watch').map(({ call, frequencyHz }) => [frequencyHz, call])).toEqual(said.reverse());
    }
  });

  it('once out is followed by a wait, in which it may be sent again, stopped and cancelled', () => {
    const host = alerting([MF], MINUTE);
    // Five times 7.2 s (JP567); the next attempt 3.5 to 4.5 min after the beginning of this one.
    const next = dueAt(host.state) ?? 0;
    expect(host.doneAt(36 * SECOND)).toEqual([
      phase('sending', 'waiting', 'repetition'),
      { type: 'offer', exchange: 1, choices: [RESEND, STOP, CANCEL], rule: 'repetition' },
      { type: 'timer', exchange: 1, at: next, rule: 'repetition' },
    ]);
    expect(next - NOON).toBeGreaterThanOrEqual(3.5 * MINUTE);
    expect(next - NOON).toBeLessThanOrEqual(4.5 * MINUTE);
  });

  it('is repeated when its time has come and not a millisecond before', () => {
    const host = alerting([MF], MINUTE);
    const next = (dueAt(host.state) ?? 0) - NOON;
    host.time = next - 1;
    expect(host.give({ type: 'tick' })).toEqual([]);
    host.time = next;
    expect(host.give({ type: 'tick' })).toEqual([
      phase('waiting', 'sending', 'repetition'),
      transmit(ALERT, MF, 5, 'singleFrequency'),
    ]);
    host.run(next + MINUTE);
    expect(own(host)).toMatchObject({ phase: 'waiting', attempts: 2, sentOn: [MF] });
  });

  it('on several frequencies counts as one, and its repetition is counted from its first call', () => {
    const host = alerting(SIX, MINUTE);
    expect(own(host)).toMatchObject({ attempts: 1, sentOn: SIX });
    const next = (dueAt(host.state) ?? 0) - NOON;
    expect(next).toBeGreaterThanOrEqual(3.5 * MINUTE);
    expect(next).toBeLessThanOrEqual(4.5 * MINUTE);
    host.run(next);
    expect(host.doneAt(next)).toEqual([
      phase('waiting', 'sending', 'repetition'),
      transmit(ALERT, MF, 1, 'multiFrequency'),
      timer(next + SECOND, 'distressPatience'),
    ]);
  });

  it('waits a second for a free frequency (M.493 Annex 1, from memory)', () => {
    const host = ship();
    host.give(busy(MF));
    expect(host.give(distress([MF]))).toEqual([
      phase(undefined, 'sending', 'singleFrequency'),
      watch(ALERT, MF),
      timer(SECOND, 'distressPatience'),
    ]);
    host.time = 999;
    expect(host.give({ type: 'tick' })).toEqual([]);
    host.time = 1000;
    expect(host.give({ type: 'tick' })).toEqual([transmit(ALERT, MF, 5, 'singleFrequency')]);
  });
});

describe('the frequencies of an alert', () => {
  const expected = 'VHF channel 70, or one to 6 MF and HF frequencies, or both';

  it.each([
    ['the six of MF and HF', SIX],
    ['the six and channel 70', [...SIX, VHF]],
  ])('may be %s', (_, frequencies) => {
    const host = alerting(frequencies, MINUTE);
    expect(host.all('transmit')).toHaveLength(frequencies.length);
    expect(host.all('tell')).toEqual([]);
  });

  it.each([
    ['none', []],
    ['seven of MF and HF', [...SIX, 2_177_000]],
    ['two of VHF', [VHF, 156_800_000]],
    ['one and two of VHF', [MF, VHF, 156_800_000]],
    ['no list', MF as unknown as number[]],
    ['nothing', undefined as unknown as number[]],
  ])('are not %s', (_, frequencies) => {
    const host = ship();
    expect(refusal(() => host.give(distress(frequencies)))).toMatchObject({
      field: 'frequencies',
      value: frequencies,
      expected,
    });
    expect(host.state.exchanges).toEqual([]);
  });

  it('count once each', () => {
    const host = alerting([MF, MF, VHF, VHF], MINUTE);
    expect(sendings(host)).toEqual([
      [0, MF, 5],
      [0, VHF, 5],
    ]);
    expect(host.all('phase')[0].rule).toBe('singleFrequency');
  });

  // M.541 Annex 5 (from memory): alerts go out on the distress frequencies; one elsewhere goes out all the same.
  it('that are not for alerts are told', () => {
    expect(ship().give(distress([MF, 2_177_000]))).toEqual([
      phase(undefined, 'sending', 'multiFrequency'),
      tell({ type: 'frequency', call: ALERT, frequencyHz: 2_177_000 }, 'distressTraffic'),
      watch(ALERT, MF),
      watch(ALERT, 2_177_000),
      transmit(ALERT, MF, 1, 'multiFrequency'),
      timer(SECOND, 'distressPatience'),
    ]);
  });
});

describe('what an alert says', () => {
  const here = { latitude: 48.5, longitude: -12.25 };
  const there = { latitude: -33, longitude: 151.5 };
  const at = (position: typeof here | 'none', time: string): StationEvent => ({
    type: 'position',
    position,
    time,
  });
  const lines: [string, StationEvent | undefined, Partial<DistressEvent>, Partial<DistressAlert>][] = [
    ['nothing where nothing is known', undefined, {}, { position: 'none', time: 'none' }],
    ['the own position and its time', at(here, '11:58'), {}, { position: here, time: '11:58' }],
    ['an own position without a time', at(here, 'none'), {}, { position: here, time: 'none' }],
    [
      'a position and time given with it before the own',
      at(here, '11:58'),
      { position: there, time: '11:50' },
      { position: there, time: '11:50' },
    ],
    // The time of the own position is not that of another one.
    [
      'a position given without a time',
      at(here, '11:58'),
      { position: there },
      { position: there, time: 'none' },
    ],
    [
      'a time given alone with the own position',
      at(here, '11:58'),
      { time: '11:59' },
      { position: here, time: '11:59' },
    ],
    [
      'no position where the operator says so',
      at(here, '11:58'),
      { position: 'none' },
      { position: 'none', time: 'none' },
    ],
    // M.493 Annex 1 §8 (from memory): the time is that of the position, 8888 where there is none.
    ['no time without a position', undefined, { time: '11:59' }, { position: 'none', time: 'none' }],
    [
      'further information',
      undefined,
      { expansions: [{ kind: 'personsOnBoard', value: 7 }] },
      { expansions: [{ kind: 'personsOnBoard', value: 7 }] },
    ],
  ];

  it.each(lines)('is %s', (_, before, more, content) => {
    const host = ship();
    if (before) host.give(before);
    host.give(distress([MF], more));
    host.run(5 * MINUTE);
    expect(host.all('transmit').map(({ call }) => call)).toEqual([
      { ...ALERT, ...content },
      { ...ALERT, ...content },
    ]);
    expect(host.all('refuse')).toEqual([]);
  });

  it('has only what was given', () => {
    const [transmission] = alerting([MF], 0).all('transmit');
    expect(Object.keys(transmission.call).sort()).toEqual(Object.keys(ALERT).sort());
  });

  it('leaves out a position that cannot be one, and the operator is told', () => {
    const host = ship();
    const position = { latitude: 91, longitude: 0 };
    expect(host.give(distress([MF], { position, time: '11:59' }))).toEqual([
      {
        type: 'refuse',
        refusal: { type: 'position', value: position, isAlert: true },
        rule: 'soundPosition',
      },
      phase(undefined, 'sending', 'singleFrequency'),
      watch(ALERT, MF),
      transmit(ALERT, MF, 5, 'singleFrequency'),
    ]);
  });

  // The rule soundPosition (common practice, no source): the last good position stands.
  it('falls back on the last good position, with the time of that position', () => {
    const host = ship();
    host.give(at(here, '11:40'));
    host.give(distress([MF], { position: { latitude: 91, longitude: 0 }, time: '11:59' }));
    expect(host.all('transmit')[0].call).toEqual({ ...ALERT, position: here, time: '11:40' });
  });

  it('leaves out a time that cannot be one, and the operator is told', () => {
    const host = ship();
    expect(host.give(distress([MF], { position: here, time: '24:00' }))).toEqual([
      { type: 'refuse', refusal: { type: 'time', value: '24:00' }, rule: 'soundPosition' },
      phase(undefined, 'sending', 'singleFrequency'),
      watch({ ...ALERT, position: here }, MF),
      transmit({ ...ALERT, position: here }, MF, 5, 'singleFrequency'),
    ]);
  });

  it.each(['fec', 'arq'] as const)('asks for direct printing (%s) only with a word about it', (followOn) => {
    const alert = { ...ALERT, followOn };
    expect(ship().give(distress([MF], { followOn }))).toEqual([
      { type: 'tell', notice: { type: 'rule' }, rule: 'noDirectPrinting' },
      phase(undefined, 'sending', 'singleFrequency'),
      watch(alert, MF),
      transmit(alert, MF, 5, 'singleFrequency'),
    ]);
  });

  it('is refused where it cannot be said, and the station stays as it was', () => {
    const host = ship();
    const before = host.state;
    const nature = 'boredom' as unknown as DistressAlert['nature'];
    expect(refusal(() => host.give(distress([MF], { nature })))?.field).toBe('nature');
    expect(host.state).toBe(before);
  });
});

describe('an alert after another (M541-8 Annex 1 §3.1: repetition by hand)', () => {
  it('takes the place of the first while that waits for its next attempt', () => {
    const host = alerting([MF], MINUTE);
    const sinking: DistressAlert = { ...ALERT, nature: 'sinking' };
    expect(host.give(distress([HF8], { nature: 'sinking' }))).toEqual([
      phase('waiting', 'stopped', 'repetitionByHand'),
      tell({ type: 'givesWay' }, 'repetitionByHand'),
      phase(undefined, 'sending', 'singleFrequency', 3),
      watch(sinking, HF8, 'distressTraffic', 3),
      transmit(sinking, HF8, 5, 'singleFrequency', 3),
    ]);
    host.run(30 * MINUTE);
    expect(
      host
        .all('transmit')
        .slice(1)
        .every(({ frequencyHz }) => frequencyHz === HF8),
    ).toBe(true);
  });

  it('breaks the first off while that is on the air', () => {
    const host = alerting([MF], 3 * SECOND);
    expect(host.give(distress([MF]))).toEqual([
      cease('repetitionByHand'),
      phase('sending', 'stopped', 'repetitionByHand'),
      tell({ type: 'givesWay' }, 'repetitionByHand'),
      phase(undefined, 'sending', 'singleFrequency', 3),
      watch(ALERT, MF, 'distressTraffic', 3),
      timer(4 * SECOND, 'distressPatience', 3),
    ]);
    host.run(MINUTE);
    expect(host.all('transmit').map(({ at, exchange }) => [at, exchange])).toEqual([
      [0, 1],
      [3 * SECOND, 3],
    ]);
  });

  it('is cancelled on the frequencies of the first as well', () => {
    const host = alerting([MF], MINUTE);
    host.give(distress([HF8]));
    host.run(2 * MINUTE);
    choose(host, 'cancel', 3);
    host.run(3 * MINUTE);
    const cancellations = host.all('transmit').filter(({ call }) => call.kind === 'ownAlertCancellation');
    expect(cancellations.map(({ frequencyHz }) => frequencyHz)).toEqual([MF, HF8]);
  });

  it('gives way in its turn when the first is sent again, and is cancelled with it', () => {
    const host = alerting([MF], MINUTE);
    host.give(distress([HF8]));
    host.run(2 * MINUTE);
    expect(choose(host, 'resend')).toEqual([
      phase('waiting', 'stopped', 'repetitionByHand', 3),
      tell({ type: 'givesWay' }, 'repetitionByHand', 3),
      phase('stopped', 'sending', 'repetitionByHand'),
      transmit(ALERT, MF, 5, 'singleFrequency'),
    ]);
    expect(own(host).sentOn).toEqual([MF, HF8]);
    host.run(30 * MINUTE);
    expect(
      host
        .all('transmit')
        .slice(2)
        .every(({ frequencyHz }) => frequencyHz === MF),
    ).toBe(true);
  });

  it.each([
    ['acknowledged', (host: Host) => host.give(received(acknowledgement(COAST), MF))],
    ['stopped', (host: Host) => choose(host, 'stop')],
  ] as const)('leaves one alone that is %s', (before, act) => {
    const host = alerting([MF], MINUTE);
    act(host);
    host.give(distress([HF8]));
    expect(own(host).phase).toBe(before);
    expect(host.all('tell').filter(({ notice }) => notice.type === 'givesWay')).toEqual([]);
    const second = host.state.exchanges.at(-1) as DistressExchange;
    expect(second.sentOn).toEqual([HF8]);
  });
});

describe('an alert that does not go out (common practice, no source)', () => {
  it('is told at once and tried again after a second, as often in a row as before', () => {
    const host = alerting([MF], 2 * SECOND);
    expect(unsent(host, MF)).toEqual([
      tell({ type: 'alertUnsent', isCancellation: false, frequencyHz: MF }, 'transmitterFailed'),
      timer(3 * SECOND, 'transmitterFailed'),
    ]);
    host.time = 2999;
    expect(host.give({ type: 'tick' })).toEqual([]);
    host.time = 3000;
    expect(host.give({ type: 'tick' })).toEqual([transmit(ALERT, MF, 5, 'transmitterFailed')]);
  });

  it('counts the repetition from the sending that went out', () => {
    const nextOf = (host: Host) => (dueAt(host.state) ?? 0) - NOON;
    const whole = alerting([MF], 2 * MINUTE);
    const late = alerting([MF], 20 * SECOND);
    unsent(late, MF);
    late.run(2 * MINUTE);
    // The same seed draws the same wait; the second attempt of the transmitter began at 21 s.
    expect(nextOf(late)).toBe(nextOf(whole) + 21 * SECOND);
    expect(own(late).attempts).toBe(1);
  });

  it('on one of two radios leaves the attempt as old as it is on the other', () => {
    const host = alerting([VHF, MF], 2 * SECOND);
    // Five calls of 0.45 s go out whole on VHF from the beginning; MF fails at 2 s and goes out from 3 s to 39 s.
    unsent(host, MF);
    host.run(2 * MINUTE);
    expect(sendings(host)).toEqual([
      [0, MF, 5],
      [0, VHF, 5],
      [3 * SECOND, MF, 5],
    ]);
    const whole = alerting([MF], 2 * MINUTE);
    expect(dueAt(host.state)).toBe(dueAt(whole.state));
  });

  it('on one of several frequencies leaves the attempt as old as its first call', () => {
    // MF goes out whole from the beginning to 7.2 s; 8 MHz fails at 9 s and goes out from 10 s on.
    const host = alerting([MF, HF8], 9 * SECOND);
    unsent(host, HF8);
    host.run(2 * MINUTE);
    expect(sendings(host).at(-1)).toEqual([10 * SECOND, HF8, 1]);
    const whole = alerting([MF], 2 * MINUTE);
    expect(dueAt(host.state)).toBe(dueAt(whole.state));
    expect(own(host).attempts).toBe(1);
  });

  it('on both radios is as old as the one that went out in the end', () => {
    const host = alerting([VHF, MF], SECOND);
    unsent(host, VHF);
    unsent(host, MF);
    host.run(2 * MINUTE);
    const whole = alerting([MF], 2 * MINUTE);
    expect(dueAt(host.state)).toBe((dueAt(whole.state) ?? 0) + 2 * SECOND);
  });

  it('is not tried again after the acknowledgement has come', () => {
    const host = alerting([MF], 2 * SECOND);
    host.give(received(acknowledgement(COAST), MF));
    expect(unsent(host, MF)).toEqual([]);
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toHaveLength(1);
  });

  it('and waits for its second try is not sent after the acknowledgement either', () => {
    const host = alerting([MF, HF8], 2 * SECOND);
    unsent(host, MF);
    host.run(2500);
    host.give(received(acknowledgement(COAST), MF));
    host.run(20 * MINUTE);
    expect(sendings(host)).toEqual([
      [0, MF, 1],
      [2000, HF8, 1],
    ]);
  });
});

describe('stopping by hand (M.541 Annex 3 §1.7, from memory)', () => {
  it('ends the repetition, and the alert may be sent again or cancelled', () => {
    const host = alerting([MF], MINUTE);
    expect(choose(host, 'stop')).toEqual([
      phase('waiting', 'stopped', 'stopped'),
      tell({ type: 'notRepeated' }, 'stopped'),
    ]);
    expect(choicesFor(host.state, 1)).toEqual([RESEND, CANCEL]);
    expect(dueAt(host.state)).toBeUndefined();
    expect(own(host)).not.toHaveProperty('nextAt');
  });

  it('breaks off what is on the air and takes the rest back', () => {
    const host = alerting([MF, HF8], 3 * SECOND);
    expect(choicesFor(host.state, 1)).toEqual([STOP, CANCEL]);
    expect(choose(host, 'stop')).toEqual([
      cease('stopped'),
      phase('sending', 'stopped', 'stopped'),
      tell({ type: 'notRepeated' }, 'stopped'),
    ]);
    host.run(20 * MINUTE);
    expect(sendings(host)).toEqual([[0, MF, 1]]);
    expect(host.doneAt(3 * SECOND)).toHaveLength(3);
  });

  it('before anything went out leaves nothing to cancel', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(distress([MF]));
    choose(host, 'stop');
    expect(choicesFor(host.state, 1)).toEqual([RESEND]);
    expect(choose(host, 'cancel')).toEqual([
      { type: 'refuse', refusal: { type: 'notOffered', phase: 'stopped' }, rule: 'onlyWhatIsOffered' },
    ]);
  });
});

describe('sending again by hand (M541-8 Annex 1 §3.1)', () => {
  it.each([
    ['waiting', (host: Host) => host],
    ['stopped', (host: Host) => choose(host, 'stop')],
  ] as const)('begins an attempt at once while %s, and the repetition is counted from it', (from, before) => {
    const host = alerting([MF], MINUTE);
    before(host);
    host.run(100 * SECOND);
    expect(choose(host, 'resend')).toEqual([
      phase(from, 'sending', 'repetitionByHand'),
      transmit(ALERT, MF, 5, 'singleFrequency'),
    ]);
    host.run(3 * MINUTE);
    const next = (dueAt(host.state) ?? 0) - NOON;
    expect(next).toBeGreaterThanOrEqual(100 * SECOND + 3.5 * MINUTE);
    expect(next).toBeLessThanOrEqual(100 * SECOND + 4.5 * MINUTE);
    expect(own(host).attempts).toBe(2);
  });

  it('carries the newest position', () => {
    const host = alerting([MF], MINUTE);
    const position = { latitude: 48.5, longitude: -12.25 };
    host.give({ type: 'position', position, time: '12:01' });
    choose(host, 'resend');
    expect(host.all('transmit').at(-1)?.call).toEqual({ ...ALERT, position, time: '12:01' });
  });

  it('after it was stopped on the air is one attempt, and what was broken off is not tried again', () => {
    const host = alerting([MF], 3 * SECOND);
    choose(host, 'stop');
    choose(host, 'resend');
    host.run(2 * MINUTE);
    expect(sendings(host)).toEqual([
      [0, MF, 5],
      [3 * SECOND, MF, 5],
    ]);
    expect(host.all('tell').map(({ notice }) => notice.type)).toEqual(['notRepeated']);
  });
});

describe('taking an alert back (FCC80 §80.335; M.493 §8.6, from memory)', () => {
  const say = (more = {}) => ({ identity: SHIP, position: 'none', alertAt: NOON, ...more });

  it('is an acknowledgement of oneself on every frequency, then words on the telephony of each', () => {
    const host = alerting([MF, HF8, VHF], MINUTE);
    const onVhf: Call = { ...CANCELLATION, followOn: 'f3e' };
    expect(choose(host, 'cancel')).toEqual([
      phase('waiting', 'cancelling', 'selfCancel'),
      transmit(CANCELLATION, MF, 1, 'selfCancel'),
      transmit(onVhf, VHF, 1, 'selfCancel'),
      timer(MINUTE + SECOND, 'distressPatience'),
    ]);
    expect(offered(host)).toEqual([]);
    host.run(2 * MINUTE);
    // 8.6 s each on MF and HF: 200 dots and 33 · 20 bits at 100 Bd.
    expect(host.doneAt(MINUTE + 8600)).toEqual([transmit(CANCELLATION, HF8, 1, 'selfCancel')]);
    expect(host.doneAt(MINUTE + 17_200)).toEqual([
      phase('cancelling', 'cancelled', 'cancelByVoice'),
      { ...watch(ALERT, MF, 'cancelByVoice'), say: say() },
      { ...watch({ ...ALERT, followOn: 'f3e' }, VHF, 'cancelByVoice'), say: say() },
      { ...watch(ALERT, HF8, 'cancelByVoice'), say: say() },
      // 2182 and 8291 kHz, channel 16 (FCC80 §80.1077), in the order in which the alert went out.
      tell({ type: 'cancelByVoice', voiceHz: [2_182_000, 156_800_000, 8_291_000] }, 'cancelByVoice'),
    ]);
    expect(offered(host)).toEqual([]);
    expect(dueAt(host.state)).toBeUndefined();
  });

  it('says who the ship is and where it was, as the alert did', () => {
    const host = ship({ name: 'Grey Petrel', callSign: 'ZZ9AB' });
    const position = { latitude: 48.5, longitude: -12.25 };
    host.give(distress([MF], { position, time: '11:50' }));
    host.run(MINUTE);
    choose(host, 'cancel');
    host.run(2 * MINUTE);
    expect(host.all('watch').at(-1)?.say).toStrictEqual({
      identity: SHIP,
      name: 'Grey Petrel',
      callSign: 'ZZ9AB',
      position,
      alertAt: NOON,
    });
  });

  it('says no name and no call sign where none is known', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'cancel');
    host.run(2 * MINUTE);
    expect(host.all('watch').at(-1)?.say).toStrictEqual(say());
  });

  it('names the time of the latest attempt', () => {
    const host = alerting([MF], 5 * MINUTE);
    const [, second] = host.all('transmit');
    choose(host, 'cancel');
    host.run(6 * MINUTE);
    expect(host.all('watch').at(-1)?.say).toEqual(say({ alertAt: NOON + second.at }));
  });

  it('names the time of the attempt that went out when the next had not begun', () => {
    const host = alerting([MF], MINUTE);
    host.give(busy(MF));
    const next = (dueAt(host.state) ?? 0) - NOON;
    host.run(next + 500);
    expect(own(host).phase).toBe('sending');
    choose(host, 'cancel');
    host.run(next + MINUTE);
    expect(host.all('watch').at(-1)?.say).toEqual(say());
  });

  it('names the time of a call that failed on the air when nothing else went out', () => {
    const host = alerting([MF], 2 * SECOND);
    unsent(host, MF);
    choose(host, 'cancel');
    host.run(MINUTE);
    expect(host.all('watch').at(-1)?.say).toEqual(say());
  });

  it('names the time of the alert that gave way when the new one had not begun', () => {
    const host = alerting([MF], MINUTE);
    host.give(busy(HF8));
    host.give(distress([HF8]));
    choose(host, 'cancel', 3);
    host.run(2 * MINUTE);
    expect(host.all('watch').at(-1)).toMatchObject({ frequencyHz: MF, say: say() });
  });

  it('names no telephony for a frequency without one', () => {
    const host = alerting([2_177_000, MF], MINUTE);
    choose(host, 'cancel');
    host.run(2 * MINUTE);
    expect(host.all('tell').at(-1)).toMatchObject({
      notice: { type: 'cancelByVoice', voiceHz: [2_182_000] },
    });
  });

  it('breaks the attempt off and takes back only what went out or began to', () => {
    const host = alerting([MF, HF8], 3 * SECOND);
    expect(choose(host, 'cancel')).toEqual([
      cease('selfCancel'),
      phase('sending', 'cancelling', 'selfCancel'),
      timer(4 * SECOND, 'distressPatience'),
    ]);
    host.run(MINUTE);
    expect(host.all('transmit').slice(1)).toEqual([
      { ...transmit(CANCELLATION, MF, 1, 'selfCancel'), at: 3 * SECOND },
    ]);
    expect(host.all('tell').map(({ notice }) => notice.type)).toEqual(['cancelByVoice']);
  });

  it('needs nothing before anything went out', () => {
    const host = ship();
    host.give(busy(MF));
    host.give(distress([MF]));
    expect(choose(host, 'cancel')).toEqual([
      phase('sending', 'stopped', 'stopped'),
      tell({ type: 'nothingSent' }, 'stopped'),
    ]);
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
  });

  it('is possible after the alert was acknowledged', () => {
    const host = alerting([MF], MINUTE);
    host.give(received(acknowledgement(COAST), MF));
    expect(choose(host, 'cancel')).toEqual([
      phase('acknowledged', 'cancelling', 'selfCancel'),
      transmit(CANCELLATION, MF, 1, 'selfCancel'),
    ]);
  });

  it('is tried again after a second where it does not go out, and is done only then', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'cancel');
    host.run(MINUTE + 2 * SECOND);
    expect(unsent(host, MF)).toEqual([
      tell({ type: 'alertUnsent', isCancellation: true, frequencyHz: MF }, 'selfCancel'),
      timer(MINUTE + 3 * SECOND, 'selfCancel'),
    ]);
    host.run(MINUTE + 3 * SECOND);
    expect(host.doneAt(MINUTE + 3 * SECOND)).toEqual([transmit(CANCELLATION, MF, 1, 'selfCancel')]);
    expect(own(host).phase).toBe('cancelling');
    host.run(2 * MINUTE);
    // 3 s and 8.6 s after the minute.
    expect(host.all('phase').at(-1)).toMatchObject({ to: 'cancelled', at: MINUTE + 11_600 });
  });
});

describe('the acknowledgement of an own alert (M541-8 Annex 1 §3.3.5)', () => {
  it('ends the repetition, and traffic follows on the telephony of the band it came on', () => {
    const host = alerting([VHF, MF], MINUTE);
    expect(host.give(received(acknowledgement(COAST), VHF))).toEqual([
      phase('waiting', 'acknowledged', 'acknowledgementEndsRepetition'),
      tell(
        { type: 'alertAcknowledged', by: COAST, again: false, frequencyHz: VHF },
        'acknowledgementEndsRepetition',
      ),
      watch({ ...ALERT, followOn: 'f3e' }, VHF),
      { type: 'offer', exchange: 1, choices: [CANCEL], rule: 'selfCancel' },
    ]);
    expect(dueAt(host.state)).toBeUndefined();
    expect(own(host)).not.toHaveProperty('nextAt');
    expect(offered(host)).toEqual(['cancel']);
  });

  it('takes back the calls of the attempt that have not gone out', () => {
    const host = alerting([MF, HF4, HF8], 3 * SECOND);
    expect(host.give(received(acknowledgement(COAST), MF))[0]).toEqual(
      phase('sending', 'acknowledged', 'acknowledgementEndsRepetition'),
    );
    host.run(20 * MINUTE);
    expect(sendings(host)).toEqual([[0, MF, 1]]);
    expect(own(host)).toMatchObject({ phase: 'acknowledged', attempts: 0 });
  });

  it('by a ship counts as well', () => {
    const host = alerting([MF], MINUTE);
    host.give(received(acknowledgement(OTHER), MF));
    expect(own(host)).toMatchObject({ phase: 'acknowledged', acknowledgedBy: [OTHER] });
  });

  it('by a second station, or once more by the first, is told and changes nothing', () => {
    const host = alerting([MF], MINUTE);
    host.give(received(acknowledgement(COAST), MF));
    const more = (by: string) => host.give(received(acknowledgement(by), MF));
    expect(more(SECOND_COAST)).toEqual([
      tell({ type: 'alertAcknowledged', by: SECOND_COAST, again: false }, 'distressTraffic'),
    ]);
    expect(more(COAST)).toEqual([
      tell({ type: 'alertAcknowledged', by: COAST, again: true }, 'distressTraffic'),
    ]);
    expect(own(host).acknowledgedBy).toEqual([COAST, SECOND_COAST]);
  });

  it('after the operator stopped the repetition is told, and the alert stays stopped', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'stop');
    expect(host.give(received(acknowledgement(COAST), MF))).toEqual([
      tell({ type: 'alertAcknowledged', by: COAST, again: false }, 'distressTraffic'),
    ]);
    expect(own(host).phase).toBe('stopped');
  });

  it('that was heard before and comes again after the alert was sent anew says so', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'stop');
    host.give(received(acknowledgement(COAST), MF));
    choose(host, 'resend');
    host.run(2 * MINUTE);
    expect(host.give(received(acknowledgement(COAST), MF))[1]).toEqual(
      tell(
        { type: 'alertAcknowledged', by: COAST, again: true, frequencyHz: MF },
        'acknowledgementEndsRepetition',
      ),
    );
  });

  it.each([
    ['none', (host: Host) => host],
    [
      'one that is not on the air yet',
      (host: Host) => {
        host.give(busy(MF));
        host.give(distress([MF]));
        return host;
      },
    ],
    [
      'another kind of call only',
      (host: Host) => {
        host.give({
          type: 'call',
          call: { kind: 'testCall', to: { station: COAST }, self: SHIP },
          frequencyHz: MF,
        });
        return host;
      },
    ],
  ])('of an alert that was never sent is strange: there is %s', (_, prepare) => {
    const host = prepare(ship());
    expect(host.give(received(acknowledgement(COAST), MF))).toEqual([
      { type: 'tell', notice: { type: 'strangeAcknowledgement', by: COAST }, rule: 'onlyWhatWasReceived' },
    ]);
  });

  it('belongs to the latest of two alerts', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'stop');
    host.give(distress([HF8]));
    host.run(2 * MINUTE);
    host.give(received(acknowledgement(COAST), HF8));
    expect(host.state.exchanges.map((each) => each.phase)).toEqual(['stopped', 'acknowledged']);
  });

  it('belongs to an alert that is being sent rather than to a later one that is not', () => {
    const host = alerting([MF], MINUTE);
    choose(host, 'stop');
    host.give(distress([HF8]));
    host.run(2 * MINUTE);
    choose(host, 'stop', 3);
    choose(host, 'resend');
    host.run(3 * MINUTE);
    host.give(received(acknowledgement(COAST), MF));
    expect(host.state.exchanges.map((each) => each.phase)).toEqual(['acknowledged', 'stopped']);
    expect(dueAt(host.state)).toBeUndefined();
  });
});
