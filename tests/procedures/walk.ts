/**
 * Random walks of one station through everything that can happen to it, with a witness that keeps its own record of what
 * was heard and judges every step: nothing goes out that the rules forbid, nothing owed is forgotten, memory is bounded,
 * every refusal is told.
 *
 * By itself: `npx tsx tests/procedures/walk.ts [--steps 1000000] [--seed 1]`.
 */
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { isMainThread } from 'node:worker_threads';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { encodeCall, type Call, type DistressAlert } from '../../src/calls/index.js';
import {
  CHOICE_NAMES,
  choicesFor,
  createStation,
  dueAt,
  radioOf,
  reachOf,
  stepStation,
  type Exchange,
  type StationAction,
  type StationEvent,
  type StationState,
} from '../../src/procedures/index.js';
import { RULES } from '../../src/procedures/texts/index.js';

const NOON = Date.UTC(2031, 4, 17, 12);
const SHIP = '299000111';
const COAST = '002990001';
const SHIPS = ['299000222', '299000333'];
const COASTS = ['002990002', '002990003'];
const GROUP = '029900010';
const FREQUENCIES = [156_525_000, 2_187_500, 8_414_500, 12_577_000];
const MINUTE = 60_000;
/** Steps of a walk before a new station begins. */
const WALK_STEPS = 100;
const MOST_EXCHANGES = 560;

/** A rule of these walks that does not hold. */
class BrokenRule extends Error {
  override name = 'BrokenRule';
}

function hold(condition: boolean, what: string): void {
  if (!condition) throw new BrokenRule(what);
}

/** Choices by chance from a seed. */
class Chance {
  private readonly generator;
  constructor(seed: number) {
    this.generator = xoroshiro128plus(seed | 0);
  }
  below(limit: number): number {
    return (this.generator.next() >>> 0) % limit;
  }
  one<Item>(items: readonly Item[]): Item {
    return items[this.below(items.length)];
  }
  percent(share: number): boolean {
    return this.below(100) < share;
  }
}

interface Heard {
  readonly at: number;
  readonly call: Call;
  readonly frequencyHz: number;
}

const REQUEST_OF: Readonly<Record<string, Call['kind']>> = {
  testAcknowledgement: 'testCall',
  positionReport: 'positionRequest',
  pollingReply: 'pollingRequest',
  urgencyAcknowledgement: 'urgencyCall',
  safetyAcknowledgement: 'safetyCall',
  routineAcknowledgement: 'routineCall',
};
const isCoast = (identity: unknown) => typeof identity === 'string' && identity.startsWith('00');
const stationOf = (to: unknown) => (to as { station?: string }).station;

/** One station and its witness. */
class Walk {
  private state: StationState;
  private now = NOON;
  private readonly own: string;
  private readonly heard: Heard[] = [];
  /** Own acknowledgements of alerts as they went out, whole or not. */
  private readonly answered: { at: number; casualty: string }[] = [];
  private readonly alertedOn = new Set<number>();
  private readonly onAir = new Map<number, { radio: string }>();
  /** Exchanges whose acknowledgement or relay the operator confirmed. */
  private readonly confirmed = { directed: new Set<number>(), necessary: false };
  sent = 0;
  refused = 0;

  constructor(
    private readonly chance: Chance,
    seed: number,
  ) {
    this.own = chance.percent(50) ? SHIP : COAST;
    const yes = chance.percent(50);
    this.state = createStation(
      {
        identity: this.own,
        groups: [GROUP],
        automatic: { test: yes, position: yes, polling: yes },
        coastStation: COASTS[0],
        seed,
      },
      NOON,
    );
  }

  private alert(self: string): DistressAlert {
    const { chance } = this;
    return {
      kind: 'distressAlert',
      self,
      nature: chance.one(['fire', 'sinking'] as const),
      position: chance.percent(50) ? 'none' : { latitude: 48.5, longitude: -12.25 },
      time: 'none',
      followOn: 'j3e',
    };
  }

  /** A call of any kind from anyone to anyone. */
  private call(self: string): Call {
    const { chance } = this;
    const casualty = chance.one([...SHIPS, ...SHIPS, this.own]);
    const anyone = chance.one([this.own, this.own, ...SHIPS, ...COASTS]);
    const area = { area: { latitude: 50, longitude: -14, south: 3, east: 4 } };
    const to = chance.one([
      { station: anyone },
      { station: anyone },
      'allShips' as const,
      area,
      { group: GROUP },
      { group: '029900011' },
    ]);
    const talk = {
      telecommand1: chance.one(['j3e', 'unable'] as const),
      telecommand2: 'none' as const,
      message: { receive: { hz: 2_182_000 }, transmit: 'none' as const },
    };
    const one = { to: { station: anyone }, self };
    const { nature, position, time, followOn } = this.alert(casualty);
    const message = { nature, position, time, followOn };
    switch (chance.below(11)) {
      case 0:
      case 1:
        return this.alert(chance.one(SHIPS));
      case 2:
        return { kind: 'distressAcknowledgement', self, casualty, ...message };
      case 3:
        return { kind: 'ownAlertCancellation', self: chance.one(SHIPS), ...message };
      case 4:
        return { kind: 'distressRelay', to, self, casualty, ...message };
      case 5:
        return { kind: 'relayAcknowledgement', to: { station: anyone }, self, casualty, ...message };
      case 6:
        return { kind: chance.one(['urgencyCall', 'safetyCall'] as const), to, self, ...talk };
      case 7:
        return { kind: 'routineCall', ...one, ...talk, telecommand1: 'j3e' };
      case 8:
        return { kind: 'routineAcknowledgement', ...one, ...talk };
      case 9:
        return { kind: chance.one(['testCall', 'positionRequest', 'pollingRequest'] as const), ...one };
      default:
        return { kind: chance.one(['testAcknowledgement', 'pollingReply'] as const), ...one };
    }
  }

  private event(): StationEvent {
    const { chance } = this;
    const frequencyHz = chance.one(FREQUENCIES);
    switch (chance.below(20)) {
      case 0: {
        const frequencies = FREQUENCIES.filter(() => chance.percent(50));
        return {
          type: 'distress',
          nature: 'fire',
          followOn: 'j3e',
          frequencies: frequencies.length > 0 ? frequencies : [frequencyHz],
        };
      }
      case 1:
      case 2:
        return { type: 'call', call: this.call(this.own), frequencyHz };
      case 3:
        return { type: 'channel', frequencyHz, busy: chance.percent(50) };
      case 4: {
        const latitude = chance.one([48, NaN, 500, -90, 90, Infinity]);
        const time = chance.one(['11:40', '99:99', 'none']);
        return { type: 'position', position: { latitude, longitude: -12 }, time };
      }
      case 5:
      case 6:
      case 7:
      case 8:
      case 9: {
        const { exchanges } = this.state;
        const id = exchanges.length === 0 ? 1 : chance.one(exchanges).id;
        const open = choicesFor(this.state, id).map(({ choice }) => choice);
        return {
          type: 'choose',
          exchange: id,
          choice: open.length > 0 && chance.percent(80) ? chance.one(open) : chance.one(CHOICE_NAMES),
          directed: chance.percent(50),
          necessary: chance.percent(50),
          message: { receive: { vhfChannel: 8 }, transmit: 'none' },
          ...(chance.percent(50) && { to: chance.one(['allShips', { station: COASTS[1] }] as const) }),
        };
      }
      default:
        return {
          type: 'received',
          call: this.call(chance.one([...SHIPS, ...COASTS])),
          frequencyHz,
          quality: chance.one(['clean', 'clean', 'recovered', 'doubtful'] as const),
        };
    }
  }

  step(): void {
    const { chance } = this;
    const [first] = this.onAir.keys();
    const kind = chance.below(10);
    if (kind < 2 && this.onAir.size > 0) {
      this.give({ type: chance.percent(75) ? 'sent' : 'unsent', transmission: first });
    } else if (kind < 4) {
      this.now += chance.percent(50) ? chance.below(20_000) : chance.below(400_000);
      this.give({ type: 'tick' });
    } else if (kind < 5) {
      this.now = dueAt(this.state) ?? this.now;
      this.give({ type: 'tick' });
    } else {
      this.give(this.event());
    }
  }

  private give(event: StationEvent): void {
    if (event.type === 'received' && event.quality !== 'doubtful') {
      this.heard.push({ at: this.now, call: event.call as Call, frequencyHz: event.frequencyHz });
    }
    if (event.type === 'sent' || event.type === 'unsent') this.onAir.delete(event.transmission);
    if (event.type === 'choose' && event.directed) this.confirmed.directed.add(event.exchange);
    if (event.type === 'choose' && event.necessary) this.confirmed.necessary = true;
    const before = this.state;
    const { state, actions } = stepStation(before, event, this.now);
    this.state = state;
    for (const action of actions) this.judge(action);
    this.judgeTold(event, before, actions);
    this.judgeMemory(before, actions);
    for (const exchange of state.exchanges) this.judgeGoesOn(exchange);
    const due = dueAt(state);
    hold(due === undefined || due > this.now, 'the next time lies ahead');
  }

  /** What a person asks for is done, or the refusal is told. */
  private judgeTold(event: StationEvent, before: StationState, actions: readonly StationAction[]): void {
    if (event.type !== 'choose' && event.type !== 'call' && event.type !== 'distress') return;
    if (actions.some(({ type }) => type === 'refuse')) this.refused++;
    const isChanged = JSON.stringify({ ...before, now: 0 }) !== JSON.stringify({ ...this.state, now: 0 });
    hold(actions.length > 0 || isChanged, `nothing came of ${event.type} and nothing was told`);
  }

  private judgeMemory(before: StationState, actions: readonly StationAction[]): void {
    const { exchanges, radios } = this.state;
    hold(exchanges.length <= MOST_EXCHANGES, 'too many exchanges are remembered');
    for (const { queue } of Object.values(radios)) hold(queue.length <= MOST_EXCHANGES, 'a queue grows');
    const isFull = actions.some((action) => action.type === 'tell' && action.notice.type === 'forgotten');
    for (const { id, kind, phase, since } of before.exchanges) {
      if (exchanges.some((exchange) => exchange.id === id)) continue;
      const isOld = this.now - since >= 60 * MINUTE;
      hold(isOld || isFull || kind === 'distress', `exchange ${id}, ${kind} ${phase}, was forgotten`);
    }
  }

  /** An exchange that is not at rest has something on the air, in a queue or to wait for. */
  private judgeGoesOn(exchange: Exchange): void {
    const { id, kind, phase } = exchange;
    const isSending = Object.values(this.state.radios).some(
      ({ current, queue }) => current?.exchange === id || queue.some((each) => each.exchange === id),
    );
    const what = `${kind} ${phase} goes on`;
    if (['sending', 'answering', 'cancelling'].includes(phase)) hold(isSending, what);
    if (kind === 'distress' && phase === 'waiting') hold(exchange.nextAt !== undefined, what);
    if (kind === 'outgoing' && phase === 'awaiting') hold(exchange.waitUntil !== undefined, what);
    if (kind === 'incoming' && phase === 'open') hold(exchange.expiresAt > this.now, what);
    const isOpen = kind === 'alert' && (phase === 'open' || phase === 'acknowledged');
    if (isOpen && exchange.acknowledgement?.sent === false) hold(isSending, `${what}: its acknowledgement`);
  }

  private judge(action: StationAction): void {
    hold(action.rule in RULES, 'every action names its rule');
    if (action.type !== 'transmit') return;
    this.sent++;
    const { call, frequencyHz } = action;
    const radio = radioOf(frequencyHz);
    for (const other of this.onAir.values()) hold(other.radio !== radio, 'one call at a time on a radio');
    this.onAir.set(action.transmission, { radio });
    encodeCall(call);
    if ('self' in call) hold(call.self === this.own, 'calls are in the own name');
    const isOwnDistress = call.kind === 'distressAlert' || call.kind === 'ownAlertCancellation';
    hold(isOwnDistress || !this.state.busy.includes(frequencyHz), `${call.kind} waits for a free frequency`);
    switch (call.kind) {
      case 'distressAlert':
        this.alertedOn.add(frequencyHz);
        return;
      case 'ownAlertCancellation':
        hold(this.alertedOn.has(frequencyHz), 'only what was sent is cancelled');
        return;
      case 'distressAcknowledgement':
        this.judgeAcknowledgement(call.casualty as string, frequencyHz, action.exchange);
        return;
      case 'relayAcknowledgement':
        this.judgeRelayAcknowledgement(call);
        return;
      case 'distressRelay':
        this.judgeRelay(call, frequencyHz);
        return;
      default:
        this.judgeAnswer(call);
    }
  }

  private lastOf(fits: (heard: Heard) => boolean): number {
    return this.heard.findLast(fits)?.at ?? -Infinity;
  }

  private alertsOf(casualty: string): Heard[] {
    return this.heard.filter(({ call }) => call.kind === 'distressAlert' && call.self === casualty);
  }

  /** When a coast station that is not this one acknowledged the distress of a casualty last. */
  private acknowledgedAt(casualty: string): number {
    return this.lastOf(
      ({ call }) =>
        (call.kind === 'distressAcknowledgement' || call.kind === 'relayAcknowledgement') &&
        call.casualty === casualty &&
        isCoast(call.self),
    );
  }

  private judgeAcknowledgement(casualty: string, frequencyHz: number, exchange: number): void {
    const alerts = this.alertsOf(casualty);
    hold(casualty !== this.own, 'nobody acknowledges itself');
    hold(
      alerts.some((alert) => alert.frequencyHz === frequencyHz),
      'an alert is acknowledged where it was received',
    );
    const latest = Math.max(...alerts.map(({ at }) => at));
    hold(this.acknowledgedAt(casualty) <= latest, 'an alert is acknowledged once by coast stations');
    const cancelled = this.lastOf(
      ({ call }) => call.kind === 'ownAlertCancellation' && call.self === casualty,
    );
    hold(cancelled <= latest, 'a cancelled alert is not acknowledged');
    const onRadio = alerts.filter((alert) => radioOf(alert.frequencyHz) === radioOf(frequencyHz));
    const gap = radioOf(frequencyHz) === 'vhf' ? 1000 : 9000;
    hold(this.now - Math.max(...onRadio.map(({ at }) => at)) >= gap, 'the attempt is over');
    if (isCoast(this.own)) {
      const isLate = alerts.some(({ at }) => this.now - at >= MINUTE);
      hold(reachOf(frequencyHz) === 'VHF' || isLate, 'a coast station waits a minute on MF and HF');
    } else {
      hold(reachOf(frequencyHz) !== 'HF', 'a ship never acknowledges on HF');
      hold(this.confirmed.directed.has(exchange), 'a ship acknowledges after consultation');
    }
    this.answered.push({ at: this.now, casualty });
  }

  private judgeRelayAcknowledgement(call: Extract<Call, { kind: 'relayAcknowledgement' }>): void {
    const relays = this.heard.filter(
      (each) => each.call.kind === 'distressRelay' && each.call.self === stationOf(call.to),
    );
    const isMine = relays.some(({ call: relay }) => 'to' in relay && stationOf(relay.to) === this.own);
    const toMany = relays.some(
      ({ call: relay }) =>
        relay.kind === 'distressRelay' && stationOf(relay.to) === undefined && !isCoast(relay.self),
    );
    hold(isMine || (isCoast(this.own) && toMany), 'a relay is acknowledged by whom it is addressed to');
  }

  private judgeRelay(call: Extract<Call, { kind: 'distressRelay' }>, frequencyHz: number): void {
    if (isCoast(this.own)) return;
    const casualty = call.casualty as string;
    const alerts = this.alertsOf(casualty);
    const cancelled = this.lastOf(
      (heard) => heard.call.kind === 'ownAlertCancellation' && heard.call.self === casualty,
    );
    const since = alerts.filter(({ at }) => at > cancelled);
    if (since.length === 0) return;
    const latest = Math.max(...since.map(({ at }) => at));
    hold(this.acknowledgedAt(casualty) <= latest, 'an acknowledged alert is not relayed by a ship');
    const onHf = since.some((alert) => reachOf(alert.frequencyHz) === 'HF');
    if (onHf && !this.confirmed.necessary) {
      hold(isCoast(stationOf(call.to)), 'an HF alert is relayed to a coast station only');
      hold(this.now - Math.min(...since.map(({ at }) => at)) >= 5 * MINUTE, 'after 5 minutes');
    }
    if (!onHf) hold(this.confirmed.necessary, `no relay on ${frequencyHz} unless it is necessary`);
  }

  private judgeAnswer(call: Call): void {
    const asked = REQUEST_OF[call.kind] as Call['kind'] | undefined;
    if (asked === undefined) return;
    const to = stationOf((call as { to: unknown }).to);
    const requests = this.heard.filter(
      ({ call: request }) =>
        request.kind === asked &&
        'self' in request &&
        request.self === to &&
        'to' in request &&
        stationOf(request.to) === this.own,
    );
    hold(requests.length > 0, `${call.kind} answers what was received`);
    const isDue = !isCoast(this.own) || requests.some(({ at }) => this.now - at >= 5000);
    hold(isDue, 'a coast station answers after 5 s');
  }

  /** Lets everything run out with free frequencies and a radio that works: nothing is stuck. */
  settle(): void {
    for (const exchange of this.state.exchanges) {
      if (exchange.kind !== 'distress' || !['sending', 'waiting'].includes(exchange.phase)) continue;
      this.give({ type: 'choose', exchange: exchange.id, choice: 'stop' });
    }
    for (const frequencyHz of [...this.state.busy]) this.give({ type: 'channel', frequencyHz, busy: false });
    for (let step = 0; step < 1000; step++) {
      const [first] = this.onAir.keys() as Iterable<number | undefined>;
      if (first !== undefined) {
        this.now += 1000;
        this.give({ type: 'sent', transmission: first });
        continue;
      }
      const due = dueAt(this.state);
      if (due === undefined) break;
      this.now = due;
      this.give({ type: 'tick' });
    }
    hold(this.onAir.size === 0 && dueAt(this.state) === undefined, 'everything comes to rest');
    const stuck = this.state.exchanges.find(({ phase }) =>
      ['sending', 'awaiting', 'answering', 'cancelling'].includes(phase),
    );
    hold(stuck === undefined, `${stuck?.kind ?? ''} ${stuck?.phase ?? ''} is stuck`);
  }
}

/** What walks did. */
export interface WalkCounts {
  steps: number;
  sent: number;
  refused: number;
}

/**
 * Walks so many steps from a seed, in stretches with a new station each.
 *
 * @throws BrokenRule naming the seed of the stretch where something does not hold
 */
export function walk(seed: number, steps: number): WalkCounts {
  const counts = { steps: 0, sent: 0, refused: 0 };
  for (let stretch = 0; counts.steps < steps; stretch++) {
    const own = (seed * 1_000_003 + stretch) | 0;
    const station = new Walk(new Chance(own), own);
    let step = 0;
    try {
      for (; step < WALK_STEPS; step++) station.step();
      station.settle();
    } catch (error) {
      if (error instanceof BrokenRule) error.message += ` (stretch ${stretch} of seed ${seed}, step ${step})`;
      throw error;
    }
    counts.steps += WALK_STEPS;
    counts.sent += station.sent;
    counts.refused += station.refused;
  }
  return counts;
}

// Bundled into a thread of the fuzzer it is not the program.
if (isMainThread && process.argv[1] === fileURLToPath(import.meta.url)) {
  const { values } = parseArgs({
    options: { steps: { type: 'string', default: '1000000' }, seed: { type: 'string', default: '1' } },
  });
  const { steps, sent, refused } = walk(Number(values.seed), Number(values.steps));
  const seconds = process.cpuUsage().user / 1e6;
  process.stdout.write(
    `${steps} steps, ${sent} calls sent, ${refused} refusals, nothing broken; ${seconds.toFixed(0)} s\n`,
  );
}
