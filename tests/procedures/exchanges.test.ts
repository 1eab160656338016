/** Whole exchanges as ITU-R M.541 has them (from memory), written out by hand. */
import { describe, expect, it } from 'vitest';
import { encodeCall, type Call, type DistressAlert } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import { frameCall } from '../../src/frames/index.js';
import {
  acknowledgementOf,
  choicesFor,
  createStation,
  isWithin,
  stepStation,
  type AlertExchange,
  type StationEvent,
} from '../../src/procedures/index.js';
import { RULES, describeCancellation, describeNotice } from '../../src/procedures/texts/index.js';
import { refusal } from '../refusal.js';
import {
  COAST,
  HF8,
  MF,
  MINUTE,
  OTHER,
  SHIP,
  VHF,
  acknowledgementFor,
  alertFrom,
  received,
} from './calls.js';
import { Host, NOON, choose } from './host.js';

const ALL_SIX = [MF, 4_207_500, 6_312_000, HF8, 12_577_000, 16_804_500];

const distress = (frequencies: number[]): StationEvent => ({
  type: 'distress',
  nature: 'flooding',
  followOn: 'j3e',
  frequencies,
});

const ship = (seed = 1) => new Host({ identity: SHIP, seed });
const coast = () => new Host({ identity: COAST, seed: 2 });

describe('the own distress (M541-8 Annex 1 §3.1)', () => {
  it('is five calls in a row on one frequency, and 36.0 s on the air (JP567)', () => {
    const host = ship();
    host.give(distress([MF]));
    const [transmit] = host.all('transmit');
    expect(transmit).toMatchObject({ repeat: 5, frequencyHz: MF, at: 0 });
    // Five times 200 dots and 520 bits at 100 Bd: 5 · 7.2 s.
    expect(frameCall(encodeCall(transmit.call), { repeat: transmit.repeat }).duration).toBeCloseTo(36, 9);
    host.run(40_000);
    expect(host.story()).toEqual([
      '0.0 distress sending',
      '0.0 watch voice (J3E) on 2182.0 kHz',
      '0.0 send distressAlert x5 on 2187.5',
      '36.0 distress waiting',
    ]);
  });

  it('is one call on each of six frequencies, in less than a minute', () => {
    const host = ship();
    host.give(distress(ALL_SIX));
    host.run(MINUTE);
    const sent = host.all('transmit');
    expect(sent.map(({ frequencyHz, repeat, at }) => [frequencyHz, repeat, at / 1000])).toEqual([
      [MF, 1, 0],
      [4_207_500, 1, 7.2],
      [6_312_000, 1, 14.4],
      [HF8, 1, 21.6],
      [12_577_000, 1, 28.8],
      [16_804_500, 1, 36],
    ]);
    expect(host.all('phase').at(-1)).toMatchObject({ to: 'waiting', at: 43_200 });
  });

  it('goes out on VHF at the same time as on MF and HF', () => {
    const host = ship();
    host.give(distress([VHF, MF, HF8]));
    expect(host.all('transmit').map(({ frequencyHz, repeat }) => [frequencyHz, repeat])).toEqual([
      [MF, 1],
      [VHF, 5],
    ]);
    host.run(20_000);
    expect(host.all('transmit').map(({ frequencyHz }) => frequencyHz)).toEqual([MF, VHF, HF8]);
  });

  it('is repeated 3.5 to 4.5 min after the beginning of the attempt before, at random', () => {
    const gaps: number[] = [];
    for (let seed = 0; seed < 40; seed++) {
      const host = ship(seed);
      host.give(distress([MF]));
      host.run(30 * MINUTE);
      const starts = host.all('transmit').map(({ at }) => at);
      gaps.push(...starts.slice(1).map((at, i) => at - starts[i]));
    }
    expect(gaps.length).toBeGreaterThan(40 * 5);
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(3.5 * MINUTE);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(4.5 * MINUTE);
    // A uniform choice: its mean is 4 min with a standard error of 1000/√12/√240 ≈ 1.1 s; 6 s is beyond five of them.
    const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
    expect(Math.abs(mean - 4 * MINUTE)).toBeLessThan(6000);
    expect(Math.min(...gaps)).toBeLessThan(3.6 * MINUTE);
    expect(Math.max(...gaps)).toBeGreaterThan(4.4 * MINUTE);
  });

  it('ends with the acknowledgement, and traffic follows by voice', () => {
    const host = ship();
    host.give(distress([MF]));
    host.runTo(95);
    host.give(received(acknowledgementFor(SHIP), MF));
    host.run(30 * MINUTE);
    expect(host.story().slice(3)).toEqual([
      '36.0 distress waiting',
      '95.0 distress acknowledged',
      '95.0 watch voice (J3E) on 2182.0 kHz',
    ]);
  });

  it('keeps what it is sending when the acknowledgement comes during an attempt, and sends no more', () => {
    const host = ship();
    host.give(distress(ALL_SIX));
    host.runTo(10);
    host.give(received(acknowledgementFor(SHIP), MF));
    host.run(30 * MINUTE);
    expect(host.all('transmit').map(({ frequencyHz }) => frequencyHz)).toEqual([MF, 4_207_500]);
    expect(host.all('cease')).toEqual([]);
  });

  it.each([
    ['for another ship', acknowledgementFor(OTHER), 'clean'],
    ['read with doubt', acknowledgementFor(SHIP), 'doubtful'],
    [
      'by a sequence the tables do not allow',
      { ...acknowledgementFor(SHIP), eos: 'acknowledgeGiven' },
      'clean',
    ],
    ['of a relay of it', { ...acknowledgementFor(SHIP), kind: 'distressRelay', to: 'allShips' }, 'clean'],
  ] as const)('does not end with an acknowledgement %s', (_, call, quality) => {
    const host = ship();
    host.give(distress([MF]));
    host.runTo(60);
    host.give({ type: 'received', call: call as Call, frequencyHz: MF, quality });
    host.run(10 * MINUTE);
    expect(host.all('transmit').length).toBeGreaterThanOrEqual(3);
  });

  it('is cancelled on every frequency it went out on, then by voice on the partner of each', () => {
    const host = ship();
    host.give(distress([MF, HF8, VHF]));
    host.runTo(20);
    choose(host, 'cancel');
    host.runTo(60);
    const story = host.story();
    expect(story.slice(story.indexOf('20.0 distress cancelling'))).toEqual([
      '20.0 distress cancelling',
      '20.0 send ownAlertCancellation on 2187.5',
      '20.0 send ownAlertCancellation on 156525',
      // 200 dots and (6 + 27) · 20 bits at 100 Bd: 8.6 s; two formats, 21 characters of body, EOS, ECC, EOS, EOS.
      '28.6 send ownAlertCancellation on 8414.5',
      '37.2 distress cancelled',
      '37.2 watch voice (J3E) on 2182.0 kHz',
      '37.2 watch voice (F3E/G3E) on VHF channel 16 (156.800 MHz)',
      '37.2 watch voice (J3E) on 8291.0 kHz',
    ]);
    const said = host.all('watch').at(-1)?.say;
    expect(said && describeCancellation(said)).toMatch(/299 000 111.*12:00 UTC/);
    const [alert] = host.all('transmit');
    const cancellation = host.all('transmit').at(-1)?.call;
    expect(cancellation).toMatchObject({ self: SHIP, nature: 'flooding' });
    expect(cancellation).toMatchObject({ position: (alert.call as DistressAlert).position });
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toHaveLength(6);
  });

  it('breaks an attempt off to cancel it, and cancels where it had begun', () => {
    const host = ship();
    host.give(distress([MF, HF8]));
    host.runTo(3);
    choose(host, 'cancel');
    host.run(MINUTE);
    expect(host.story().slice(3)).toEqual([
      '0.0 send distressAlert on 2187.5',
      '3.0 cease',
      '3.0 distress cancelling',
      '3.0 send ownAlertCancellation on 2187.5',
      '11.6 distress cancelled',
      '11.6 watch voice (J3E) on 2182.0 kHz',
    ]);
  });

  it('needs no cancellation before anything was sent', () => {
    const host = ship();
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    host.give(distress([MF]));
    host.run(500);
    choose(host, 'cancel');
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(host.state.exchanges[0].phase).toBe('stopped');
  });

  it('is stopped by hand, may be sent again and cancelled after that', () => {
    const host = ship();
    host.give(distress([MF]));
    host.runTo(40);
    choose(host, 'stop');
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toHaveLength(1);
    choose(host, 'resend');
    host.run(20 * MINUTE + 1000);
    expect(host.all('transmit')).toHaveLength(2);
    choose(host, 'cancel');
    host.run(21 * MINUTE);
    expect(host.state.exchanges[0].phase).toBe('cancelled');
  });

  it('waits a second for a free frequency and no longer', () => {
    const host = ship();
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    host.give(distress([MF]));
    host.run(MINUTE);
    expect(host.all('transmit')[0].at).toBe(1000);
  });

  it('breaks off another call', () => {
    const host = ship();
    host.give({
      type: 'call',
      call: { kind: 'testCall', to: { station: COAST }, self: SHIP },
      frequencyHz: MF,
    });
    host.runTo(2);
    host.give(distress([MF]));
    host.runTo(3);
    expect(host.story()).toEqual([
      '0.0 outgoing sending',
      '0.0 send testCall on 2187.5',
      '2.0 distress sending',
      '2.0 watch voice (J3E) on 2182.0 kHz',
      '2.0 cease',
      '2.0 outgoing unanswered',
      '2.0 send distressAlert x5 on 2187.5',
    ]);
  });

  it('carries the own position of each attempt', () => {
    const host = ship();
    host.give({ type: 'position', position: { latitude: 48, longitude: -12 }, time: '11:58' });
    host.give(distress([MF]));
    host.runTo(60);
    host.give({ type: 'position', position: { latitude: 48.1, longitude: -12 }, time: '12:01' });
    host.run(5 * MINUTE);
    expect(host.all('transmit').map(({ call }) => call)).toMatchObject([
      { position: { latitude: 48 }, time: '11:58' },
      { position: { latitude: 48.1 }, time: '12:01' },
    ]);
  });

  it.each([
    ['none', []],
    ['seven of MF and HF', [...ALL_SIX, 8_415_000]],
    ['two on VHF', [VHF, 156_800_000]],
  ])('refuses frequencies: %s', (_, frequencies) => {
    const host = ship();
    expect(() => host.give(distress(frequencies))).toThrow(DotphaseError);
  });
});

describe('an alert heard by a coast station (M541-8 Annex 1 §3.3)', () => {
  it('is acknowledged by hand on MF, no sooner than a minute after it came', () => {
    const host = coast();
    host.give(received(alertFrom(SHIP), MF));
    host.runTo(10);
    expect(host.all('transmit')).toEqual([]);
    choose(host, 'acknowledge');
    host.runTo(100);
    expect(host.story()).toEqual([
      '0.0 alert open',
      '0.0 watch voice (J3E) on 2182.0 kHz',
      '60.0 send distressAcknowledgement on 2187.5',
      '68.6 alert acknowledged',
      '68.6 watch voice (J3E) on 2182.0 kHz',
    ]);
    expect(host.all('transmit')[0].call).toEqual(acknowledgementFor(SHIP));
    expect(host.all('transmit')[0].repeat).toBe(1);
  });

  it('is acknowledged at once on VHF', () => {
    const host = coast();
    host.give(received({ ...alertFrom(SHIP), followOn: 'f3e' }, VHF));
    host.runTo(4);
    choose(host, 'acknowledge');
    host.runTo(10);
    expect(host.all('transmit')).toMatchObject([{ at: 4000, frequencyHz: VHF }]);
  });

  it('is brought to mind after two and three quarter minutes', () => {
    const host = coast();
    host.give(received(alertFrom(SHIP), MF));
    host.run(20 * MINUTE);
    expect(host.all('tell').map(({ at }) => at / MINUTE)).toEqual([0, 2.75]);
    expect(host.all('transmit')).toEqual([]);
  });

  it('is one alert whether it comes five times in a row or on several frequencies', () => {
    const host = coast();
    for (const [seconds, hz] of [
      [7, MF],
      [12, MF],
      [18, MF],
      [20, HF8],
    ]) {
      host.runTo(seconds);
      host.give(received(alertFrom(SHIP), hz));
    }
    expect(host.state.exchanges).toHaveLength(1);
    const { heard } = host.state.exchanges[0] as AlertExchange;
    expect(heard.map(({ frequencyHz, count }) => [frequencyHz, count])).toEqual([
      [MF, 3],
      [HF8, 1],
    ]);
  });

  it('stays closed for the attempt in which it was closed, and is opened by the next', () => {
    const host = coast();
    host.give(received(alertFrom(SHIP), MF));
    choose(host, 'stop');
    host.runTo(5);
    host.give(received(alertFrom(SHIP), MF));
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }]);
    host.runTo(240);
    host.give(received(alertFrom(SHIP), MF));
    expect(host.state.exchanges).toMatchObject([{ phase: 'closed' }, { phase: 'open' }]);
  });

  it('is not acknowledged when it was read with doubt, or was only relayed', () => {
    for (const event of [
      { ...received(alertFrom(SHIP), MF), quality: 'doubtful' },
      received(
        { ...alertFrom(SHIP), kind: 'distressRelay', to: 'allShips', self: OTHER, casualty: SHIP },
        MF,
      ),
    ] as StationEvent[]) {
      const host = coast();
      host.give(event);
      expect(choose(host, 'acknowledge')[0].type).toBe('refuse');
      host.run(10 * MINUTE);
      expect(host.all('transmit')).toEqual([]);
    }
  });

  it('falls silent when the ship cancels it', () => {
    const host = coast();
    host.give(received(alertFrom(SHIP), MF));
    host.runTo(5);
    choose(host, 'acknowledge');
    host.runTo(30);
    host.give(received({ ...alertFrom(SHIP), kind: 'ownAlertCancellation' }, MF));
    host.run(10 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(host.state.exchanges[0].phase).toBe('cancelled');
  });

  it('acknowledges the relay of a ship by DSC, by hand', () => {
    const host = coast();
    const relay: Call = {
      ...alertFrom(OTHER),
      kind: 'distressRelay',
      to: { station: COAST },
      self: SHIP,
      casualty: OTHER,
    };
    host.give(received(relay, HF8));
    host.runTo(20);
    expect(host.all('transmit')).toEqual([]);
    choose(host, 'acknowledgeRelay');
    host.runTo(40);
    expect(host.all('transmit')[0].call).toEqual({
      ...relay,
      kind: 'relayAcknowledgement',
      to: { station: SHIP },
      self: COAST,
    });
  });
});

describe('an alert heard by a ship (FCC80 §80.1121, C25)', () => {
  it('is left to coast stations on MF, and watched by voice', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), MF));
    host.runTo(60);
    expect(choose(host, 'acknowledge')[0]).toMatchObject({ type: 'refuse' });
    host.runTo(80);
    host.give(received(acknowledgementFor(OTHER), MF));
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(host.story().filter((line) => !line.includes('refuse'))).toEqual([
      '0.0 alert open',
      '0.0 watch voice (J3E) on 2182.0 kHz',
      '80.0 alert acknowledged',
      '80.0 watch voice (J3E) on 2182.0 kHz',
    ]);
  });

  // FCC80 §80.1117(a) and §80.1121(d): by DSC only after consultation with a coast station or rescue centre.
  it('is not acknowledged on MF however long nobody answers, and a coast station is told after five minutes', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), MF));
    host.run(4 * MINUTE);
    host.give(received(alertFrom(OTHER), MF));
    host.run(8 * MINUTE);
    const [refused] = choose(host, 'acknowledge');
    expect(refused.type).toBe('refuse');
    expect(RULES[refused.rule].source).toContain('FCC80 §80.1117(a)');
    expect(host.all('transmit')).toEqual([]);
    // FCC80 §80.1121(b): an unacknowledged MF alert is told to a coast station.
    const told = host.all('tell').filter((action) => describeNotice(action).includes('No coast station'));
    expect(told.map(({ at }) => at)).toEqual([5 * MINUTE]);
  });

  it('is acknowledged when a coast station was consulted', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), VHF));
    host.runTo(30);
    choose(host, 'acknowledge', { directed: true });
    host.runTo(40);
    expect(host.all('transmit')).toMatchObject([{ at: 30_000, frequencyHz: VHF }]);
  });

  it('is never acknowledged on HF, and relayed to a coast station after five minutes', () => {
    const host = ship();
    host.give(received(alertFrom(OTHER), HF8));
    expect(choose(host, 'acknowledge', { directed: true })[0].type).toBe('refuse');
    host.run(4.9 * MINUTE);
    expect(choose(host, 'relay', { to: { station: COAST } })[0].type).toBe('refuse');
    host.run(5.1 * MINUTE);
    expect(choose(host, 'relay', { to: 'allShips' })[0].type).toBe('refuse');
    choose(host, 'relay', { to: { station: COAST } });
    host.run(5.3 * MINUTE);
    const [relay] = host.all('transmit');
    expect(relay).toMatchObject({ repeat: 1, frequencyHz: HF8 });
    expect(relay.call).toEqual({
      ...alertFrom(OTHER),
      kind: 'distressRelay',
      to: { station: COAST },
      self: SHIP,
      casualty: OTHER,
    });
    host.give(
      received(
        {
          ...(relay.call as Call & { kind: 'distressRelay' }),
          kind: 'relayAcknowledgement',
          to: { station: SHIP },
          self: COAST,
        },
        HF8,
      ),
    );
    expect(host.state.exchanges.map(({ kind, phase }) => [kind, phase])).toEqual([
      ['alert', 'acknowledged'],
      ['outgoing', 'answered'],
    ]);
  });
});

describe('calls that ask for an acknowledgement (M.541 Annex 1 §4, Annex 3 §4 and §5, from memory)', () => {
  const test: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
  const testAnswer: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST };
  const routine: Call = {
    kind: 'routineCall',
    to: { station: OTHER },
    self: SHIP,
    telecommand1: 'f3e',
    telecommand2: 'none',
    message: { receive: { vhfChannel: 72 }, transmit: 'none' },
  };

  it('answers a test at the second attempt', () => {
    const host = ship();
    host.give({ type: 'call', call: test, frequencyHz: MF });
    host.runTo(70);
    choose(host, 'resend');
    host.runTo(80);
    host.give(received(testAnswer, MF));
    host.run(20 * MINUTE);
    // 20 dots (the called is a coast station) and (6 + 25) · 20 bits at 100 Bd: 6.4 s. Then 60 s (common practice, no source).
    expect(host.story()).toEqual([
      '0.0 outgoing sending',
      '0.0 send testCall on 2187.5',
      '6.4 outgoing awaiting',
      '66.4 outgoing unanswered',
      '70.0 outgoing sending',
      '70.0 send testCall on 2187.5',
      '76.4 outgoing awaiting',
      '80.0 outgoing answered',
    ]);
    expect(host.state.exchanges).toMatchObject([{ phase: 'answered', attempts: 2, acknowledgements: 1 }]);
  });

  it('counts a late acknowledgement and says so, and a second one only as such', () => {
    const host = ship();
    host.give({ type: 'call', call: test, frequencyHz: MF });
    host.run(2 * MINUTE);
    host.give(received(testAnswer, MF));
    expect(host.all('tell').at(-2)?.notice).toMatchObject({ when: 'late' });
    host.give(received(testAnswer, MF));
    expect(host.all('tell').at(-1)?.notice.type).toBe('acknowledgedAgain');
    expect(host.state.exchanges).toMatchObject([{ phase: 'answered', acknowledgements: 2 }]);
  });

  it.each([
    ['before the call was sent', 3000, MF, testAnswer],
    ['from another station', 9000, MF, { ...testAnswer, self: '002990002' }],
    ['for another station', 9000, MF, { ...testAnswer, to: { station: OTHER } }],
    ['of another kind', 9000, MF, { ...testAnswer, kind: 'pollingReply' }],
    ['long after', 20 * MINUTE, MF, testAnswer],
  ] as const)('does not count an acknowledgement %s', (_, at, hz, call) => {
    const host = ship();
    host.give({ type: 'call', call: test, frequencyHz: MF });
    host.run(at);
    host.give(received(call, hz));
    expect(host.state.exchanges[0]).toMatchObject({ acknowledgements: 0 });
  });

  it('tells several pending calls apart by what the acknowledgement repeats', () => {
    const host = ship();
    const other: Call = { ...routine, message: { receive: { vhfChannel: 77 }, transmit: 'none' } };
    host.give({ type: 'call', call: routine, frequencyHz: VHF });
    host.give({ type: 'call', call: other, frequencyHz: VHF });
    host.runTo(5);
    const answer = (call: Call) => acknowledgementOf(call, { type: 'able' }, { self: OTHER });
    host.give(received(answer(routine), VHF));
    expect(host.state.exchanges.map(({ phase }) => phase)).toEqual(['answered', 'awaiting']);
    host.give(received(answer(other), VHF));
    expect(host.state.exchanges.map(({ phase }) => phase)).toEqual(['answered', 'answered']);
    expect(host.followUps().map(({ text }) => text)).toEqual([
      'voice (F3E/G3E) on VHF channel 72 (156.625 MHz)',
      'voice (F3E/G3E) on VHF channel 77 (156.875 MHz)',
    ]);
  });

  it('repeats a routine call after 5 minutes and again after 15', () => {
    const host = ship();
    host.give({ type: 'call', call: routine, frequencyHz: VHF });
    host.run(4.9 * MINUTE);
    expect(choose(host, 'resend')[0].type).toBe('refuse');
    host.run(5.1 * MINUTE);
    choose(host, 'resend');
    host.run(11 * MINUTE);
    expect(choose(host, 'resend')[0].type).toBe('refuse');
    host.run(20.2 * MINUTE);
    choose(host, 'resend');
    expect(host.all('transmit')).toHaveLength(3);
  });

  it.each([
    [
      'able',
      {},
      {
        telecommand1: 'f3e',
        telecommand2: 'none',
        message: { receive: { vhfChannel: 72 }, transmit: 'none' },
      },
      'voice (F3E/G3E) on VHF channel 72 (156.625 MHz)',
    ],
    [
      'unable',
      { reason: 'busy' },
      { telecommand1: 'unable', telecommand2: 'busy', message: { receive: 'none', transmit: 'none' } },
      undefined,
    ],
    [
      'propose',
      { message: { receive: { vhfChannel: 8 }, transmit: 'none' } },
      { telecommand1: 'f3e', message: { receive: { vhfChannel: 8 }, transmit: 'none' } },
      'voice (F3E/G3E) on VHF channel 8 (156.400 MHz)',
    ],
  ])('is answered: %s', (choice, more, content, follows) => {
    const caller = ship();
    caller.give({ type: 'call', call: routine, frequencyHz: VHF });
    caller.runTo(1);
    const called = new Host({ identity: OTHER });
    called.give(received(routine, VHF));
    called.runTo(5);
    expect(called.all('transmit')).toEqual([]);
    choose(called, choice, more);
    called.runTo(6);
    const [answer] = called.all('transmit');
    expect(answer.call).toMatchObject({
      kind: 'routineAcknowledgement',
      to: { station: SHIP },
      self: OTHER,
      ...content,
    });
    caller.give(received(answer.call, VHF));
    expect(caller.followUps().map(({ text }) => text)).toEqual(follows === undefined ? [] : [follows]);
    expect(called.followUps().map(({ text }) => text)).toEqual(follows === undefined ? [] : [follows]);
    expect(caller.state.exchanges[0].phase).toBe(choice === 'unable' ? 'declined' : 'answered');
  });

  it('sees a two-frequency channel from either side', () => {
    // Channel 1205 (RR Appendix 17, from memory): coast stations send on 13089, ships on 12242 kHz.
    const call: Call = {
      kind: 'routineCall',
      to: { station: COAST },
      self: SHIP,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { channel: 1205 }, transmit: { channel: 1205 } },
    };
    const caller = ship();
    caller.give({ type: 'call', call, frequencyHz: 12_577_500 });
    caller.runTo(10);
    const called = coast();
    called.give(received(call, 12_577_500));
    choose(called, 'able');
    // A coast station answers no sooner than 5 s (M.541 Annex 2, from memory); 20 dots and 31 · 20 bits take 6.4 s.
    called.runTo(12);
    expect(called.all('transmit')[0].at).toBe(5000);
    // The coast station answers on the paired frequency (M.541 Annex 5, from memory).
    expect(called.all('transmit')[0].frequencyHz).toBe(12_657_000);
    caller.give(received(called.all('transmit')[0].call, 12_657_000));
    expect(called.followUps()[0]).toMatchObject({ receiveHz: 12_242_000, transmitHz: 13_089_000 });
    expect(caller.followUps()[0]).toMatchObject({ receiveHz: 13_089_000, transmitHz: 12_242_000 });
  });

  it('answers tests, positions and polling by itself only where allowed', () => {
    const calls: Call[] = [
      { kind: 'testCall', to: { station: SHIP }, self: COAST },
      { kind: 'positionRequest', to: { station: SHIP }, self: COAST },
      { kind: 'pollingRequest', to: { station: SHIP }, self: COAST },
    ];
    const silent = ship();
    const open = new Host({ identity: SHIP, automatic: { test: true, position: true, polling: true } });
    for (const host of [silent, open]) {
      host.give({ type: 'position', position: { latitude: 48.5, longitude: -12.25 }, time: '11:40' });
      for (const call of calls) {
        host.give(received(call, MF));
        host.run(host.time + 20_000);
      }
    }
    expect(silent.all('transmit')).toEqual([]);
    expect(open.all('transmit').map(({ call }) => call)).toEqual([
      { kind: 'testAcknowledgement', to: { station: COAST }, self: SHIP },
      {
        kind: 'positionReport',
        to: { station: COAST },
        self: SHIP,
        position: { latitude: 48.5, longitude: -12.25 },
        time: '11:40',
      },
      { kind: 'pollingReply', to: { station: COAST }, self: SHIP },
    ]);
    for (const { rule } of open.all('transmit')) expect(RULES[rule].text).toContain('automatically');
  });

  it('answers a call that comes again while it is being answered once, and one that comes after once more', () => {
    const host = new Host({ identity: COAST, automatic: { test: true } });
    host.give(received(test, MF));
    host.runTo(1);
    host.give(received(test, MF));
    host.runTo(30);
    expect(host.all('transmit')).toHaveLength(1);
    host.give(received(test, MF));
    host.runTo(60);
    expect(host.all('transmit')).toHaveLength(2);
  });

  it('never answers what was read with doubt, is for others, asks for nothing or is its own', () => {
    const host = new Host({ identity: COAST, automatic: { test: true } });
    host.give({ type: 'received', call: test, frequencyHz: MF, quality: 'doubtful' });
    host.give(received({ ...test, to: { station: '002990002' } }, MF));
    host.give(received({ ...test, eos: 'end' }, MF));
    host.give(received({ kind: 'testCall', to: { station: COAST }, self: COAST }, MF));
    host.run(10 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(host.state.exchanges).toEqual([]);
  });

  it('waits for a free frequency, and gives up in the end', () => {
    const host = ship();
    host.give({ type: 'channel', frequencyHz: MF, busy: true });
    host.give({ type: 'call', call: test, frequencyHz: MF });
    host.runTo(30);
    expect(host.all('transmit')).toEqual([]);
    host.give({ type: 'channel', frequencyHz: MF, busy: false });
    expect(host.all('transmit')).toHaveLength(1);
    const jammed = ship();
    jammed.give({ type: 'channel', frequencyHz: MF, busy: true });
    jammed.give({ type: 'call', call: test, frequencyHz: MF });
    jammed.run(20 * MINUTE);
    expect(jammed.all('transmit')).toEqual([]);
    expect(jammed.story().at(-1)).toBe('300.0 outgoing unanswered');
  });

  it('leaves a call that nobody answers', () => {
    const host = new Host({ identity: OTHER });
    host.give(received(routine, VHF));
    host.run(20 * MINUTE);
    expect(host.story()).toEqual(['0.0 incoming open', '300.0 incoming expired']);
    expect(choose(host, 'able')[0].type).toBe('refuse');
  });
});

describe('calls to many (M.541 Annex 3 §2 and §3, from memory)', () => {
  const urgency: Call = {
    kind: 'urgencyCall',
    to: { area: { latitude: 50, longitude: -14, south: 3, east: 4 } },
    self: SHIP,
    telecommand1: 'j3e',
    telecommand2: 'none',
    message: { receive: { hz: 2_182_000 }, transmit: 'none' },
  };

  it('are announced, and the message is spoken where the announcement says', () => {
    const host = ship();
    host.give({ type: 'call', call: urgency, frequencyHz: MF });
    host.runTo(30);
    // 200 dots and (6 + 25) · 20 bits at 100 Bd: 8.2 s.
    expect(host.story()).toEqual([
      '0.0 outgoing sending',
      '0.0 send urgencyCall on 2187.5',
      '8.2 outgoing announced',
      '8.2 watch voice (J3E) on 2182.0 kHz',
    ]);
    host.run(20 * MINUTE);
    expect(host.all('transmit')).toHaveLength(1);
  });

  it('are watched and never acknowledged by their receivers', () => {
    const host = new Host({ identity: COAST, automatic: { test: true, position: true, polling: true } });
    host.give(received(urgency, MF));
    host.run(10 * MINUTE);
    expect(host.all('transmit')).toEqual([]);
    expect(host.followUps().map(({ text }) => text)).toEqual(['voice (J3E) on 2182.0 kHz']);
  });

  it('are for those inside the area', () => {
    const area = { latitude: 50, longitude: -14, south: 3, east: 4 };
    expect(isWithin(area, { latitude: 48, longitude: -12 })).toBe(true);
    expect(isWithin(area, { latitude: 50, longitude: -14 })).toBe(true);
    expect(isWithin(area, { latitude: 47, longitude: -10 })).toBe(true);
    expect(isWithin(area, { latitude: 50.1, longitude: -12 })).toBe(false);
    expect(isWithin(area, { latitude: 48, longitude: -9.9 })).toBe(false);
    // An area across the 180th meridian.
    expect(
      isWithin({ latitude: 10, longitude: 178, south: 5, east: 6 }, { latitude: 8, longitude: -178 }),
    ).toBe(true);
    const host = ship();
    host.give({ type: 'position', position: { latitude: 10, longitude: 10 }, time: 'none' });
    host.give(received({ ...urgency, self: OTHER }, MF));
    expect(host.done).toEqual([]);
  });

  it('are for those in the group', () => {
    const call: Call = { ...urgency, kind: 'routineCall', self: OTHER, to: { group: '029900010' } };
    const member = new Host({ identity: SHIP, groups: ['029900010'] });
    const stranger = ship();
    member.give(received(call, 2_177_000));
    stranger.give(received(call, 2_177_000));
    expect(member.all('tell').length).toBeGreaterThan(0);
    expect(stranger.done).toEqual([]);
    expect(member.all('transmit')).toEqual([]);
  });
});

describe('the machine', () => {
  it('changes nothing that it is given and is plain JSON data', () => {
    const state = createStation({ identity: SHIP, seed: 5 }, NOON);
    const frozen = JSON.stringify(state);
    const first = stepStation(state, distress([MF]), NOON + 5);
    expect(JSON.stringify(state)).toBe(frozen);
    expect(stepStation(state, distress([MF]), NOON + 5)).toEqual(first);
    expect(JSON.parse(JSON.stringify(first.state))).toEqual(first.state);
    expect(JSON.parse(JSON.stringify(first.actions))).toEqual(first.actions);
  });

  it('names a rule with every action', () => {
    const host = ship();
    host.give(distress([MF]));
    host.run(10 * MINUTE);
    host.give(received(acknowledgementFor(SHIP), MF));
    choose(host, 'cancel');
    host.run(12 * MINUTE);
    for (const { action } of host.done) expect(RULES[action.rule].source).not.toBe('');
  });

  it('refuses what no operator may send by itself', () => {
    const host = ship();
    for (const call of [
      acknowledgementFor(OTHER, SHIP),
      alertFrom(SHIP),
      { kind: 'testAcknowledgement', to: { station: COAST }, self: SHIP },
      { kind: 'testCall', to: { station: COAST }, self: OTHER },
    ] as Call[]) {
      expect(host.give({ type: 'call', call, frequencyHz: MF })).toMatchObject([{ type: 'refuse' }]);
    }
    expect(host.state.exchanges).toEqual([]);
  });

  it.each([
    ['settings.identity', () => createStation({ identity: '12345' }, 0)],
    ['settings.groups[0]', () => createStation({ identity: SHIP, groups: ['x'] }, 0)],
    ['settings', () => createStation(null as never, 0)],
    ['settings.groups', () => createStation({ identity: SHIP, groups: 'x' as never }, 0)],
    ['settings.groups', () => createStation({ identity: SHIP, groups: Array<string>(101).fill(SHIP) }, 0)],
    ['settings.automatic.test', () => createStation({ identity: SHIP, automatic: { test: 1 as never } }, 0)],
    [
      'settings.automatic.tests',
      () => createStation({ identity: SHIP, automatic: { tests: true } as never }, 0),
    ],
    ['settings.timing.hfRelayMs', () => createStation({ identity: SHIP, timing: { hfRelayMs: 1000 } }, 0)],
    [
      'settings.timing.hfRelay',
      () => createStation({ identity: SHIP, timing: { hfRelay: 1000 } as never }, 0),
    ],
    ['settings.seed', () => createStation({ identity: SHIP, seed: 1.5 }, 0)],
    ['settings.colour', () => createStation({ identity: SHIP, colour: 'x' } as never, 0)],
    ['settings.name', () => createStation({ identity: SHIP, name: '' }, 0)],
    ['settings.coastStation', () => createStation({ identity: SHIP, coastStation: '1' }, 0)],
    ['now', () => stepStation(createStation({ identity: SHIP }, 0), { type: 'tick' }, NaN)],
    ['event', () => stepStation(createStation({ identity: SHIP }, 0), { type: 'nothing' } as never, 0)],
    [
      'to.station',
      () =>
        ship().give({
          type: 'call',
          call: { kind: 'testCall', to: { station: '1' }, self: SHIP },
          frequencyHz: MF,
        }),
    ],
    [
      'frequency',
      () =>
        ship().give({
          type: 'call',
          call: { kind: 'testCall', to: { station: COAST }, self: SHIP },
          frequencyHz: 5,
        }),
    ],
  ])('names what is wrong: %s', (field, act) => {
    expect(act).toThrow(expect.objectContaining({ name: 'DotphaseError', field }) as Error);
  });

  it('names the waits there are, and what they are counted in', () => {
    const withTiming = (timing: object) => refusal(() => createStation({ identity: SHIP, timing }, 0));
    expect(withTiming({ hfRelay: 1 })?.expected).toContain(
      '{ acknowledgementWaitMs, answerLimitMs, matchMs, busyLimitMs, hfRelayMs }',
    );
    expect(withTiming({ hfRelayMs: 179_999 })?.expected).toMatch(/from 180000 to 3600000 ms$/);
  });

  it('offers nothing for an exchange that is not there', () => {
    const host = ship();
    expect(choicesFor(host.state, 99)).toEqual([]);
    expect(choose(host, 'able')[0].type).toBe('refuse');
  });
});
