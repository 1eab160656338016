/** Random schedules: whatever comes in whatever order, what must never happen does not. */
import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { isReceivedWhole, type Call, type DecodedCall, type DistressAlert } from '../../src/calls/index.js';
import {
  CHOICE_NAMES,
  choicesFor,
  createStation,
  dueAt,
  radioOf,
  stepStation,
  type ChoiceName,
  type Exchange,
  type StationAction,
  type StationEvent,
  type StationState,
} from '../../src/procedures/index.js';
import { RULES } from '../../src/procedures/texts/index.js';
import { NOON } from './host.js';
import { walk } from './walk.js';

const OWN = ['299000111', '002990001'];
const OTHERS = ['299000222', '299000333', '002990002'];
const FREQUENCIES = [156_525_000, 2_187_500, 4_207_500, 8_414_500];

const frequency = fc.constantFrom(...FREQUENCIES);
const other = fc.constantFrom(...OTHERS);
const anyone = fc.constantFrom(...OWN, ...OTHERS);
const distressMessage = {
  nature: fc.constantFrom('fire' as const, 'sinking' as const),
  position: fc.constant('none' as const),
  time: fc.constant('none' as const),
  followOn: fc.constantFrom('j3e' as const, 'f3e' as const),
};
const communication = {
  telecommand1: fc.constantFrom('j3e' as const, 'unable' as const),
  telecommand2: fc.constantFrom('none' as const, 'busy' as const),
  message: fc.constantFrom(
    { receive: { hz: 2_182_000 }, transmit: 'none' as const },
    { receive: { vhfChannel: 6 }, transmit: 'none' as const },
  ),
};
const station = anyone.map((identity) => ({ station: identity }));
const address = fc.oneof(
  station,
  fc.constant('allShips' as const),
  fc.constant({ area: { latitude: 50, longitude: -14, south: 3, east: 4 } }),
);

/** Calls of most kinds between a few stations, so that many of them meet. */
const anyCall: fc.Arbitrary<Call> = fc.oneof(
  fc.record({ kind: fc.constant('distressAlert' as const), self: anyone, ...distressMessage }),
  fc.record({
    kind: fc.constant('distressAcknowledgement' as const),
    self: anyone,
    casualty: anyone,
    ...distressMessage,
  }),
  fc.record({ kind: fc.constant('ownAlertCancellation' as const), self: anyone, ...distressMessage }),
  fc.record({
    kind: fc.constantFrom('distressRelay' as const, 'relayAcknowledgement' as const),
    to: station,
    self: anyone,
    casualty: anyone,
    ...distressMessage,
  }),
  fc.record({
    kind: fc.constantFrom('urgencyCall' as const, 'safetyCall' as const),
    to: address,
    self: anyone,
    ...communication,
  }),
  fc.record({
    kind: fc.constantFrom(
      'routineCall' as const,
      'urgencyAcknowledgement' as const,
      'safetyAcknowledgement' as const,
      'routineAcknowledgement' as const,
    ),
    to: station,
    self: anyone,
    ...communication,
  }),
  fc.record({
    kind: fc.constantFrom(
      'testCall' as const,
      'testAcknowledgement' as const,
      'positionRequest' as const,
      'pollingRequest' as const,
      'pollingReply' as const,
    ),
    to: station,
    self: anyone,
  }),
);

type Move =
  | { type: 'give'; event: StationEvent }
  /** An operator's choice among those of one of the exchanges, or any choice at all. */
  | { type: 'choose'; pick: number; among: boolean; choice: ChoiceName; directed: boolean; to: string }
  /** A transmission that is on the air ends. */
  | { type: 'end'; whole: boolean }
  | { type: 'wait'; ms: number }
  /** Time passes until the station goes on by itself. */
  | { type: 'untilDue' };

const choiceName = fc.constantFrom(...CHOICE_NAMES);

const move: fc.Arbitrary<Move> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      type: fc.constant('give' as const),
      event: fc.record({
        type: fc.constant('received' as const),
        call: anyCall,
        frequencyHz: frequency,
        quality: fc.constantFrom(
          'clean' as const,
          'clean' as const,
          'recovered' as const,
          'doubtful' as const,
        ),
      }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      type: fc.constant('give' as const),
      event: fc.record({ type: fc.constant('call' as const), call: anyCall, frequencyHz: frequency }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      type: fc.constant('give' as const),
      event: fc.record({
        type: fc.constant('distress' as const),
        nature: distressMessage.nature,
        followOn: distressMessage.followOn,
        frequencies: fc.uniqueArray(frequency, { minLength: 1 }),
      }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      type: fc.constant('give' as const),
      event: fc.record({
        type: fc.constant('channel' as const),
        frequencyHz: frequency,
        busy: fc.boolean(),
      }),
    }),
  },
  {
    weight: 6,
    arbitrary: fc.record({
      type: fc.constant('choose' as const),
      pick: fc.nat(20),
      among: fc.boolean(),
      choice: choiceName,
      directed: fc.boolean(),
      to: other,
    }),
  },
  { weight: 5, arbitrary: fc.record({ type: fc.constant('end' as const), whole: fc.boolean() }) },
  { weight: 3, arbitrary: fc.record({ type: fc.constant('wait' as const), ms: fc.nat(400_000) }) },
  { weight: 3, arbitrary: fc.constant({ type: 'untilDue' as const }) },
);

/** What a schedule has shown so far, kept beside the station and judged from outside. */
class Witness {
  state: StationState;
  now = NOON;
  readonly onAir = new Map<number, { radio: string; call: Call }>();
  readonly received: { call: DecodedCall; doubtful: boolean }[] = [];
  readonly alerted = new Set<number>();

  constructor(identity: string, seed: number) {
    const automatic = { test: true, position: true, polling: true };
    this.state = createStation({ identity, automatic, seed }, NOON);
  }

  give(event: StationEvent): void {
    if (event.type === 'received') {
      this.received.push({ call: event.call, doubtful: event.quality === 'doubtful' });
    }
    if (event.type === 'sent' || event.type === 'unsent') this.onAir.delete(event.transmission);
    const before = this.state;
    const { state, actions } = stepStation(this.state, event, this.now);
    this.state = state;
    this.judgeExchanges(before, actions);
    for (const action of actions) this.judge(action);
    const due = dueAt(state);
    if (due !== undefined) expect(due).toBeGreaterThan(this.now);
  }

  /** Every change of phase is told by an action that names its rule. */
  private judgeExchanges(before: StationState, actions: readonly StationAction[]): void {
    for (const exchange of this.state.exchanges) {
      const earlier = before.exchanges.find(({ id }) => id === exchange.id);
      if (earlier?.phase === exchange.phase) continue;
      const last = actions.findLast((action) => action.type === 'phase' && action.exchange === exchange.id);
      expect(last).toMatchObject({ to: exchange.phase });
    }
  }

  private judge(action: StationAction): void {
    expect(RULES).toHaveProperty(action.rule);
    if (action.type !== 'transmit') return;
    const radio = radioOf(action.frequencyHz);
    for (const other of this.onAir.values()) expect(other.radio).not.toBe(radio);
    this.onAir.set(action.transmission, { radio, call: action.call });
    if (action.call.kind === 'distressAlert') this.alerted.add(action.frequencyHz);
    this.judgeAnswer(action.call, action.frequencyHz);
  }

  private heard(fits: (call: Call) => boolean): boolean {
    return this.received.some(({ call, doubtful }) => !doubtful && isReceivedWhole(call) && fits(call));
  }

  /** Nothing is acknowledged that was not received, nothing cancelled that was not sent. */
  private judgeAnswer(call: Call, frequencyHz: number): void {
    const own = this.state.identity;
    const asks: Partial<Record<Call['kind'], Call['kind']>> = {
      testAcknowledgement: 'testCall',
      positionReport: 'positionRequest',
      pollingReply: 'pollingRequest',
      urgencyAcknowledgement: 'urgencyCall',
      safetyAcknowledgement: 'safetyCall',
      routineAcknowledgement: 'routineCall',
      relayAcknowledgement: 'distressRelay',
    };
    const asked = asks[call.kind];
    if (asked !== undefined) {
      const to = (call as { to: { station: string } }).to.station;
      const fits = (other: Call) => other.kind === asked && 'self' in other && other.self === to;
      expect(this.heard(fits)).toBe(true);
    }
    if (call.kind === 'distressAcknowledgement') {
      expect(call.casualty).not.toBe(own);
      expect(this.heard((other) => other.kind === 'distressAlert' && other.self === call.casualty)).toBe(
        true,
      );
      const isShip = !own.startsWith('00');
      if (isShip) expect([156_525_000, 2_187_500]).toContain(frequencyHz);
    }
    if (call.kind === 'ownAlertCancellation') expect(this.alerted.has(frequencyHz)).toBe(true);
    if ('self' in call) expect(call.self).toBe(own);
  }

  make(step: Move): void {
    switch (step.type) {
      case 'give':
        this.give(step.event);
        return;
      case 'choose': {
        const { exchanges } = this.state;
        if (exchanges.length === 0) return;
        const { id } = exchanges[step.pick % exchanges.length];
        const open = choicesFor(this.state, id);
        const choice = step.among && open.length > 0 ? open[step.pick % open.length].choice : step.choice;
        this.give({
          type: 'choose',
          exchange: id,
          choice,
          directed: step.directed,
          to: { station: step.to },
          message: { receive: { vhfChannel: 8 }, transmit: 'none' },
        });
        return;
      }
      case 'end': {
        const first = [...this.onAir.keys()].at(0);
        if (first !== undefined) this.give({ type: step.whole ? 'sent' : 'unsent', transmission: first });
        return;
      }
      case 'wait':
        this.now += step.ms;
        this.give({ type: 'tick' });
        return;
      case 'untilDue':
        this.now = dueAt(this.state) ?? this.now;
        this.give({ type: 'tick' });
    }
  }

  /** Lets everything run out with free frequencies and a radio that works, for at most so many steps. */
  settle(steps: number): void {
    for (const frequencyHz of [...this.state.busy]) this.give({ type: 'channel', frequencyHz, busy: false });
    for (let step = 0; step < steps; step++) {
      const first = [...this.onAir.keys()].at(0);
      if (first !== undefined) {
        this.now += 1000;
        this.give({ type: 'sent', transmission: first });
        continue;
      }
      const due = dueAt(this.state);
      if (due === undefined) return;
      this.now = due;
      this.give({ type: 'tick' });
    }
  }
}

/** Phases in which an exchange must not be left when all has run out. */
const UNFINISHED: readonly Exchange['phase'][] = ['sending', 'awaiting', 'answering', 'cancelling'];

describe('random walks', () => {
  // A million steps: npx tsx tests/procedures/walk.ts
  it('send nothing that the rules forbid and forget nothing owed in 10,000 steps', () => {
    const { steps, sent, refused } = walk(2031, 10_000);
    expect(steps).toBe(10_000);
    expect(sent).toBeGreaterThan(1000);
    expect(refused).toBeGreaterThan(500);
  });
});

describe('random schedules', () => {
  it('never send while sending, acknowledge what was not received or get stuck', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...OWN),
        fc.nat(),
        fc.array(move, { maxLength: 40 }),
        (identity, seed, moves) => {
          const witness = new Witness(identity, seed);
          for (const step of moves) witness.make(step);
          // An alert repeats until it is acknowledged: that is life, not being stuck. It must go on repeating.
          const active = witness.state.exchanges.filter(
            ({ kind, phase }) => kind === 'distress' && (phase === 'sending' || phase === 'waiting'),
          );
          witness.settle(12);
          for (const exchange of active) {
            const now = witness.state.exchanges.find(({ id }) => id === exchange.id);
            expect(['sending', 'waiting']).toContain(now?.phase);
            expect(now?.kind === 'distress' && now.attempts).toBeGreaterThan(0);
            witness.give({ type: 'choose', exchange: exchange.id, choice: 'stop' });
          }
          witness.settle(400);
          expect(witness.onAir.size).toBe(0);
          expect(dueAt(witness.state)).toBeUndefined();
          for (const exchange of witness.state.exchanges) expect(UNFINISHED).not.toContain(exchange.phase);
          for (const { queue } of Object.values(witness.state.radios)) expect(queue).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('end the repetition of an alert on a clean acknowledgement, whenever it comes after the first sending', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.integer({ min: 1, max: 1_500_000 }),
        fc.array(move, { maxLength: 15 }),
        (seed, after, moves) => {
          const witness = new Witness(OWN[0], seed);
          witness.give({ type: 'distress', nature: 'fire', followOn: 'j3e', frequencies: [2_187_500] });
          const alert = [...witness.onAir.values()][0].call as DistressAlert;
          witness.settle(1 + (after % 9));
          witness.give({
            type: 'received',
            call: { ...alert, kind: 'distressAcknowledgement', self: OTHERS[2], casualty: OWN[0] },
            frequencyHz: 2_187_500,
          });
          witness.settle(20);
          const sent = () =>
            witness.state.exchanges.find(({ kind }) => kind === 'distress') as Extract<
              Exchange,
              { kind: 'distress' }
            >;
          const { attempts } = sent();
          for (const step of moves) if (step.type === 'wait' || step.type === 'end') witness.make(step);
          witness.settle(20);
          expect(sent()).toMatchObject({ phase: 'acknowledged', attempts });
        },
      ),
      { numRuns: 100 },
    );
  });

  it('remember no more than they need', () => {
    const witness = new Witness(OWN[1], 1);
    for (let i = 0; i < 700; i++) {
      witness.now += 1000;
      const self = String(299_000_000 + i);
      witness.give({
        type: 'received',
        call: {
          kind: 'distressAlert',
          self,
          nature: 'fire',
          position: 'none',
          time: 'none',
          followOn: 'j3e',
        },
        frequencyHz: 2_187_500,
      });
    }
    expect(witness.state.exchanges.length).toBeLessThanOrEqual(500);
    witness.now += 25 * 3_600_000;
    witness.give({ type: 'tick' });
    expect(witness.state.exchanges).toEqual([]);
  });
});
