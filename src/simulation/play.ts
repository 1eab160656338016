/**
 * Plays a scenario: virtual stations with their procedures and operators on a virtual medium.
 */
import { orAborted } from '../abort.js';
import { timeOfDay, type Call, type Identity } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import type { ReceivedCall, Receiver, ReceiverOptions } from '../receiver/index.js';
import {
  choicesFor,
  createStation,
  dueAt,
  isCoastStation,
  stepStation,
  type ChooseEvent,
  type RuleName,
  type StationAction,
  type StationEvent,
  type StationState,
} from '../procedures/index.js';
import { createMedium, type MediumReport } from './medium.js';
import { createOperator, type Operator, type Reaction } from './operator.js';
import { pathByDistance, type PathConditions } from './path.js';
import { namingBy } from './phrases.js';
import type { Scenario, ScenarioEvent, ScenarioPath, ScenarioStation } from './scenario.js';
import { seedFor } from '../dsp/index.js';
import { callAudio } from './sound.js';

/** Something that happened in a scenario. */
export type SimulationEvent = {
  /** Whole milliseconds since 1970 UTC on the scenario's clock. */
  readonly time: number;
  readonly station: Identity;
} & (
  | {
      /** A call goes on the air. */
      readonly type: 'sending';
      /** The exchange of the sending station that it belongs to. */
      readonly exchange: number;
      readonly call: Call;
      readonly frequencyHz: number;
      readonly repeat: number;
      /** Seconds that it takes. */
      readonly seconds: number;
      readonly rule: RuleName;
    }
  /** It broke off. */
  | { readonly type: 'ceased'; readonly exchange: number; readonly call: Call; readonly frequencyHz: number }
  /** A call was received; its `start` and `end` are seconds from the beginning of the scenario. */
  | { readonly type: 'received'; readonly frequencyHz: number; readonly received: ReceivedCall }
  /** Something that looked like a call could not be read. */
  | { readonly type: 'lost'; readonly frequencyHz: number; readonly reason: string }
  /** The station's procedures told its operator something, or went on. */
  | {
      readonly type: 'action';
      readonly action: Exclude<StationAction, { type: 'transmit' | 'cease' | 'timer' }>;
    }
  /** Someone spoke; hertz, absent where the frequency is not known. It takes about so many seconds. */
  | {
      readonly type: 'voice';
      readonly frequencyHz?: number;
      readonly text: string;
      readonly seconds: number;
    }
  /** The script has something to do for a station that a person plays. */
  | { readonly type: 'cue'; readonly event: ScenarioEvent }
  /** The script had something to do that was not possible. */
  | { readonly type: 'skipped'; readonly event: ScenarioEvent; readonly reason: string }
);

/** How a scenario is played. */
export interface PlayOptions {
  /** Stations that a person plays: their operator stays away and the script only gives cues; default none. */
  readonly manual?: readonly Identity[];
  /** Samples per second, 8000–48000; default 8000. */
  readonly sampleRate?: number;
  /**
   * Takes the audio of every frequency that the scenario's own station watches, as heard there and with what it
   * sends itself: without a gap from the beginning. `heard` is what its receiver hears of that: while the station
   * sends, the noise alone.
   */
  readonly onAudio?: (frequencyHz: number, samples: Float32Array, heard: Float32Array) => void;
  /** Makes the receivers; default: those of the `receiver` room. */
  readonly createReceiver?: (options: ReceiverOptions) => Receiver;
}

/** A scenario that is being played. Times are milliseconds since 1970 UTC on its clock. */
export interface ScenarioPlay {
  readonly scenario: Scenario;
  readonly now: number;
  /** When something happens next; undefined when the scenario is over. */
  next(): number | undefined;
  /** Lets time pass up to a moment, and gives what happened. */
  advance(to: number): SimulationEvent[];
  /**
   * Does something at a station now, as its operator would.
   *
   * @throws DotphaseError when there is no such station, or as `stepStation`
   */
  act(station: Identity, event: StationEvent): SimulationEvent[];
  /**
   * Does now what a scripted event says.
   *
   * @throws DotphaseError when its station is not in the scenario
   */
  perform(event: ScenarioEvent): SimulationEvent[];
  /** A station's procedures as they stand. */
  state(station: Identity): StationState;
}

interface Player {
  readonly config: ScenarioStation;
  readonly operator: Operator;
  readonly isManual: boolean;
  state: StationState;
  /** Transmissions by the station's ids: the medium's id and what is being sent. */
  readonly onAir: Map<number, { id: number; exchange: number; call: Call; frequencyHz: number }>;
}

/** How fast people speak on the radio: common practice, no source. */
const CHARACTERS_PER_SECOND = 14;

interface Planned {
  readonly at: number;
  readonly run: () => void;
}

function fits(path: ScenarioPath, from: string, to: string, frequencyHz: number): boolean {
  if (path.frequencies && !path.frequencies.includes(frequencyHz)) return false;
  const matches = (a: string, b: string) =>
    (path.from === '*' || path.from === a) && (path.to === '*' || path.to === b);
  return matches(from, to) || (path.bothWays !== false && matches(to, from));
}

/**
 * Sets a scenario up to be played.
 *
 * @param scenario - from {@link parseScenario}
 * @throws DotphaseError when an option is wrong
 */
export function createPlay(scenario: Scenario, options: PlayOptions = {}): ScenarioPlay {
  const { seed = 0, stations, paths = [], own } = scenario;
  const start = Date.parse(scenario.start);
  const end = start + scenario.durationSeconds * 1000;
  const name = namingBy(stations);
  const coastStation = stations.find(({ identity }) => isCoastStation(identity))?.identity;
  const players = new Map<string, Player>();
  let events: SimulationEvent[] = [];
  const planned: Planned[] = [];
  let now = start;

  const playerOf = (identity: string): Player => {
    const player = players.get(identity);
    if (!player) throw new DotphaseError('station', identity, 'the identity of one of the stations');
    return player;
  };

  function pathOf(from: string, to: string, frequencyHz: number): PathConditions | undefined {
    const [sender, listener] = [playerOf(from), playerOf(to)];
    if ([sender, listener].some(({ operator }) => operator.behaviour === 'outOfRange')) return undefined;
    const special = paths.findLast((path) => fits(path, from, to, frequencyHz));
    if (special?.blocked) return undefined;
    const [a, b] = [sender, listener].map(({ config }) => config.position);
    const plain = pathByDistance(a, b, frequencyHz);
    if (!special) return plain;
    const { levelDb, delayMs = plain?.delayMs, fading, stages } = special;
    return { levelDb, delayMs, fading, stages };
  }

  const medium = createMedium({
    seed,
    path: pathOf,
    ...(options.sampleRate !== undefined && { sampleRate: options.sampleRate }),
    ...(options.createReceiver && { createReceiver: options.createReceiver }),
  });

  /** Adds something to the plan, at a whole millisecond and behind what is planned for the same time. */
  function schedule(time: number, run: () => void): void {
    const at = Math.ceil(time);
    const index = planned.findIndex((other) => other.at > at);
    planned.splice(index < 0 ? planned.length : index, 0, { at, run });
  }

  type Detail<H> = H extends SimulationEvent ? Omit<H, 'time' | 'station'> : never;
  function happen(station: Identity, detail: Detail<SimulationEvent>): void {
    events.push({ time: now, station, ...detail });
  }

  function give(player: Player, event: StationEvent): void {
    const { state, actions } = stepStation(player.state, event, now);
    player.state = state;
    for (const action of actions) carryOut(player, action);
  }

  function carryOut(player: Player, action: StationAction): void {
    switch (action.type) {
      case 'transmit':
        transmit(player, action);
        return;
      case 'cease':
        cease(player, action.transmission);
        return;
      case 'timer':
        schedule(action.at, () => {
          if ((dueAt(player.state) ?? Infinity) <= now) give(player, { type: 'tick' });
        });
        return;
      default:
        happen(player.config.identity, { type: 'action', action });
        if (player.isManual) return;
        for (const reaction of player.operator.react(action, player.state)) {
          schedule(now + reaction.afterMs, () => {
            react(player, reaction);
          });
        }
    }
  }

  function react(player: Player, reaction: Reaction): void {
    if (reaction.type === 'say') {
      const { text, frequencyHz, isMoot } = reaction;
      say(player, text, frequencyHz, () => isMoot(player.state));
      return;
    }
    const { event } = reaction;
    const isOpen = choicesFor(player.state, event.exchange).some(({ choice }) => choice === event.choice);
    if (isOpen) give(player, event);
  }

  /** Until when someone speaks on each frequency, milliseconds. */
  const spokenUntil = new Map<number | undefined, number>();

  /** Speaks, once nobody else does on that frequency and if it is not pointless by then. */
  function say(
    player: Player,
    text: string,
    frequencyHz: number | undefined,
    isMoot: () => boolean = () => false,
  ): void {
    const free = spokenUntil.get(frequencyHz) ?? 0;
    if (free > now) {
      schedule(free, () => {
        say(player, text, frequencyHz, isMoot);
      });
      return;
    }
    if (isMoot()) return;
    const seconds = Math.ceil(text.length / CHARACTERS_PER_SECOND);
    spokenUntil.set(frequencyHz, now + seconds * 1000);
    const where = frequencyHz === undefined ? {} : { frequencyHz };
    happen(player.config.identity, { type: 'voice', ...where, text, seconds });
  }

  function transmit(player: Player, action: Extract<StationAction, { type: 'transmit' }>): void {
    const { transmission, exchange, call, frequencyHz, repeat, rule } = action;
    const { identity } = player.config;
    const samples = callAudio(call, { sampleRate: medium.sampleRate, frequencyHz, repeat });
    const { id } = medium.transmit(identity, frequencyHz, samples, now - start);
    const seconds = samples.length / medium.sampleRate;
    player.onAir.set(transmission, { id, exchange, call, frequencyHz });
    happen(identity, { type: 'sending', exchange, call, frequencyHz, repeat, seconds, rule });
    schedule(now, () => {
      occupy(frequencyHz);
    });
    schedule(now + Math.ceil(seconds * 1000), () => {
      endTransmission(player, transmission, true);
    });
  }

  function cease(player: Player, transmission: number): void {
    const sent = player.onAir.get(transmission);
    if (!sent) return;
    medium.cease(sent.id, now - start);
    const { exchange, call, frequencyHz } = sent;
    happen(player.config.identity, { type: 'ceased', exchange, call, frequencyHz });
    schedule(now, () => {
      endTransmission(player, transmission, false);
    });
  }

  function endTransmission(player: Player, transmission: number, whole: boolean): void {
    const sent = player.onAir.get(transmission);
    if (!sent) return;
    player.onAir.delete(transmission);
    give(player, { type: whole ? 'sent' : 'unsent', transmission });
    schedule(now, () => {
      occupy(sent.frequencyHz);
    });
  }

  /** Tells everyone on a frequency whether it is occupied, where that changed. */
  function occupy(frequencyHz: number): void {
    for (const player of players.values()) {
      const { identity, watch } = player.config;
      if (!watch.includes(frequencyHz)) continue;
      const busy = medium.isBusy(identity, frequencyHz, now - start);
      if (busy !== player.state.busy.includes(frequencyHz)) {
        give(player, { type: 'channel', frequencyHz, busy });
      }
    }
  }

  function takeReport(report: MediumReport): void {
    const { station, frequencyHz } = report;
    if (report.type === 'lost') {
      happen(station, { type: 'lost', frequencyHz, reason: report.reason });
      return;
    }
    const { received } = report;
    const { call, quality } = received;
    happen(station, { type: 'received', frequencyHz, received });
    const endedAt = start + received.end * 1000;
    give(playerOf(station), { type: 'received', call, frequencyHz, endedAt, quality });
  }

  function setPosition(player: Player, position: ScenarioStation['position']): void {
    give(player, {
      type: 'position',
      position: position ?? 'none',
      time: position ? timeOfDay(now) : 'none',
    });
  }

  /** Chooses in the latest exchange where the choice is open. */
  function chooseLatest(player: Player, event: Extract<ScenarioEvent, { do: 'choose' }>): string | undefined {
    const { choice, reason, message, telecommand1, frequencyHz, to, directed, necessary } = event;
    const latest = player.state.exchanges.findLast(({ id }) =>
      choicesFor(player.state, id).some((open) => open.choice === choice),
    );
    if (!latest) return 'no exchange is open to this choice';
    const choose: ChooseEvent = {
      type: 'choose',
      exchange: latest.id,
      choice,
      ...(reason && { reason }),
      ...(message && { message }),
      ...(telecommand1 && { telecommand1 }),
      ...(frequencyHz !== undefined && { frequencyHz }),
      ...(to && { to }),
      ...(directed !== undefined && { directed }),
      ...(necessary !== undefined && { necessary }),
    };
    give(player, choose);
    return undefined;
  }

  function perform(event: ScenarioEvent): string | undefined {
    const player = playerOf(event.station);
    switch (event.do) {
      case 'call':
        give(player, { type: 'call', call: event.call, frequencyHz: event.frequencyHz });
        return undefined;
      case 'distress': {
        const { nature, followOn, frequencies } = event;
        give(player, { type: 'distress', nature, followOn, frequencies });
        return undefined;
      }
      case 'choose':
        return chooseLatest(player, event);
      case 'behaviour':
        player.operator.behaviour = event.behaviour;
        return undefined;
      case 'move':
        setPosition(player, event.position);
        return undefined;
      case 'say':
        say(player, event.text, event.frequencyHz);
        return undefined;
    }
  }

  function performTelling(event: ScenarioEvent): void {
    try {
      const reason = perform(event);
      if (reason !== undefined) happen(event.station, { type: 'skipped', event, reason });
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      happen(event.station, { type: 'skipped', event, reason: error.message });
    }
  }

  function cueOrPerform(event: ScenarioEvent): void {
    const isForPerson = playerOf(event.station).isManual && event.do !== 'behaviour' && event.do !== 'move';
    if (isForPerson) happen(event.station, { type: 'cue', event });
    else performTelling(event);
  }

  function take(): SimulationEvent[] {
    const taken = events;
    events = [];
    return taken;
  }

  for (const config of stations) {
    const { identity, name: called, callSign, groups = [], automatic = [], watch, noiseDb } = config;
    const settings = {
      identity,
      name: called,
      ...(callSign !== undefined && { callSign }),
      ...(coastStation !== undefined && { coastStation }),
      groups,
      automatic: Object.fromEntries(automatic.map((kind) => [kind, true])),
      seed,
    };
    const operatorSeed = seedFor(seed, `operator ${identity}`);
    const player: Player = {
      config,
      operator: createOperator(config, {
        name,
        canRelay: coastStation !== undefined,
        seed: operatorSeed,
      }),
      isManual: options.manual?.includes(identity) ?? false,
      state: createStation(settings, start),
      onAir: new Map(),
    };
    players.set(identity, player);
    setPosition(player, config.position);
    for (const frequencyHz of watch) {
      const { onAudio } = options;
      medium.listen({
        station: identity,
        frequencyHz,
        ...(noiseDb !== undefined && { noiseDb }),
        ...(onAudio &&
          identity === own && {
            onAudio: (samples, heard) => {
              onAudio(frequencyHz, samples, heard);
            },
          }),
      });
    }
  }
  for (const identity of options.manual ?? []) playerOf(identity);
  for (const event of scenario.events) {
    schedule(start + event.at * 1000, () => {
      cueOrPerform(event);
    });
  }

  function next(): number | undefined {
    const sound = medium.next();
    const times = [
      ...(planned.length > 0 ? [planned[0].at] : []),
      ...(sound === undefined ? [] : [start + sound]),
    ];
    const first = Math.max(now, Math.min(...times));
    return first <= end ? first : undefined;
  }

  return {
    scenario,
    get now() {
      return now;
    },
    next,
    advance(to) {
      const until = Math.min(to, end);
      for (let at = next(); at !== undefined && at <= until; at = next()) {
        now = at;
        const sound = medium.next();
        if (sound !== undefined && start + sound <= now) medium.advance(now - start).forEach(takeReport);
        while (planned.length > 0 && planned[0].at <= now) planned.shift()?.run();
      }
      now = Math.max(now, until);
      medium.advance(now - start).forEach(takeReport);
      return take();
    },
    act(station, event) {
      give(playerOf(station), event);
      return take();
    },
    perform(event) {
      performTelling(event);
      return take();
    },
    state: (station) => playerOf(station).state,
  };
}

/**
 * Plays a scenario from beginning to end on its own clock, as fast as it computes.
 *
 * @param scenario - from {@link parseScenario}
 * @returns what happened, in order
 * @throws DotphaseError when an option is wrong
 */
export function playScenario(scenario: Scenario, options: PlayOptions = {}): SimulationEvent[] {
  const play = createPlay(scenario, options);
  return play.advance(Infinity);
}

/** How a scenario is played in real time. */
export interface LiveOptions extends PlayOptions {
  /** How many times faster than life, above 0, `Infinity` for as fast as it computes; default 1. */
  readonly pace?: number;
  /** Gives the real time in milliseconds, for example `Date.now`. */
  readonly clock: () => number;
  /** Waits for so many milliseconds of real time. */
  readonly wait: (milliseconds: number) => Promise<void>;
  /** Told of everything at its time; a person's part is played from here. The clock stands still until it returns. */
  readonly onEvent: (event: SimulationEvent, play: ScenarioPlay) => void | Promise<void>;
  /** Stops the play at once, also while it waits: the promise is rejected with the signal's reason. */
  readonly signal?: AbortSignal;
}

/**
 * Plays a scenario in real time, or some times faster.
 *
 * @param scenario - from {@link parseScenario}
 * @throws DotphaseError when an option is wrong; the reason of `signal` where it stops the play
 */
export async function playScenarioLive(scenario: Scenario, options: LiveOptions): Promise<void> {
  const { pace = 1, clock, wait, onEvent, signal } = options;
  if (!(pace > 0)) throw new DotphaseError('pace', pace, 'a number above 0');
  const play = createPlay(scenario, options);
  const started = play.now;
  let anchor = clock();
  const tell = async (happened: readonly SimulationEvent[]): Promise<void> => {
    const before = clock();
    for (const event of happened) {
      signal?.throwIfAborted();
      await onEvent(event, play);
    }
    anchor += clock() - before;
  };
  for (let at = play.next(); at !== undefined; at = play.next()) {
    signal?.throwIfAborted();
    const delay = anchor + (at - started) / pace - clock();
    if (delay > 0) await orAborted(wait(delay), signal);
    await tell(play.advance(at));
  }
  await tell(play.advance(Infinity));
}
