/**
 * The distress of others: what the operator is told, offered and refused, when, and by which rule. M541-8 = ITU-R M.541-8
 * Annex 1, FCC80 = 47 CFR Part 80, C25 = IMO COMSAR/Circ.25.
 */
import { describe, expect, it } from 'vitest';
import type { Call, DistressRelay } from '../../src/calls/index.js';
import {
  choicesFor,
  type AlertExchange,
  type Choice,
  type StationSettings,
} from '../../src/procedures/index.js';
import {
  COAST,
  HF8,
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

const HF12 = 12_577_000;

/** A relay acknowledgement takes 20 dots before an answer to one station; a distress acknowledgement 200 dots: 8.6 s. */
const ACKNOWLEDGEMENT_MS = 8600;

const ship = (more: Partial<StationSettings> = {}) => new Host({ identity: SHIP, seed: 1, ...more });
const coast = () => new Host({ identity: COAST, seed: 2 });
const alert = alertFrom(OTHER);
const cancellation: Call = { ...alert, kind: 'ownAlertCancellation' };

const relayAcknowledgementOf = (relay: DistressRelay, self: string): Call => ({
  ...relay,
  kind: 'relayAcknowledgement',
  to: { station: relay.self as string },
  self,
});

/** A host to which the alert came at the beginning. */
function hearing(host: Host, frequencyHz: number): Host {
  host.give(received(alert, frequencyHz));
  return host;
}

/** Tells the time that passes and what is received then, seconds from the beginning. */
function hear(host: Host, seconds: number, call: Call, frequencyHz = MF) {
  host.runTo(seconds);
  return host.give(received(call, frequencyHz));
}

const told = (host: Host) => host.all('tell').map(({ at, notice, rule }) => [at, notice, rule]);
const lastTold = (host: Host) => told(host).at(-1);
const exchangeOf = (host: Host, id = 1) =>
  host.state.exchanges.find((exchange): exchange is AlertExchange => exchange.id === id);
const choices = (host: Host, id = 1) => choicesFor(host.state, id);
const names = (host: Host, id = 1) => choices(host, id).map(({ choice }) => choice);
const refused = (rule: string, refusal: object = { type: 'rule' }) => [{ type: 'refuse', refusal, rule }];

const choice = (name: Choice['choice'], from: number, rule: string, more: object = {}) => ({
  choice: name,
  kind: 'alert',
  from: NOON + from,
  ...more,
  rule,
});
const STOP = { choice: 'stop', kind: 'alert', from: 0, rule: 'operator' };
const coastRelay = choice('relay', 0, 'coastRelays');

describe('the first call of an alert', () => {
  it.each<[string, Host, number, string, Choice[] | object[], [number, string]]>([
    [
      'a coast station on VHF, to acknowledge as soon as practicable (M541-8 §3.3.2)',
      coast(),
      VHF,
      'coastAtOnce',
      [choice('acknowledge', 0, 'coastAtOnce'), coastRelay, STOP],
      // On VHF the reminder comes as on MF (common practice, no source).
      [2.75 * MINUTE, 'coastAtOnce'],
    ],
    [
      'a coast station on MF, to acknowledge after 1 and within 2 3/4 minutes (M541-8 §3.3.2)',
      coast(),
      MF,
      'coastWaits',
      [choice('acknowledge', MINUTE, 'coastWaits'), coastRelay, STOP],
      [2.75 * MINUTE, 'coastWaits'],
    ],
    [
      'a coast station on HF, likewise',
      coast(),
      HF8,
      'coastWaits',
      [choice('acknowledge', MINUTE, 'coastWaits'), coastRelay, STOP],
      [2.75 * MINUTE, 'coastWaits'],
    ],
    ...[VHF, MF].map((hz): [string, Host, number, string, object[], [number, string]] => [
      'a ship on VHF or MF, to listen; to acknowledge if it has consulted (FCC80 §80.1117(a), §80.1121(b) and (d))',
      ship(),
      hz,
      'shipListens',
      [
        choice('acknowledge', 0, 'shipConsults', { needs: 'consulted' }),
        choice('relay', 0, 'noRelayOnVhfOrMf', { needs: 'necessary' }),
        STOP,
      ],
      [5 * MINUTE, 'tellCoast'],
    ]),
    [
      'a ship on HF, to relay it to a coast station after 5 minutes (FCC80 §80.1121(c); C25)',
      ship(),
      HF8,
      'shipNeverOnHf',
      [choice('relay', 5 * MINUTE, 'hfRelay', { to: 'coastStation' }), STOP],
      [5 * MINUTE, 'hfRelay'],
    ],
  ])('comes to %s', (_, host, frequencyHz, rule, offered, [remindAt, because]) => {
    expect(host.give(received(alert, frequencyHz))).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'alert',
        from: undefined,
        to: 'open',
        rule: 'distressTraffic',
      },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'alert', casualty: OTHER, frequencyHz, time: 'first' },
        rule,
      },
      // FCC80 §80.1077: watch on the telephony partner of the band.
      { type: 'watch', exchange: 1, call: alert, frequencyHz, side: 'called', rule: 'distressTraffic' },
      { type: 'offer', exchange: 1, choices: offered, rule },
      { type: 'timer', exchange: 1, at: NOON + remindAt, rule: because },
    ]);
    expect(choices(host)).toEqual(offered);
    expect(exchangeOf(host)).toMatchObject({ openings: 1, acknowledgedBy: [], phase: 'open' });
  });

  // Common practice, no source: what was not read for sure is never acted upon.
  it('of which the sender cannot be read is shown, and neither acknowledged nor relayed', () => {
    for (const [host, later] of [
      [coast(), []],
      // FCC80 §80.1121(b): a coast station is told of it all the same.
      [ship(), [[5 * MINUTE, { type: 'noCoastStation', casualty: 'unknown' }, 'tellCoast']]],
    ] as const) {
      hear(host, 0, { ...alert, self: { unassigned: [99, 99, 99, 99, 127] } });
      expect(lastTold(host)).toEqual([
        0,
        { type: 'alert', casualty: 'unknown', frequencyHz: MF, time: 'first' },
        'doubtful',
      ]);
      expect(host.all('watch')).toHaveLength(1);
      expect(host.all('offer')).toMatchObject([{ choices: [STOP], rule: 'doubtful' }]);
      const before = told(host).length;
      host.run(20 * MINUTE);
      expect(told(host).slice(before)).toEqual(later);
    }
  });
});

describe('the same alert once more', () => {
  // A ship alerts again after 3.5 to 4.5 min (M541-8 §3.1.3.1), five calls take 36.0 s (JP567); in between: no source.
  it('within 90 s of the last call is the rest of the attempt, and not told', () => {
    const host = hearing(coast(), MF);
    for (const seconds of [7.2, 97.2, 187.2]) expect(hear(host, seconds, alert)).toEqual([]);
    expect(exchangeOf(host)?.heard).toEqual([
      { frequencyHz: MF, firstAt: NOON, lastAt: NOON + 187_200, count: 4 },
    ]);
  });

  it('later than 90 s after it is told, with what may be done then', () => {
    const host = hearing(coast(), MF);
    expect(hear(host, 90.001, alert)).toEqual([
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'alert', casualty: OTHER, frequencyHz: MF, time: 'again' },
        rule: 'coastWaits',
      },
      { type: 'watch', exchange: 1, call: alert, frequencyHz: MF, side: 'called', rule: 'distressTraffic' },
      {
        type: 'offer',
        exchange: 1,
        choices: [choice('acknowledge', MINUTE, 'coastWaits'), coastRelay, STOP],
        rule: 'coastWaits',
      },
    ]);
    // M541-8 §3.3.2: the 2 3/4 min run from the first call.
    host.run(20 * MINUTE);
    expect(lastTold(host)).toEqual([
      2.75 * MINUTE,
      { type: 'acknowledgementOverdue', casualty: OTHER },
      'coastWaits',
    ]);
  });

  it('on another frequency is told at once, and answered where it came last', () => {
    const host = hearing(coast(), MF);
    hear(host, 7.2, alert, HF8);
    expect(lastTold(host)).toEqual([
      7200,
      { type: 'alert', casualty: OTHER, frequencyHz: HF8, time: 'again' },
      'coastWaits',
    ]);
    expect(choices(host)[0]).toEqual(choice('acknowledge', 67_200, 'coastWaits'));
    choose(host, 'acknowledge');
    host.run(2 * MINUTE);
    expect(host.all('transmit')).toMatchObject([{ at: 67_200, frequencyHz: HF8 }]);
  });

  it('with another follow-on communication is not: that differs by frequency', () => {
    const host = hearing(coast(), MF);
    expect(hear(host, 20, { ...alert, followOn: 'none' })).toEqual([]);
  });

  it('from another ship is an alert of its own', () => {
    const host = hearing(coast(), MF);
    hear(host, 7.2, alertFrom(THIRD));
    expect(host.state.exchanges).toMatchObject([{ casualty: OTHER }, { casualty: THIRD }]);
    expect(lastTold(host)?.[1]).toMatchObject({ casualty: THIRD, time: 'first' });
  });
});

describe('an alert that the operator closed', () => {
  const closed = () => {
    const host = hearing(coast(), MF);
    host.runTo(5);
    expect(choose(host, 'stop')).toEqual([
      { type: 'phase', exchange: 1, kind: 'alert', from: 'open', to: 'closed', rule: 'operator' },
    ]);
    return host;
  };

  it('offers nothing and is not brought to mind', () => {
    const host = closed();
    expect(choices(host)).toEqual([]);
    expect(choose(host, 'acknowledge')).toEqual(
      refused('onlyWhatIsOffered', { type: 'notOffered', phase: 'closed' }),
    );
    host.run(20 * MINUTE);
    expect(told(host)).toHaveLength(1);
  });

  // Common practice, no source, as above.
  it('stays closed until 90 s after its last call, and is a new one after that', () => {
    const host = closed();
    for (const seconds of [14.4, 104.4]) expect(hear(host, seconds, alert)).toEqual([]);
    expect(exchangeOf(host)?.heard[0]).toMatchObject({ lastAt: NOON + 104_400, count: 3 });
    hear(host, 194.401, alert);
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }, { phase: 'open' }]);
    expect(lastTold(host)?.[1]).toMatchObject({ type: 'alert', time: 'first' });
  });

  it('stays closed while it comes on any frequency', () => {
    const host = hearing(coast(), MF);
    hear(host, 80, alert, HF8);
    choose(host, 'stop');
    expect(hear(host, 120, alert)).toEqual([]);
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }]);
  });

  it('is open for another ship', () => {
    const host = closed();
    hear(host, 14.4, alertFrom(THIRD));
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }, { casualty: THIRD, phase: 'open' }]);
  });

  it('takes back what waits to be sent and breaks off what is being sent', () => {
    const waiting = hearing(coast(), MF);
    choose(waiting, 'acknowledge');
    waiting.runTo(30);
    choose(waiting, 'stop');
    waiting.run(20 * MINUTE);
    expect(waiting.all('transmit')).toEqual([]);
    const sending = hearing(coast(), MF);
    choose(sending, 'acknowledge');
    sending.runTo(62);
    expect(choose(sending, 'stop')[0]).toMatchObject({ type: 'cease', rule: 'operator' });
    sending.run(20 * MINUTE);
    expect(exchangeOf(sending)).toMatchObject({ phase: 'closed', acknowledgedBy: [] });
    // What is closed is nobody's business any more: that it broke off is not told.
    expect(told(sending).at(-1)?.[1]).toMatchObject({ type: 'acknowledgementDelayed' });
  });
});

describe('an alert that nobody acknowledged', () => {
  it.each<[string, () => Host, number, number, string, string]>([
    ['a coast station on MF (M541-8 §3.3.2)', coast, MF, 2.75, 'acknowledgementOverdue', 'coastWaits'],
    ['a coast station on VHF (no source)', coast, VHF, 2.75, 'acknowledgementOverdue', 'coastAtOnce'],
    ['a ship on MF (FCC80 §80.1121(b))', ship, MF, 5, 'noCoastStation', 'tellCoast'],
    ['a ship on HF (FCC80 §80.1121(c))', ship, HF8, 5, 'noCoastStation', 'hfRelay'],
  ])('is brought to mind once of %s', (_, make, hz, minutes, type, rule) => {
    const host = hearing(make(), hz);
    host.run(minutes * MINUTE - 1);
    expect(told(host)).toHaveLength(1);
    host.run(30 * MINUTE);
    expect(told(host).slice(1)).toEqual([[minutes * MINUTE, { type, casualty: OTHER }, rule]]);
    const [, again] = host.all('offer');
    expect(again).toMatchObject({ at: minutes * MINUTE, exchange: 1, rule });
    expect(again.choices).toEqual(choices(host));
  });

  it('on HF is brought to mind when the ship was set to relay it', () => {
    const host = hearing(ship({ timing: { hfRelayMs: 7 * MINUTE } }), HF8);
    expect(choices(host)[0].from).toBe(NOON + 7 * MINUTE);
    host.run(30 * MINUTE);
    expect(lastTold(host)).toEqual([7 * MINUTE, { type: 'noCoastStation', casualty: OTHER }, 'hfRelay']);
  });

  it.each<[string, () => Host, number, Call, number]>([
    // C25 §2: a coast station that has acknowledged knows of it.
    [
      'of a coast station when another acknowledged it',
      coast,
      MF,
      acknowledgementFor(OTHER, SECOND_COAST),
      0,
    ],
    ['of a ship when a coast station acknowledged it', ship, MF, acknowledgementFor(OTHER), 0],
    ['of a ship when a coast station acknowledged it on HF', ship, HF8, acknowledgementFor(OTHER), 0],
    // FCC80 §80.335.
    ['of anyone when the ship took it back', ship, MF, cancellation, 0],
    // FCC80 §80.1121(b): no coast station has acknowledged it.
    ['of a ship when a ship acknowledged it', ship, MF, acknowledgementFor(OTHER, THIRD), 1],
    ['of a coast station when a ship acknowledged it', coast, MF, acknowledgementFor(OTHER, THIRD), 1],
  ])('is brought to mind, or not, %s', (_, make, hz, call, times) => {
    const host = hearing(make(), hz);
    hear(host, 60, call, hz);
    host.run(30 * MINUTE);
    const reminders = host
      .all('tell')
      .filter(({ notice: { type } }) => type === 'acknowledgementOverdue' || type === 'noCoastStation');
    expect(reminders).toHaveLength(times);
  });
});

describe("a coast station's acknowledgement (M541-8 §3.3)", () => {
  it.each([
    [10_000, 50],
    [10_001, 50],
    [9999, 51],
    [59_999, 1],
  ])('that is given %i ms after the alert goes out %i s later, a minute after it', (at, seconds) => {
    const host = hearing(coast(), MF);
    host.run(at);
    expect(choose(host, 'acknowledge')[0]).toEqual({
      type: 'tell',
      exchange: 1,
      notice: { type: 'acknowledgementDelayed', seconds },
      rule: 'coastWaits',
    });
    expect(names(host)).toEqual(['relay', 'stop']);
    host.run(2 * MINUTE);
    expect(host.all('transmit')).toMatchObject([
      { at: MINUTE, rule: 'coastWaits', frequencyHz: MF, repeat: 1 },
    ]);
  });

  it('that is given after a minute goes out at once', () => {
    const host = hearing(coast(), MF);
    host.run(MINUTE);
    expect(choose(host, 'acknowledge')).toEqual([
      {
        type: 'transmit',
        transmission: 2,
        exchange: 1,
        call: acknowledgementFor(OTHER),
        frequencyHz: MF,
        repeat: 1,
        rule: 'coastWaits',
      },
    ]);
  });

  // Common practice, no source: 9 s without a call of 7.2 s (JP567) end an attempt on MF and HF, 1 s one on VHF.
  it.each<[number, number, number, string]>([
    [MF, 51_000, 60_000, 'coastWaits'],
    [MF, 51_001, 60_001, 'afterTheAttempt'],
    [MF, 55_000, 64_000, 'afterTheAttempt'],
    [VHF, 900, 1900, 'afterTheAttempt'],
  ])('on %i waits for the end of the attempt last heard at %i ms: %i ms', (hz, last, at, rule) => {
    const host = hearing(coast(), hz);
    host.run(last);
    host.give(received(alert, hz));
    choose(host, 'acknowledge');
    const seconds = Math.ceil((at - last) / 1000);
    expect(lastTold(host)).toEqual([last, { type: 'acknowledgementDelayed', seconds }, rule]);
    host.run(2 * MINUTE);
    expect(host.all('transmit')).toMatchObject([{ at }]);
  });

  it('does not wait for an attempt on the other radio', () => {
    const host = hearing(coast(), VHF);
    hear(host, 30, alert, MF);
    choose(host, 'acknowledge', { frequencyHz: VHF });
    expect(host.all('transmit')).toMatchObject([{ at: 30_000, frequencyHz: VHF, rule: 'coastAtOnce' }]);
  });

  it('goes out where the operator says, if the alert came there', () => {
    const host = hearing(coast(), MF);
    hear(host, 5, alert, HF8);
    expect(choose(host, 'acknowledge', { frequencyHz: HF12 })).toEqual(
      refused('onlyWhatWasReceived', { type: 'notReceived' }),
    );
    choose(host, 'acknowledge', { frequencyHz: MF });
    host.run(2 * MINUTE);
    expect(host.all('transmit')).toMatchObject([{ at: MINUTE, frequencyHz: MF }]);
  });

  it('waits for a free frequency, and that is told once', () => {
    const host = hearing(coast(), MF);
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    host.runTo(90);
    expect(choose(host, 'acknowledge')).toEqual([
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'acknowledgementWaits', frequencyHz: MF },
        rule: 'afterTheAttempt',
      },
    ]);
    host.runTo(100);
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    expect(host.all('transmit')).toMatchObject([{ at: 100_000 }]);
    const free = hearing(coast(), MF);
    free.give({ type: 'channel', frequencyHz: HF8, busy: true });
    free.runTo(90);
    choose(free, 'acknowledge');
    expect(told(free)).toHaveLength(1);
  });

  it('that has gone out settles the alert, sets watch and may go out again', () => {
    const host = hearing(coast(), MF);
    host.run(MINUTE);
    choose(host, 'acknowledge');
    host.run(MINUTE + ACKNOWLEDGEMENT_MS);
    const call = acknowledgementFor(OTHER);
    expect(host.done.slice(-2)).toEqual([
      {
        at: MINUTE + ACKNOWLEDGEMENT_MS,
        action: {
          type: 'phase',
          exchange: 1,
          kind: 'alert',
          from: 'open',
          to: 'acknowledged',
          rule: 'coastAcknowledges',
        },
      },
      {
        at: MINUTE + ACKNOWLEDGEMENT_MS,
        action: {
          type: 'watch',
          exchange: 1,
          call,
          frequencyHz: MF,
          side: 'called',
          rule: 'distressTraffic',
        },
      },
    ]);
    expect(exchangeOf(host)).toMatchObject({
      acknowledgedBy: [COAST],
      acknowledgement: { call, frequencyHz: MF, sent: true },
    });
    expect(choices(host)).toEqual([
      choice('again', MINUTE + ACKNOWLEDGEMENT_MS, 'coastAcknowledges'),
      coastRelay,
      STOP,
    ]);
    host.run(30 * MINUTE);
    expect(told(host)).toHaveLength(1);
    choose(host, 'again');
    expect(host.all('transmit')).toMatchObject([
      { rule: 'coastWaits' },
      { at: 30 * MINUTE, call, frequencyHz: MF, rule: 'coastAcknowledges' },
    ]);
    // It is acknowledged: a second time changes nothing.
    host.run(31 * MINUTE);
    expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged', acknowledgedBy: [COAST] });
    expect(host.all('phase')).toHaveLength(2);
  });

  it('that did not go out is told, and may be given again', () => {
    const host = hearing(coast(), MF);
    host.run(MINUTE);
    choose(host, 'acknowledge');
    const [{ transmission }] = host.all('transmit');
    expect(host.give({ type: 'unsent', transmission }).slice(0, 2)).toEqual([
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'acknowledgementUnsent' },
        rule: 'coastAcknowledges',
      },
      {
        type: 'offer',
        exchange: 1,
        choices: [choice('acknowledge', MINUTE, 'coastWaits'), coastRelay, STOP],
        rule: 'coastAcknowledges',
      },
    ]);
    expect(exchangeOf(host)).toMatchObject({ phase: 'open', acknowledgedBy: [] });
    choose(host, 'acknowledge');
    host.run(2 * MINUTE);
    expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged', acknowledgedBy: [COAST] });
  });

  it('says what the alert says that came while it waited', () => {
    const host = hearing(coast(), MF);
    choose(host, 'acknowledge');
    hear(host, 55, { ...alert, nature: 'sinking' });
    host.run(2 * MINUTE);
    expect(host.all('transmit')).toMatchObject([
      { at: 64_000, call: { ...acknowledgementFor(OTHER), nature: 'sinking' } },
    ]);
    expect(exchangeOf(host)?.acknowledgement?.call).toMatchObject({ nature: 'sinking' });
  });
});

describe("a ship's acknowledgement (FCC80 §80.1117(a) and §80.1121(d))", () => {
  it('needs that a coast station was consulted, and nothing else will do', () => {
    const host = hearing(ship(), MF);
    host.runTo(20);
    expect(choose(host, 'acknowledge')).toEqual(refused('shipConsults'));
    expect(choose(host, 'acknowledge', { necessary: true })).toEqual(refused('shipConsults'));
    expect(choose(host, 'acknowledge', { directed: true })[0]).toMatchObject({
      type: 'transmit',
      call: acknowledgementFor(OTHER, SHIP),
      rule: 'shipConsults',
    });
  });

  it('that has gone out leaves a coast station to be told (FCC80 §80.1121(b))', () => {
    const host = hearing(ship(), MF);
    host.runTo(20);
    choose(host, 'acknowledge', { directed: true });
    host.run(10 * MINUTE);
    expect(told(host).slice(1)).toEqual([
      [20_000 + ACKNOWLEDGEMENT_MS, { type: 'tellCoastStation', because: 'acknowledged' }, 'tellCoast'],
    ]);
    expect(choices(host)[0]).toEqual(
      choice('again', 20_000 + ACKNOWLEDGEMENT_MS, 'shipConsults', { needs: 'consulted' }),
    );
    expect(choose(host, 'again')).toEqual(refused('shipConsults'));
    choose(host, 'again', { directed: true });
    expect(host.all('transmit')).toHaveLength(2);
  });

  it('never goes out on HF, also where the alert came on MF too (FCC80 §80.1121(c))', () => {
    const host = hearing(ship(), HF8);
    expect(names(host)).not.toContain('acknowledge');
    hear(host, 5, alert, MF);
    expect(choose(host, 'acknowledge', { directed: true, frequencyHz: HF8 })).toEqual(
      refused('shipNeverOnHf'),
    );
    hear(host, 10, alert, HF8);
    host.runTo(30);
    choose(host, 'acknowledge', { directed: true });
    expect(host.all('transmit')).toMatchObject([{ frequencyHz: MF }]);
  });
});

describe('what is relayed', () => {
  const relayed = (host: Host) => host.all('transmit').find(({ call }) => call.kind === 'distressRelay');

  // FCC80 §80.1121(c), C25: 5 minutes, to a coast station.
  it('from HF by a ship goes to its coast station after 5 minutes, and not a moment sooner', () => {
    const host = hearing(ship({ coastStation: COAST }), HF8);
    host.run(5 * MINUTE - 1001);
    expect(choose(host, 'relay')).toEqual(refused('hfRelay', { type: 'early', seconds: 2 }));
    host.run(5 * MINUTE - 1);
    expect(choose(host, 'relay')).toEqual(refused('hfRelay', { type: 'early', seconds: 1 }));
    host.run(5 * MINUTE);
    expect(choose(host, 'relay', { to: 'allShips' })).toEqual(refused('hfRelay'));
    expect(choose(host, 'relay', { to: { station: THIRD } })).toEqual(refused('hfRelay'));
    expect(choose(host, 'relay')[0]).toEqual({
      type: 'phase',
      exchange: 2,
      kind: 'outgoing',
      from: undefined,
      to: 'sending',
      rule: 'hfRelay',
    });
    expect(relayed(host)).toMatchObject({
      at: 5 * MINUTE,
      frequencyHz: HF8,
      call: relayOf(OTHER, { station: COAST }, SHIP),
    });
  });

  it('from HF goes out there, though the alert came on MF before and after', () => {
    const host = hearing(ship({ coastStation: COAST }), MF);
    hear(host, 5, alert, HF8);
    hear(host, 10, alert, MF);
    // The 5 minutes run from the first that was heard of it.
    expect(choices(host).at(-2)).toEqual(choice('relay', 5 * MINUTE, 'hfRelay', { to: 'coastStation' }));
    host.run(5 * MINUTE);
    choose(host, 'relay');
    expect(relayed(host)).toMatchObject({ frequencyHz: HF8 });
  });

  it('needs a coast station that is known, or named (C25 §2.3)', () => {
    const host = hearing(ship(), HF8);
    host.run(5 * MINUTE);
    expect(choose(host, 'relay')).toEqual(refused('relayToCoast', { type: 'noAddressee' }));
  });

  // FCC80 §80.1117(a) and §80.1121(b): not from VHF and MF, unless the master finds it necessary.
  it('from VHF or MF by a ship is what the master finds necessary, and goes where the alert came', () => {
    const host = hearing(ship({ coastStation: COAST }), VHF);
    hear(host, 5, alert, MF);
    host.run(10 * MINUTE);
    expect(choose(host, 'relay')).toEqual(refused('noRelayOnVhfOrMf'));
    expect(choose(host, 'relay', { directed: true })).toEqual(refused('noRelayOnVhfOrMf'));
    expect(choose(host, 'relay', { necessary: true, to: 'allShips' })[0]).toMatchObject({
      type: 'phase',
      rule: 'noRelayOnVhfOrMf',
    });
    expect(relayed(host)).toMatchObject({ frequencyHz: MF, call: relayOf(OTHER, 'allShips', SHIP) });
    expect(host.state.exchanges[1]).toMatchObject({ isNecessary: true });
  });

  it('goes out where the operator says, with the telephony of that band', () => {
    const host = hearing(ship(), MF);
    choose(host, 'relay', { necessary: true, to: { station: COAST }, frequencyHz: VHF });
    expect(relayed(host)).toMatchObject({ frequencyHz: VHF, call: { followOn: 'f3e' } });
  });

  it('by a coast station goes out at once, where the alert came last (Radio Regulations 32.16, from memory)', () => {
    const host = hearing(coast(), MF);
    hear(host, 5, alert, HF8);
    expect(choose(host, 'relay')[0]).toMatchObject({ exchange: 2, to: 'sending', rule: 'coastRelays' });
    // 48.5 N ± 10: 59 to 38 in whole degrees; 10 / cos 59° = 19.4: 12.25 W ± 19.4 is 32 W to 8 E.
    expect(relayed(host)).toMatchObject({
      at: 5000,
      frequencyHz: HF8,
      call: relayOf(OTHER, { area: { latitude: 59, longitude: -32, south: 21, east: 40 } }, COAST),
    });
    expect(host.state.exchanges[1]).not.toHaveProperty('isNecessary');
  });

  it.each<[string, Partial<typeof alert>]>([
    ['none', { position: 'none' }],
    ['that cannot be read', { position: { unassigned: [99, 99, 99, 99, 127] } }],
  ])('by a coast station of a casualty with a position %s goes to all ships (no source)', (_, position) => {
    const host = coast();
    host.give(received({ ...alert, ...position }, HF8));
    choose(host, 'relay');
    expect(choicesFor(host.state, 2)).toMatchObject([{ choice: 'stop' }]);
    expect(host.state.exchanges[1]).toMatchObject({ call: { to: 'allShips' } });
  });

  it('by a coast station that heard only a relay is what that says, where it came', () => {
    const host = coast();
    host.give(received({ ...relayOf(OTHER, { station: COAST }, THIRD), nature: 'sinking' }, HF8));
    choose(host, 'relay', { to: 'allShips' });
    expect(relayed(host)).toMatchObject({
      frequencyHz: HF8,
      call: { ...relayOf(OTHER, 'allShips', COAST), nature: 'sinking' },
    });
  });
});

describe('a relay by another station (M.541 Annex 1 §3.4, from memory)', () => {
  const toMe = { station: SHIP };
  const toCoast = { station: COAST };
  const acknowledgeRelay = choice('acknowledgeRelay', 0, 'relayAcknowledged');

  it.each<[string, () => Host, DistressRelay, string, object[]]>([
    ['of a ship to me, a ship', ship, relayOf(OTHER, toMe, THIRD), 'relayAcknowledged', [acknowledgeRelay]],
    [
      'of a coast station to me, a ship',
      ship,
      relayOf(OTHER, toMe, COAST),
      'relayAcknowledged',
      [acknowledgeRelay],
    ],
    ['of a ship to all ships, at a ship', ship, relayOf(OTHER, 'allShips', THIRD), 'relayByVoice', []],
    [
      'of a coast station to all ships, at a ship',
      ship,
      relayOf(OTHER, 'allShips', COAST),
      'relayByVoice',
      [],
    ],
    ['to a coast station, overheard by a ship', ship, relayOf(OTHER, toCoast, THIRD), 'notAddressed', []],
    [
      'of a ship to me, a coast station',
      coast,
      relayOf(OTHER, toCoast, THIRD),
      'relayAcknowledged',
      [acknowledgeRelay, coastRelay],
    ],
    [
      'of a ship to all ships, at a coast station',
      coast,
      relayOf(OTHER, 'allShips', THIRD),
      'relayAcknowledged',
      [acknowledgeRelay, coastRelay],
    ],
    [
      'of a coast station to all ships, at another',
      coast,
      relayOf(OTHER, 'allShips', SECOND_COAST),
      'relayByVoice',
      [coastRelay],
    ],
    [
      'to another coast station, overheard by one',
      coast,
      relayOf(OTHER, { station: SECOND_COAST }, THIRD),
      'notAddressed',
      [coastRelay],
    ],
  ])('%s', (_, make, relay, rule, offered) => {
    const host = make();
    expect(host.give(received(relay, MF))).toEqual([
      { type: 'phase', exchange: 1, kind: 'alert', from: undefined, to: 'open', rule: 'distressTraffic' },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'relay', by: relay.self, casualty: OTHER, frequencyHz: MF, again: false },
        rule,
      },
      { type: 'watch', exchange: 1, call: relay, frequencyHz: MF, side: 'called', rule: 'distressTraffic' },
      { type: 'offer', exchange: 1, choices: [...offered, STOP], rule },
    ]);
    // Only the distress itself is owed an acknowledgement in time.
    host.run(20 * MINUTE);
    expect(told(host)).toHaveLength(1);
  });

  it('is acknowledged by hand, at once, where it came or where the operator says', () => {
    for (const [more, frequencyHz] of [
      [{}, HF8],
      [{ frequencyHz: MF }, MF],
    ] as const) {
      const host = coast();
      const relay = relayOf(OTHER, toCoast, THIRD);
      host.give(received(relay, HF8));
      host.runTo(3);
      expect(choose(host, 'acknowledgeRelay', more)).toEqual([
        {
          type: 'transmit',
          transmission: 2,
          exchange: 1,
          call: relayAcknowledgementOf(relay, COAST),
          frequencyHz,
          repeat: 1,
          rule: 'relayAcknowledged',
        },
      ]);
      expect(names(host)).toEqual(['relay', 'stop']);
      host.run(MINUTE);
      expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged', acknowledgedBy: [COAST] });
      // It is done: it may be relayed, and nothing more is offered.
      expect(names(host)).toEqual(['relay', 'stop']);
      expect(told(host)).toHaveLength(1);
    }
  });

  it('that a ship acknowledged leaves a coast station to be told', () => {
    const host = ship();
    host.give(received(relayOf(OTHER, toMe, THIRD), MF));
    choose(host, 'acknowledgeRelay');
    host.run(MINUTE);
    expect(lastTold(host)?.slice(1)).toEqual([
      { type: 'tellCoastStation', because: 'acknowledged' },
      'tellCoast',
    ]);
  });

  it('whose acknowledgement did not go out may be acknowledged again', () => {
    const host = coast();
    host.give(received(relayOf(OTHER, toCoast, THIRD), HF8));
    choose(host, 'acknowledgeRelay');
    host.give({ type: 'unsent', transmission: 2 });
    expect(lastTold(host)?.[1]).toEqual({ type: 'acknowledgementUnsent' });
    expect(host.all('offer').at(-1)?.choices).toEqual([acknowledgeRelay, coastRelay, STOP]);
  });

  it('leaves the acknowledgement of the alert itself as it was', () => {
    const host = hearing(coast(), MF);
    choose(host, 'acknowledge');
    host.run(2 * MINUTE);
    hear(host, 130, relayOf(OTHER, 'allShips', THIRD));
    expect(names(host)).toEqual(['again', 'acknowledgeRelay', 'relay', 'stop']);
  });

  it('is again the relay of the same station, and another that of another', () => {
    const host = coast();
    hear(host, 0, relayOf(OTHER, 'allShips', THIRD));
    hear(host, 1, relayOf(OTHER, 'allShips', THIRD));
    hear(host, 2, relayOf(OTHER, 'allShips', SHIP));
    expect(told(host).map(([, notice]) => notice)).toMatchObject([
      { by: THIRD, again: false },
      { by: THIRD, again: true },
      { by: SHIP, again: false },
    ]);
    expect(host.state.exchanges).toHaveLength(1);
  });

  it('that comes again after its acknowledgement may be acknowledged again (no source)', () => {
    const host = coast();
    hear(host, 0, relayOf(OTHER, toCoast, THIRD));
    choose(host, 'acknowledgeRelay');
    host.runTo(30);
    hear(host, 40, relayOf(OTHER, toCoast, THIRD));
    expect(names(host)).toContain('acknowledgeRelay');
    choose(host, 'acknowledgeRelay');
    host.runTo(60);
    expect(host.all('transmit')).toHaveLength(2);
  });

  it.each<[string, DistressRelay['to'], DistressRelay['to'], string]>([
    ['to me stays before one to all', toCoast, 'allShips', THIRD],
    ['to me stays before one to another', toCoast, { station: SECOND_COAST }, THIRD],
    ['to me gives way to a later one to me', toCoast, toCoast, SHIP],
    ['to all gives way to one to me', 'allShips', toCoast, SHIP],
    ['to all gives way to a later one to all', 'allShips', 'allShips', SHIP],
  ])('%s, until it is acknowledged', (_, first, second, answered) => {
    const host = coast();
    hear(host, 0, relayOf(OTHER, first, THIRD));
    hear(host, 1, relayOf(OTHER, second, SHIP));
    choose(host, 'acknowledgeRelay');
    expect(host.all('transmit')[0].call).toMatchObject({ to: { station: answered } });
  });

  it('to me that was acknowledged gives way to one to all', () => {
    const host = coast();
    hear(host, 0, relayOf(OTHER, toCoast, THIRD));
    choose(host, 'acknowledgeRelay');
    hear(host, 30, relayOf(OTHER, 'allShips', SHIP));
    choose(host, 'acknowledgeRelay');
    expect(host.all('transmit').at(-1)?.call).toMatchObject({ to: { station: SHIP } });
  });

  it('of a casualty that cannot be read is one of an unknown ship', () => {
    const host = coast();
    const relay = { ...relayOf(OTHER, toCoast, THIRD), casualty: { unassigned: [99, 99, 99, 99, 127] } };
    hear(host, 0, relay);
    expect(lastTold(host)?.[1]).toMatchObject({ type: 'relay', casualty: 'unknown' });
    expect(exchangeOf(host)).toMatchObject({ casualty: 'unknown' });
  });
});

describe('the acknowledgement by another station', () => {
  it('of a coast station settles the alert; nothing but closing it is left to a ship (C25 §2)', () => {
    const host = hearing(ship(), MF);
    const call = acknowledgementFor(OTHER);
    expect(hear(host, 60, call)).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'alert',
        from: 'open',
        to: 'acknowledged',
        rule: 'coastAcknowledges',
      },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'distressAcknowledged', by: COAST, casualty: OTHER },
        rule: 'coastAcknowledges',
      },
      { type: 'watch', exchange: 1, call, frequencyHz: MF, side: 'called', rule: 'distressTraffic' },
    ]);
    expect(choices(host)).toEqual([STOP]);
    // The same once more is no news.
    expect(hear(host, 70, call)).toEqual([]);
    hear(host, 80, acknowledgementFor(OTHER, SECOND_COAST));
    expect(exchangeOf(host)).toMatchObject({ acknowledgedBy: [COAST, SECOND_COAST] });
    expect(host.all('phase')).toHaveLength(2);
  });

  // FCC80 §80.1121(b): a coast station is told of every alert that a ship alone acknowledged.
  it('of a ship leaves a coast station to be told', () => {
    const host = hearing(ship(), MF);
    hear(host, 60, acknowledgementFor(OTHER, THIRD));
    expect(host.done.slice(-3).map(({ action }) => action)).toMatchObject([
      { type: 'watch' },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'tellCoastStation', because: 'shipAcknowledged' },
        rule: 'tellCoast',
      },
      { type: 'offer', choices: choices(host), rule: 'tellCoast' },
    ]);
    expect(names(host)).toEqual(['acknowledge', 'relay', 'stop']);
    // Once a coast station has acknowledged too, a third acknowledgement tells nobody.
    hear(host, 70, acknowledgementFor(OTHER));
    hear(host, 80, acknowledgementFor(OTHER, '299000444'));
    expect(lastTold(host)?.[1]).toMatchObject({ type: 'distressAcknowledged', by: '299000444' });
  });

  it('of a ship on HF does so too', () => {
    const host = hearing(ship(), HF8);
    hear(host, 60, acknowledgementFor(OTHER, THIRD), HF8);
    expect(lastTold(host)?.slice(1)).toEqual([
      { type: 'tellCoastStation', because: 'shipAcknowledged' },
      'tellCoast',
    ]);
  });

  it('of a ship leaves a coast station to acknowledge it as before (M541-8 §3.3.1)', () => {
    const host = hearing(coast(), MF);
    hear(host, 60, acknowledgementFor(OTHER, THIRD));
    expect(lastTold(host)?.[1]).toMatchObject({ type: 'distressAcknowledged' });
    expect(host.all('offer').at(-1)).toMatchObject({ at: 60_000, choices: choices(host) });
    expect(names(host)).toEqual(['acknowledge', 'relay', 'stop']);
  });

  it('of what was not heard itself is told too', () => {
    const host = ship();
    expect(hear(host, 5, acknowledgementFor(OTHER, THIRD))).toMatchObject([
      { type: 'phase', from: undefined, to: 'acknowledged', rule: 'coastAcknowledges' },
      { type: 'tell', notice: { type: 'distressAcknowledged', by: THIRD, casualty: OTHER } },
      { type: 'watch', frequencyHz: MF, side: 'called' },
      { type: 'tell', notice: { type: 'tellCoastStation', because: 'shipAcknowledged' } },
      { type: 'offer', choices: [STOP] },
    ]);
    const unknown = ship();
    hear(unknown, 5, {
      ...acknowledgementFor(OTHER),
      casualty: { unassigned: [99, 99, 99, 99, 127] },
    } as Call);
    expect(lastTold(unknown)?.[1]).toEqual({ type: 'distressAcknowledged', by: COAST, casualty: 'unknown' });
  });

  // Common practice, no source: the ship ends its attempt of at most 36.0 s (JP567) before it listens.
  it('is doubted when the alert comes again more than 40 s later', () => {
    const settled = hearing(coast(), MF);
    hear(settled, 60, acknowledgementFor(OTHER, SECOND_COAST));
    hear(settled, 100, alert);
    expect(exchangeOf(settled)).toMatchObject({ phase: 'acknowledged', openings: 1 });
    const host = hearing(coast(), MF);
    hear(host, 60, acknowledgementFor(OTHER, SECOND_COAST));
    expect(hear(host, 100.001, alert)).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'alert',
        from: 'acknowledged',
        to: 'open',
        rule: 'stillRepeated',
      },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'alert', casualty: OTHER, frequencyHz: MF, time: 'afterAcknowledgement' },
        rule: 'stillRepeated',
      },
      { type: 'watch', exchange: 1, call: alert, frequencyHz: MF, side: 'called', rule: 'distressTraffic' },
      {
        type: 'offer',
        exchange: 1,
        // M541-8 §3.3.2: a minute after it came, as if for the first time.
        choices: [
          choice('acknowledge', 160_001, 'coastWaits'),
          choice('relay', 100_001, 'coastRelays'),
          STOP,
        ],
        rule: 'coastWaits',
      },
      { type: 'timer', exchange: 1, at: NOON + 100_001 + 2.75 * MINUTE, rule: 'coastWaits' },
    ]);
    expect(exchangeOf(host)).toMatchObject({ openings: 2, acknowledgedBy: [] });
    expect(exchangeOf(host)).not.toHaveProperty('settledUntil');
  });

  it('that comes later holds longer, and one that came earlier does not shorten it', () => {
    const host = hearing(coast(), MF);
    hear(host, 60, acknowledgementFor(OTHER, SECOND_COAST));
    hear(host, 90, acknowledgementFor(OTHER, SECOND_COAST));
    hear(host, 130, alert);
    expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged', openings: 1 });
    hear(host, 130.001, alert);
    expect(exchangeOf(host)).toMatchObject({ phase: 'open', openings: 2 });
  });

  // Common practice, no source: the attempt was over when the own acknowledgement went out.
  it.each([
    // A minute after the alert, for 8.6 s.
    ['9 s', MF, MINUTE + ACKNOWLEDGEMENT_MS + 9000],
    // A second after the alert, for 20 dots and 33 · 20 bits at 1200 Bd: 567 ms.
    ['on VHF 1 s', VHF, 1000 + 567 + 1000],
  ])('and the own one is doubted when the alert comes again more than %s after it', (_, hz, at) => {
    for (const late of [0, 1]) {
      const host = hearing(coast(), hz);
      choose(host, 'acknowledge');
      host.run(at + late);
      host.give(received(alert, hz));
      expect(exchangeOf(host)).toMatchObject({ openings: 1 + late });
    }
  });

  // Common practice, no source: who says something else has not heard it.
  it('that is on the air when the alert comes with another nature leaves it open', () => {
    const host = hearing(coast(), MF);
    hear(host, 20, acknowledgementFor(OTHER, THIRD));
    choose(host, 'acknowledge');
    hear(host, 62, { ...alert, nature: 'sinking' });
    host.runTo(80);
    expect(host.all('transmit')).toMatchObject([{ at: MINUTE }]);
    expect(exchangeOf(host)).toMatchObject({ phase: 'open', openings: 2, acknowledgedBy: [] });
    expect(choices(host)[0]).toEqual(choice('acknowledge', 62_000 + MINUTE, 'coastWaits'));
  });

  it('of the own relay settles the alert that was relayed', () => {
    const host = hearing(ship({ coastStation: COAST }), HF8);
    host.run(5 * MINUTE);
    choose(host, 'relay');
    host.run(6 * MINUTE);
    const relay = relayOf(OTHER, { station: COAST }, SHIP);
    host.give(received(relayAcknowledgementOf(relay, COAST), HF8));
    expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged', acknowledgedBy: [COAST] });
    // As with every acknowledgement of another, the ship may end its attempt: 40 s (no source).
    hear(host, 6 * 60 + 40, alert, HF8);
    expect(exchangeOf(host)).toMatchObject({ phase: 'acknowledged' });
    hear(host, 6 * 60 + 40.001, alert, HF8);
    expect(exchangeOf(host)).toMatchObject({ phase: 'open', openings: 2 });
  });

  it('of the own relay of what was not heard itself opens nothing', () => {
    const host = ship();
    const relay = relayOf(OTHER, { station: COAST }, SHIP);
    host.give({ type: 'call', call: relay, frequencyHz: MF });
    hear(host, 20, relayAcknowledgementOf(relay, COAST));
    expect(host.state.exchanges).toMatchObject([{ kind: 'outgoing', phase: 'answered' }]);
  });

  it('of the own relay by a ship leaves the own acknowledgement waiting', () => {
    const host = hearing(coast(), MF);
    choose(host, 'relay', { to: { station: THIRD } });
    host.runTo(20);
    choose(host, 'acknowledge', {}, 1);
    host.give(received(relayAcknowledgementOf(relayOf(OTHER, { station: THIRD }, COAST), THIRD), MF));
    host.run(2 * MINUTE);
    expect(host.all('transmit').map(({ call }) => call.kind)).toEqual([
      'distressRelay',
      'distressAcknowledgement',
    ]);
    expect(exchangeOf(host)).toMatchObject({ acknowledgedBy: [THIRD, COAST] });
  });

  it('of a coast station withdraws the own one that waits, and says whose was first', () => {
    const host = hearing(coast(), MF);
    choose(host, 'acknowledge');
    hear(host, 30, acknowledgementFor(OTHER, SECOND_COAST));
    expect(lastTold(host)).toEqual([
      30_000,
      { type: 'acknowledgementWithdrawn', by: SECOND_COAST },
      'acknowledgedAlready',
    ]);
    expect(exchangeOf(host)).not.toHaveProperty('acknowledgement');
    // C25 §2: it is acknowledged.
    expect(choose(host, 'acknowledge')).toEqual(
      refused('onlyWhatIsOffered', { type: 'notOffered', phase: 'acknowledged' }),
    );
  });

  it('of a coast station does not withdraw one that has gone out, nor the answer to a relay to me', () => {
    const gone = hearing(coast(), MF);
    gone.run(MINUTE);
    choose(gone, 'acknowledge');
    hear(gone, 65, acknowledgementFor(OTHER, SECOND_COAST));
    gone.run(2 * MINUTE);
    expect(told(gone).map(([, notice]) => notice)).toMatchObject([
      { type: 'alert' },
      { type: 'distressAcknowledged' },
    ]);
    expect(exchangeOf(gone)).toMatchObject({ acknowledgement: { sent: true } });
    for (const [to, kinds] of [
      [{ station: COAST }, ['relayAcknowledgement']],
      ['allShips', []],
    ] as const) {
      const host = coast();
      hear(host, 0, relayOf(OTHER, to, THIRD));
      host.give({ type: 'channel', frequencyHz: MF, busy: true });
      choose(host, 'acknowledgeRelay');
      hear(host, 5, acknowledgementFor(OTHER, SECOND_COAST));
      host.give({ type: 'channel', frequencyHz: MF, busy: false });
      host.runTo(60);
      expect(host.all('transmit').map(({ call }) => call.kind)).toEqual(kinds);
    }
  });
});

describe('a ship that takes its alert back (FCC80 §80.335)', () => {
  it('ends it: what waits is taken back and nothing more is offered or brought to mind', () => {
    const host = hearing(coast(), MF);
    choose(host, 'acknowledge');
    expect(hear(host, 30, cancellation)).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'alert',
        from: 'open',
        to: 'cancelled',
        rule: 'alertCancelled',
      },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'alertCancelled', casualty: OTHER },
        rule: 'alertCancelled',
      },
    ]);
    expect(choices(host)).toEqual([]);
    host.run(30 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(lastTold(host)?.[0]).toBe(30_000);
  });

  it('withdraws the own relay that waits', () => {
    const host = hearing(coast(), MF);
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    choose(host, 'relay');
    const actions = hear(host, 30, cancellation);
    expect(actions.slice(0, 2)).toEqual([
      {
        type: 'phase',
        exchange: 2,
        kind: 'outgoing',
        from: 'sending',
        to: 'stopped',
        rule: 'alertCancelled',
      },
      { type: 'tell', exchange: 2, notice: { type: 'relayWithdrawn' }, rule: 'alertCancelled' },
    ]);
  });

  it('that was never heard is remembered', () => {
    const host = coast();
    expect(hear(host, 0, cancellation)).toEqual([
      {
        type: 'phase',
        exchange: 1,
        kind: 'alert',
        from: undefined,
        to: 'cancelled',
        rule: 'alertCancelled',
      },
      {
        type: 'tell',
        exchange: 1,
        notice: { type: 'alertCancelled', casualty: OTHER, frequencyHz: MF },
        rule: 'alertCancelled',
      },
    ]);
  });

  it('on each frequency that it went out on is told each time', () => {
    const host = hearing(coast(), MF);
    hear(host, 30, cancellation);
    hear(host, 40, cancellation, HF8);
    expect(lastTold(host)).toEqual([
      40_000,
      { type: 'alertCancelled', casualty: OTHER, frequencyHz: HF8 },
      'alertCancelled',
    ]);
    expect(host.state.exchanges).toHaveLength(1);
  });

  it('does not end the distress of another', () => {
    const host = hearing(coast(), MF);
    hear(host, 30, { ...cancellation, self: THIRD });
    expect(exchangeOf(host)).toMatchObject({ phase: 'open' });
  });

  it('and calls again is in distress anew', () => {
    const host = hearing(coast(), MF);
    hear(host, 30, cancellation);
    hear(host, 40, alert);
    expect(host.state.exchanges).toMatchObject([{ phase: 'cancelled' }, { phase: 'open', openings: 1 }]);
    expect(lastTold(host)?.[1]).toMatchObject({ type: 'alert', time: 'first' });
  });

  it('while it is being acknowledged is not acknowledged after all', () => {
    const host = hearing(coast(), MF);
    host.run(MINUTE);
    choose(host, 'acknowledge');
    hear(host, 62, cancellation);
    host.run(2 * MINUTE);
    expect(exchangeOf(host)).toMatchObject({ phase: 'cancelled', acknowledgedBy: [] });
  });
});
