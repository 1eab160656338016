/** What went wrong once in the procedures and must not again, worked by hand. */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { choicesFor, type StationEvent } from '../../src/procedures/index.js';
import { describeCancellation, describeNotice, describeRefusal } from '../../src/procedures/texts/index.js';
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
import { Host, choose } from './host.js';
import { areaAround } from '../../src/procedures/relayarea.js';

const distress = (...frequencies: number[]): StationEvent => ({
  type: 'distress',
  nature: 'flooding',
  followOn: 'j3e',
  frequencies,
});

const ship = (more = {}) => new Host({ identity: SHIP, seed: 1, ...more });
const coast = () => new Host({ identity: COAST, seed: 2 });

const offered = (host: Host) =>
  choicesFor(host.state, host.state.exchanges.at(-1)?.id ?? -1).map(({ choice }) => choice);
const told = (host: Host) => host.all('tell').map(describeNotice);
const sent = (host: Host) => host.all('transmit').map(({ call }) => call.kind);

/** An attempt on one frequency as it is heard: a call every 7.2 s (JP567), from when the first has been read. */
function hearAttempt(host: Host, seconds: number, calls = 5, hz = MF): void {
  for (let i = 0; i < calls; i++) {
    host.runTo(seconds + 7.2 * i);
    host.give(received(alertFrom(OTHER), hz));
  }
}

describe('a relay addressed to another station (M.493 §5, from memory)', () => {
  it.each([
    ['a ship', ship()],
    ['a coast station', coast()],
  ])('is not acknowledged by %s that overhears it', (_, host) => {
    host.give(received(relayOf(OTHER, { station: SECOND_COAST }, THIRD), HF8));
    expect(offered(host)).not.toContain('acknowledgeRelay');
    expect(choose(host, 'acknowledgeRelay')[0].type).toBe('refuse');
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual([]);
    expect(host.all('watch')).toHaveLength(1);
  });

  it('does not take the place of one that is addressed to me', () => {
    const host = coast();
    host.give(received(relayOf(OTHER, { station: COAST }, THIRD), HF8));
    host.give(received(relayOf(OTHER, { station: SECOND_COAST }, SHIP), HF8));
    choose(host, 'acknowledgeRelay');
    host.run(MINUTE);
    expect(host.all('transmit')[0].call).toMatchObject({
      kind: 'relayAcknowledgement',
      to: { station: THIRD },
    });
  });

  it('does not take it either where only the alert itself has been acknowledged', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), VHF));
    host.runTo(2);
    choose(host, 'acknowledge');
    host.runTo(10);
    host.give(received(relayOf(OTHER, { station: COAST }, THIRD), VHF));
    host.give(received(relayOf(OTHER, { station: SECOND_COAST }, SHIP), VHF));
    choose(host, 'acknowledgeRelay');
    host.runTo(20);
    expect(host.all('transmit').map(({ call }) => call)).toMatchObject([
      { kind: 'distressAcknowledgement' },
      { kind: 'relayAcknowledgement', to: { station: THIRD } },
    ]);
  });
});

describe('an own alert that does not go out', () => {
  it('is told at once, tried again after a second, and counted when it is out', () => {
    const host = ship();
    host.give(distress(MF));
    const [first] = host.all('transmit');
    host.runTo(2);
    host.give({ type: 'unsent', transmission: first.transmission });
    expect(told(host).at(-1)).toContain('was not sent');
    expect(host.state.exchanges[0]).toMatchObject({ phase: 'sending', attempts: 0 });
    host.runTo(3);
    expect(host.all('transmit').map(({ at, repeat }) => [at, repeat])).toEqual([
      [0, 5],
      [3000, 5],
    ]);
    // Five times 7.2 s (JP567).
    host.runTo(39);
    expect(host.state.exchanges[0]).toMatchObject({
      phase: 'waiting',
      attempts: 1,
      attemptAt: expect.any(Number) as number,
    });
    // The next attempt is counted from the beginning of the one that went out.
    const { nextAt = 0, attemptAt = 0 } = host.state.exchanges[0] as { nextAt?: number; attemptAt?: number };
    expect(nextAt - attemptAt).toBeGreaterThanOrEqual(3.5 * MINUTE);
    expect(nextAt - attemptAt).toBeLessThanOrEqual(4.5 * MINUTE);
  });

  it('is tried again on the frequency that failed, of several', () => {
    const host = ship();
    host.give(distress(MF, HF8));
    host.give({ type: 'unsent', transmission: host.all('transmit')[0].transmission });
    host.run(MINUTE);
    expect(host.all('transmit').map(({ frequencyHz }) => frequencyHz)).toEqual([MF, HF8, MF]);
  });

  it('is not tried again when it was broken off to be cancelled', () => {
    const host = ship();
    host.give(distress(MF));
    host.runTo(2);
    choose(host, 'cancel');
    host.run(10 * MINUTE);
    expect(sent(host)).toEqual(['distressAlert', 'ownAlertCancellation']);
  });
});

// M541-8 Annex 1 §3.3.5: an acknowledgement of the alert ends its repetition; a relay or its acknowledgement does not.
describe('what others relay of the own distress', () => {
  const relay = relayOf(SHIP, { station: COAST }, OTHER);
  it.each<[string, Call]>([
    ['the relay', relay],
    ['its acknowledgement', { ...relay, kind: 'relayAcknowledgement', to: { station: OTHER }, self: COAST }],
  ])('is told and is no distress of another: %s', (_, call) => {
    const host = ship();
    host.give(distress(MF));
    host.runTo(60);
    const before = host.state.exchanges;
    expect(host.give(received(call, MF))).toEqual([
      { type: 'tell', notice: { type: 'call', call, trust: 'sure' }, rule: 'distressTraffic' },
    ]);
    expect(host.state.exchanges).toEqual(before);
  });
});

describe('a position that cannot be one', () => {
  const good: StationEvent = { type: 'position', position: { latitude: 48, longitude: -12 }, time: '11:58' };
  const bad: [string, unknown, unknown][] = [
    ['NaN', { latitude: NaN, longitude: 0 }, '11:59'],
    ['500°', { latitude: 48, longitude: 500 }, '11:59'],
    ['nothing', undefined, '11:59'],
    ['text', 'here', '11:59'],
    ['null', null, 'none'],
  ];

  it.each(bad)('%s leaves the last good one, and blocks no alert', (_, position, time) => {
    const host = ship();
    host.give(good);
    expect(host.give({ type: 'position', position, time } as StationEvent)).toMatchObject([
      { type: 'refuse' },
    ]);
    host.give(distress(MF));
    host.run(5 * MINUTE);
    const calls = host.all('transmit').map(({ call }) => call);
    expect(calls).toHaveLength(2);
    for (const call of calls) expect(call).toMatchObject({ position: { latitude: 48 }, time: '11:58' });
  });

  it('with a time that cannot be one goes out without a time', () => {
    const host = ship();
    host.give({ type: 'position', position: { latitude: 48, longitude: -12 }, time: '99:99' });
    host.give(distress(MF));
    expect(host.all('transmit')[0].call).toMatchObject({ position: { latitude: 48 }, time: 'none' });
  });

  it('given with the alert itself does not stop it either', () => {
    const host = ship();
    host.give({ ...distress(MF), position: { latitude: 1e9, longitude: 0 } } as StationEvent);
    expect(host.all('transmit')[0].call).toMatchObject({ position: 'none', time: 'none' });
    expect(host.all('refuse')).toHaveLength(1);
  });

  it('read back from a file does not stop it either', () => {
    const host = ship();
    host.state = { ...host.state, position: { latitude: NaN, longitude: 0 }, positionTime: '99:99' };
    host.give(distress(MF));
    expect(host.all('transmit')[0].call).toMatchObject({ position: 'none', time: 'none' });
  });
});

describe('what a ship relays (FCC80 §80.1117(a) and §80.1121, C25 §2.3)', () => {
  it("is never a coast station's own relay", () => {
    const host = ship({ coastStation: SECOND_COAST });
    host.give(received(alertFrom(OTHER), HF8));
    host.runTo(30);
    host.give(received(relayOf(OTHER, 'allShips', COAST), HF8));
    host.run(20 * MINUTE);
    expect(offered(host)).not.toContain('relay');
    expect(choose(host, 'relay', { to: 'allShips' })[0].type).toBe('refuse');
    const byHand: StationEvent = { type: 'call', call: relayOf(OTHER, 'allShips', SHIP), frequencyHz: HF8 };
    expect(host.give(byHand)).toMatchObject([{ type: 'refuse' }]);
    host.run(21 * MINUTE);
    expect(sent(host)).toEqual([]);
  });

  it('waits 5 min from the alert itself, whatever another ship relayed before', () => {
    const host = ship({ coastStation: COAST });
    host.give(received(relayOf(OTHER, { station: SECOND_COAST }, THIRD), HF8));
    host.run(4 * MINUTE);
    host.give(received(alertFrom(OTHER), HF8));
    host.run(5.5 * MINUTE);
    expect(choose(host, 'relay')).toMatchObject([{ type: 'refuse' }]);
    host.run(9.1 * MINUTE);
    choose(host, 'relay');
    host.run(10 * MINUTE);
    expect(sent(host)).toEqual(['distressRelay']);
  });

  it('goes to its coast station unless another is named', () => {
    const host = ship({ coastStation: COAST });
    host.give(received(alertFrom(OTHER), HF8));
    host.run(5.1 * MINUTE);
    choose(host, 'relay');
    host.run(6 * MINUTE);
    expect(host.all('transmit')[0].call).toMatchObject({ to: { station: COAST }, casualty: OTHER });
    const nameless = ship();
    nameless.give(received(alertFrom(OTHER), HF8));
    nameless.run(5.1 * MINUTE);
    expect(choose(nameless, 'relay')).toMatchObject([{ type: 'refuse' }]);
  });

  it('is no MF alert, unless the casualty cannot alert and the master finds help necessary', () => {
    const host = ship({ coastStation: COAST });
    host.give(received(alertFrom(OTHER), MF));
    host.run(10 * MINUTE);
    expect(choose(host, 'relay')).toMatchObject([{ type: 'refuse' }]);
    choose(host, 'relay', { necessary: true });
    host.run(11 * MINUTE);
    expect(host.all('transmit')[0].call).toMatchObject({ kind: 'distressRelay', to: { station: COAST } });
  });

  it('of a coast station goes to an area on MF and HF, to all ships on VHF or without a position (M.493 §8.4, from memory)', () => {
    // 48.5 N ± 3: 51.5 and 45.5, in whole degrees 52 to 45. 3 / cos 52° = 4.87: 12.25 W ± 4.87 is 17.12 W and 7.38 W,
    // in whole degrees 18 W to 7 W.
    const area = { area: { latitude: 52, longitude: -18, south: 7, east: 11 } };
    for (const [hz, to] of [
      [MF, area],
      [VHF, 'allShips'],
    ] as const) {
      const host = coast();
      host.give(received(alertFrom(OTHER), hz));
      choose(host, 'relay');
      host.run(MINUTE);
      expect(host.all('transmit')[0].call).toMatchObject({ kind: 'distressRelay', to });
    }
    const host = coast();
    host.give(received({ ...alertFrom(OTHER), position: 'none' }, MF));
    choose(host, 'relay');
    host.run(MINUTE);
    expect(host.all('transmit')[0].call).toMatchObject({ to: 'allShips' });
  });

  it('is withdrawn when the casualty itself alerts on VHF before it went out, unless it is necessary', () => {
    for (const necessary of [false, true]) {
      const host = ship();
      host.give({ type: 'channel', frequencyHz: HF8, busy: true });
      host.give({ type: 'call', call: relayOf(OTHER, { station: COAST }, SHIP), frequencyHz: HF8 });
      host.give(received(alertFrom(OTHER), VHF));
      expect(told(host).some((text) => text.startsWith('The relay is withdrawn.'))).toBe(true);
      const again = choose(host, 'relay', { to: { station: COAST }, necessary, frequencyHz: HF8 });
      expect(again[0].type).toBe(necessary ? 'phase' : 'refuse');
      host.give({ type: 'channel', frequencyHz: HF8, busy: false });
      host.run(20 * MINUTE);
      expect(host.all('transmit').map(({ call }) => call.kind)).toEqual(necessary ? ['distressRelay'] : []);
    }
  });

  it('goes out again only where it may still go out, and asks what it needs', () => {
    const host = ship();
    host.give({ type: 'call', call: relayOf(OTHER, { station: COAST }, SHIP), frequencyHz: HF8 });
    host.run(2 * MINUTE);
    host.give(received(alertFrom(OTHER), VHF));
    const id = host.state.exchanges.find(({ kind }) => kind === 'outgoing')?.id ?? 0;
    expect(choicesFor(host.state, id)).toMatchObject([{ choice: 'resend', needs: 'necessary' }, {}]);
    const resend = (more: object) => host.give({ type: 'choose', exchange: id, choice: 'resend', ...more });
    expect(resend({})[0].type).toBe('refuse');
    expect(resend({ necessary: true })[0].type).toBe('phase');
    host.run(4 * MINUTE);
    host.give(received(acknowledgementFor(OTHER, SECOND_COAST), VHF));
    const [refused] = resend({ necessary: true });
    expect(refused.type === 'refuse' && describeRefusal(refused)).toMatch(/acknowledg/);
  });

  it('is withdrawn when a coast station acknowledges before it went out', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), HF8));
    host.run(5.1 * MINUTE);
    host.give({ type: 'channel', frequencyHz: HF8, busy: true });
    choose(host, 'relay', { to: { station: COAST } });
    host.give(received(acknowledgementFor(OTHER, COAST), HF8));
    host.give({ type: 'channel', frequencyHz: HF8, busy: false });
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual([]);
    expect(told(host).some((text) => text.includes('withdrawn'))).toBe(true);
  });

  it('is not sent again, nor put together by hand, after a coast station acknowledged', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), HF8));
    host.run(5.1 * MINUTE);
    choose(host, 'relay', { to: { station: COAST } });
    host.run(7 * MINUTE);
    host.give(received(acknowledgementFor(OTHER, SECOND_COAST), HF8));
    expect(choose(host, 'resend')).toMatchObject([{ type: 'refuse' }]);
    host.give({ type: 'choose', exchange: 1, choice: 'stop' });
    const byHand: StationEvent = {
      type: 'call',
      call: relayOf(OTHER, { station: COAST }, SHIP),
      frequencyHz: HF8,
    };
    expect(host.give(byHand)).toMatchObject([{ type: 'refuse' }]);
    expect(sent(host)).toEqual(['distressRelay']);
  });

  it('may be sent for a casualty that was not heard itself', () => {
    const host = ship();
    host.give({ type: 'call', call: relayOf(OTHER, { station: COAST }, SHIP), frequencyHz: MF });
    host.run(MINUTE);
    expect(sent(host)).toEqual(['distressRelay']);
  });
});

// It was taken for read with doubt, so that a coast station could not relay it and a ship was told a wrong reason.
describe('a distress that only an acknowledgement tells of', () => {
  it('may be relayed by a coast station (Radio Regulations 32.16, from memory)', () => {
    const host = new Host({ identity: COAST });
    host.give(received(acknowledgementFor(OTHER, SHIP), MF));
    const [{ id }] = host.state.exchanges;
    expect(choicesFor(host.state, id).map(({ choice, rule }) => [choice, rule])).toEqual([
      ['relay', 'coastRelays'],
      ['stop', 'operator'],
    ]);
    host.give({ type: 'choose', exchange: id, choice: 'relay', to: 'allShips' });
    expect(host.all('transmit')).toMatchObject([
      { call: relayOf(OTHER, 'allShips', COAST), frequencyHz: MF, rule: 'coastRelays' },
    ]);
  });

  it('is relayed by no ship: a coast station has acknowledged it', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(acknowledgementFor(OTHER, COAST), HF8));
    const call = relayOf(OTHER, { station: SECOND_COAST }, SHIP);
    host.give({ type: 'call', call, frequencyHz: HF8 });
    expect(host.all('refuse')).toMatchObject([{ refusal: { type: 'rule' }, rule: 'acknowledgedAlready' }]);
  });
});

describe('a relay on another band', () => {
  it('announces the telephony of that band', () => {
    const host = coast();
    host.give(received({ ...alertFrom(OTHER), followOn: 'f3e' }, VHF));
    choose(host, 'relay', { to: 'allShips', frequencyHz: MF });
    host.run(MINUTE);
    expect(host.all('transmit')[0].call).toMatchObject({ kind: 'distressRelay', followOn: 'j3e' });
  });
});

describe("a coast station's acknowledgement that waits", () => {
  it('is withdrawn when another coast station is first, and the person is told', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    choose(host, 'acknowledge');
    host.runTo(50);
    host.give(received(acknowledgementFor(OTHER, SECOND_COAST), MF));
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual([]);
    expect(told(host).some((text) => text.includes('withdrawn'))).toBe(true);
  });

  it('is withdrawn when another coast station acknowledges the own relay of it', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    choose(host, 'relay', { to: { station: SECOND_COAST } });
    host.runTo(20);
    host.give({ type: 'choose', exchange: 1, choice: 'acknowledge' });
    const relayed = relayOf(OTHER, { station: COAST }, SECOND_COAST);
    host.give(received({ ...relayed, kind: 'relayAcknowledgement' } as Call, MF));
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual(['distressRelay']);
  });

  it('stands when only a ship acknowledged', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    choose(host, 'acknowledge');
    host.runTo(50);
    host.give(received(acknowledgementFor(OTHER, THIRD), MF));
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual(['distressAcknowledgement']);
  });

  it('waits until the frequency is free, however long, and says so', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    choose(host, 'acknowledge');
    host.runTo(120);
    expect(sent(host)).toEqual([]);
    expect(told(host).some((text) => text.includes('until 2187.5 kHz is free'))).toBe(true);
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    expect(sent(host)).toEqual(['distressAcknowledgement']);
  });

  it('waits for the end of the attempt: a ship that is sending hears nothing', () => {
    const host = coast();
    hearAttempt(host, 12);
    choose(host, 'acknowledge');
    // The ship sends again by hand: heard from 67 s on, the last of five at 67 + 4 · 7.2 = 95.8 s.
    hearAttempt(host, 67);
    host.run(5 * MINUTE);
    const [acknowledgement] = host.all('transmit');
    expect(acknowledgement.at).toBeGreaterThan(95_800 + 7200);
    expect(acknowledgement.at).toBeLessThan(95_800 + 10_000);
    // Within 2 3/4 min of the first call (M541-8 Annex 1 §3.3.2).
    expect(acknowledgement.at).toBeLessThan(12_000 + 165_000);
    expect(told(host).some((text) => text.includes('goes out'))).toBe(true);
  });

  it('on VHF is brought to mind after a while, not at once', () => {
    const host = coast();
    host.give(received({ ...alertFrom(OTHER), followOn: 'f3e' }, VHF));
    host.run(20 * MINUTE);
    const late = host.all('tell').filter(({ notice }) => notice.type === 'acknowledgementOverdue');
    expect(late.map(({ at }) => at)).toEqual([2.75 * MINUTE]);
  });

  it('on VHF waits for the rest of five calls of 0.45 s', () => {
    const host = coast();
    for (let i = 0; i < 5; i++) {
      host.run(1000 + 450 * i);
      host.give(received({ ...alertFrom(OTHER), followOn: 'f3e' }, VHF));
      if (i === 0) choose(host, 'acknowledge');
    }
    host.runTo(20);
    expect(host.all('transmit')[0].at).toBeGreaterThan(1000 + 450 * 4);
    expect(host.all('transmit')[0].at).toBeLessThan(5000);
  });
});

describe("a ship's acknowledgement", () => {
  it('waits for a free frequency: the patience of an alert is not its', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), MF));
    host.runTo(20);
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    choose(host, 'acknowledge', { directed: true });
    host.runTo(200);
    expect(sent(host)).toEqual([]);
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    expect(sent(host)).toEqual(['distressAcknowledgement']);
  });
});

describe('an alert that comes again', () => {
  it('after the acknowledgement is open anew and acknowledged again', () => {
    const host = coast();
    hearAttempt(host, 12);
    choose(host, 'acknowledge');
    host.runTo(100);
    expect(sent(host)).toHaveLength(1);
    // The ship did not hear it: its next attempt, 4 min after the first.
    hearAttempt(host, 252);
    expect(host.state.exchanges).toMatchObject([{ kind: 'alert', phase: 'open', openings: 2 }]);
    expect(told(host).some((text) => text.includes('though it was acknowledged'))).toBe(true);
    choose(host, 'acknowledge');
    host.run(8 * MINUTE);
    expect(sent(host)).toEqual(['distressAcknowledgement', 'distressAcknowledgement']);
    const [, second] = host.all('transmit');
    // A minute after its first call (M541-8 Annex 1 §3.3.2).
    expect(second.at).toBe(312_000);
  });

  it('takes back a repeated acknowledgement that still waits', () => {
    const host = coast();
    hearAttempt(host, 12);
    choose(host, 'acknowledge');
    host.runTo(100);
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    choose(host, 'again');
    hearAttempt(host, 252, 1);
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    host.runTo(270);
    expect(sent(host)).toEqual(['distressAcknowledgement']);
    expect(offered(host)).toContain('acknowledge');
  });

  it('with another nature soon after the acknowledgement is a new one', () => {
    const host = coast();
    hearAttempt(host, 12);
    choose(host, 'acknowledge');
    host.runTo(82);
    host.give(received({ ...alertFrom(OTHER), nature: 'sinking' }, MF));
    expect(host.state.exchanges.at(-1)).toMatchObject({ phase: 'open' });
    choose(host, 'acknowledge');
    host.run(5 * MINUTE);
    expect(host.all('transmit').at(-1)?.call).toMatchObject({
      kind: 'distressAcknowledgement',
      nature: 'sinking',
    });
  });

  // Common practice, no source: who is to help needs to know what the distress is now.
  it.each([
    ['nature', { nature: 'sinking' }],
    ['position', { position: { latitude: 49, longitude: -12.25 } }],
    ['time', { time: '11:55' }],
  ] as const)('with another %s is told at once, though nobody acknowledged the first', (_, change) => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    host.runTo(20);
    host.give(received({ ...alertFrom(OTHER), ...change }, MF));
    expect(host.all('tell').at(-1)).toMatchObject({
      at: 20_000,
      notice: { type: 'alert', casualty: OTHER, frequencyHz: MF, time: 'again' },
      rule: 'coastWaits',
    });
    expect(host.all('watch').at(-1)?.call).toMatchObject(change);
  });

  it('with another nature soon after it was closed is a new one', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    choose(host, 'stop');
    host.runTo(14.4);
    host.give(received({ ...alertFrom(OTHER), nature: 'sinking' }, MF));
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }, { phase: 'open' }]);
  });

  it('as the rest of an attempt that another station acknowledged stays acknowledged', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), MF));
    host.runTo(5);
    host.give(received(acknowledgementFor(OTHER, COAST), MF));
    // The ship ends its five calls: 36.0 s at most (JP567).
    hearAttempt(host, 7.2, 4);
    expect(host.state.exchanges).toMatchObject([{ phase: 'acknowledged', openings: 1 }]);
  });

  it('changes where a repeated acknowledgement goes and what it says', () => {
    const host = coast();
    hearAttempt(host, 12);
    choose(host, 'acknowledge');
    // The acknowledgement goes out at 72 s and takes 8.6 s; the alert comes on another frequency right after.
    host.runTo(82);
    host.give(received({ ...alertFrom(OTHER), followOn: 'none' }, HF8));
    choose(host, 'again');
    host.run(3 * MINUTE);
    expect(host.all('transmit').at(-1)).toMatchObject({
      frequencyHz: HF8,
      call: { kind: 'distressAcknowledgement', followOn: 'none' },
    });
  });
});

// FCC80 §80.335: the ship itself took its alert back, and nothing more is sent about it.
describe('an alert that was cancelled', () => {
  const cancellation: Call = { ...alertFrom(OTHER), kind: 'ownAlertCancellation' };
  const relay = relayOf(OTHER, { station: COAST }, SHIP);

  it('after the operator had closed it is not relayed by hand', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), HF8));
    choose(host, 'stop');
    host.runTo(60);
    host.give(received(cancellation, HF8));
    expect(host.state.exchanges).toMatchObject([{ phase: 'cancelled' }]);
    host.run(6 * MINUTE);
    expect(host.give({ type: 'call', call: relay, frequencyHz: HF8 })).toEqual([
      { type: 'refuse', refusal: { type: 'rule' }, rule: 'alertCancelled' },
    ]);
  });

  it('without having been heard is not relayed again, unless the ship calls again', () => {
    const host = ship();
    host.give({ type: 'call', call: relay, frequencyHz: MF });
    host.run(2 * MINUTE);
    host.give(received(cancellation, MF));
    expect(host.all('tell').at(-1)).toMatchObject({
      notice: { type: 'alertCancelled', casualty: OTHER, frequencyHz: MF },
      rule: 'alertCancelled',
    });
    const resend = () =>
      host
        .give({ type: 'choose', exchange: 1, choice: 'resend', necessary: true })
        .map(({ type, rule }) => [type, rule]);
    expect(resend()).toEqual([['refuse', 'alertCancelled']]);
    host.run(3 * MINUTE);
    host.give(received(alertFrom(OTHER), MF));
    expect(resend()[0][0]).toBe('phase');
  });
});

describe('memory', () => {
  it('keeps the own distress however many others alert', () => {
    const host = ship();
    host.give(distress(MF));
    host.runTo(60);
    host.give(received(acknowledgementFor(SHIP, COAST), MF));
    for (let i = 0; i < 520; i++) {
      host.run(host.time + 1000);
      host.give(received(alertFrom(String(299_100_000 + i)), MF));
    }
    const own = host.state.exchanges.find(({ kind }) => kind === 'distress');
    expect(own).toMatchObject({ phase: 'acknowledged' });
    expect(host.state.exchanges.length).toBeLessThanOrEqual(501);
    // It can still be cancelled.
    host.give({ type: 'choose', exchange: own?.id ?? 0, choice: 'cancel' });
    host.run(host.time + MINUTE);
    expect(sent(host).at(-1)).toBe('ownAlertCancellation');
    expect(told(host).some((text) => text.includes('forgotten'))).toBe(true);
  });

  it('lets finished exchanges go before open ones', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    for (let i = 0; i < 520; i++) {
      host.run(host.time + 1000);
      host.give(received({ kind: 'testCall', to: { station: COAST }, self: String(299_100_000 + i) }, VHF));
      choose(host, 'stop');
    }
    expect(host.state.exchanges[0]).toMatchObject({ kind: 'alert', phase: 'open' });
  });
});

describe('calls of a coast station (M.541 Annex 2, from memory)', () => {
  const call: Call = {
    kind: 'routineCall',
    to: { station: SHIP },
    self: COAST,
    telecommand1: 'j3e',
    telecommand2: 'none',
    message: { receive: { hz: 2_246_000 }, transmit: { hz: 2_051_000 } },
  };
  const again = (host: Host) => host.give({ type: 'call', call, frequencyHz: 2_177_000 });

  it('come twice at least 45 s apart, then after 15 min, at most five times in 24 hours', () => {
    const host = coast();
    again(host);
    // 200 dots and 31 · 20 bits at 100 Bd: 8.2 s.
    host.runTo(52);
    expect(again(host)).toMatchObject([{ type: 'refuse' }]);
    host.runTo(54);
    again(host);
    expect(sent(host)).toHaveLength(2);
    host.run(60 * MINUTE);
    for (let minutes = 1; minutes <= 23 * 60; minutes += 5) {
      host.run((60 + minutes) * MINUTE);
      again(host);
    }
    expect(sent(host)).toHaveLength(5);
    host.run(25.5 * 60 * MINUTE);
    again(host);
    expect(sent(host)).toHaveLength(6);
  });
});

describe('an acknowledgement of a call to a group of coast stations (NAVCEN: 00MID9999)', () => {
  it('comes from a station with another identity', () => {
    const host = ship();
    host.give({
      type: 'call',
      call: { kind: 'testCall', to: { station: '002999999' }, self: SHIP },
      frequencyHz: MF,
    });
    host.runTo(15);
    host.give(received({ kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST }, MF));
    expect(host.state.exchanges).toMatchObject([{ phase: 'answered' }]);
    const member = new Host({ identity: COAST, groups: ['002999999'], automatic: { test: true } });
    member.give(received({ kind: 'testCall', to: { station: '002999999' }, self: SHIP }, MF));
    member.runTo(10);
    expect(member.all('transmit')[0].call).toMatchObject({ kind: 'testAcknowledgement', self: COAST });
  });
});

describe('the words that cancel an alert (FCC80 §80.335; Radio Regulations 32.53A to 32.53F, from memory)', () => {
  it('are all stations three times, the name three times, call sign, identity and position', () => {
    const host = ship({ name: 'Grey Petrel', callSign: 'ZZ9AB' });
    host.give({ type: 'position', position: { latitude: 48.5, longitude: -12.25 }, time: '11:58' });
    host.give(distress(MF));
    host.runTo(40);
    choose(host, 'cancel');
    host.runTo(60);
    const said = host.all('watch').at(-1)?.say;
    expect(said && describeCancellation(said)).toBe(
      'All stations, all stations, all stations, this is Grey Petrel, Grey Petrel, Grey Petrel, call sign ZZ9AB, ' +
        'MMSI 299 000 111, position 48°30\u2032N 012°15\u2032W. Please cancel my distress alert of 12:00 UTC.',
    );
  });
});

describe('the area around a casualty', () => {
  it('goes on across the meridian of 180 degrees and ends at the poles', () => {
    // cos 14° = 0.970: 10 / 0.970 = 10.31; 179.5 W − 10.31 is 170.19 E, and 179.5 W + 10.31 is 169.19 W.
    expect(areaAround({ latitude: 3.5, longitude: -179.5 }, 10)).toEqual({
      latitude: 14,
      longitude: 170,
      south: 21,
      east: 21,
    });
    // As wide as two digits hold: 10 E ± 49.
    expect(areaAround({ latitude: 88, longitude: 10 }, 3)).toEqual({
      latitude: 90,
      longitude: -39,
      south: 5,
      east: 98,
    });
  });
});

// M541-8 Annex 1 §3.3.2, FCC80 §80.1121(b): an acknowledgement that did not go out acknowledged nothing.
describe('the reminder of an alert that nobody acknowledged', () => {
  const reminders = (host: Host) =>
    host
      .all('tell')
      .filter(({ notice: { type } }) => type === 'acknowledgementOverdue' || type === 'noCoastStation')
      .map(({ at, notice, rule }) => [at / MINUTE, notice, rule]);
  const overdue = [2.75, { type: 'acknowledgementOverdue', casualty: OTHER }, 'coastWaits'];

  it.each<[string, () => Host, object, unknown[]]>([
    ['a coast station', coast, {}, overdue],
    ['a ship', ship, { directed: true }, [5, { type: 'noCoastStation', casualty: OTHER }, 'tellCoast']],
  ])('comes also where the acknowledgement of %s did not go out', (_, make, more, reminder) => {
    const host = make();
    host.give(received(alertFrom(OTHER), MF));
    host.runTo(61);
    choose(host, 'acknowledge', more);
    host.give({ type: 'unsent', transmission: host.all('transmit')[0].transmission });
    host.run(20 * MINUTE);
    expect(reminders(host)).toEqual([reminder]);
  });

  it('comes while the acknowledgement still waits for a free frequency', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    host.runTo(90);
    choose(host, 'acknowledge');
    host.run(20 * MINUTE);
    expect(reminders(host)).toEqual([overdue]);
  });

  it('of the alert itself stands when only a relay of it was acknowledged', () => {
    const host = coast();
    host.give(received(alertFrom(OTHER), MF));
    host.give(received(relayOf(OTHER, { station: COAST }, THIRD), MF));
    host.runTo(30);
    choose(host, 'acknowledgeRelay');
    host.run(20 * MINUTE);
    expect(sent(host)).toEqual(['relayAcknowledgement']);
    expect(reminders(host)).toEqual([overdue]);
  });

  // M541-8 Annex 1 §3.3.2, FCC80 §80.1121(b) and (c): whatever others said of it before.
  it.each<[string, () => Host, number, unknown[]]>([
    ['a coast station', coast, MF, [3.75, ...overdue.slice(1)]],
    ['a ship on MF', ship, MF, [6, { type: 'noCoastStation', casualty: OTHER }, 'tellCoast']],
    ['a ship on HF', ship, HF8, [6, { type: 'noCoastStation', casualty: OTHER }, 'hfRelay']],
  ])(
    'comes to %s that heard a relay before the alert itself, counted from the alert',
    (_, make, hz, late) => {
      const host = make();
      host.give(received(relayOf(OTHER, { station: SECOND_COAST }, THIRD), hz));
      host.run(MINUTE);
      host.give(received(alertFrom(OTHER), hz));
      expect(host.all('tell').at(-1)?.notice).toMatchObject({ type: 'alert', time: 'first' });
      host.run(20 * MINUTE);
      expect(reminders(host)).toEqual([late]);
    },
  );
});
