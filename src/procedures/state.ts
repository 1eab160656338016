/**
 * A station as its procedures see it: who it is, what it sends and which exchanges it is in. Plain JSON data.
 */
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { seedFor } from '../dsp/index.js';
import type { Call, Identity, Position, TimeOfDay } from '../calls/index.js';
import type { Exchange } from './exchange.js';
import type { RuleName } from './rules.js';
import { requireSettings, type AutomaticAnswers, type StationSettings } from './settings.js';
import { requireNow, type ProcedureTiming } from './timing.js';

/** The priority of the own distress alert and its cancellation. */
export const OWN_DISTRESS_PRIORITY = 0;

/** The priority of calls about the distress of others. */
export const DISTRESS_PRIORITY = 1;

/** A time at which an exchange goes on by itself. */
export interface Deadline {
  readonly exchange: number;
  /** Milliseconds. */
  readonly at: number;
  readonly rule: RuleName;
}

/** A transmission, in the queue or on the air. */
export interface Transmission {
  readonly id: number;
  readonly exchange: number;
  readonly call: Call;
  readonly frequencyHz: number;
  /** Sendings in a row. */
  readonly repeat: number;
  /** Lower goes first: 0 the own distress, 1 the distress of others, 2 urgency, 3 safety, 4 routine. */
  readonly priority: number;
  /** Not before this, milliseconds. */
  readonly notBefore: number;
  /** Given up after this, milliseconds; absent for what is about distress, which waits as long as it must. */
  readonly giveUpAt?: number;
  readonly rule: RuleName;
}

/** A transmitter: what it sends and what waits for it. */
export interface Transmitter {
  current?: Transmission;
  /** Whether the current transmission was told to break off. */
  ceasing: boolean;
  queue: Transmission[];
}

/** The two radios of a station; they can send at the same time. */
export type RadioName = 'mf-hf' | 'vhf';

/** A station and its exchanges. Plain JSON data; only {@link stepStation} makes the next one from it. */
export interface StationState {
  readonly identity: Identity;
  readonly name?: string;
  readonly callSign?: string;
  readonly coastStation?: Identity;
  readonly groups: readonly Identity[];
  readonly automatic: AutomaticAnswers;
  readonly timing: ProcedureTiming;
  /** The latest time it was told, milliseconds. */
  now: number;
  /** The state of the random numbers. */
  random: readonly number[];
  nextId: number;
  position: Position | 'none';
  positionTime: TimeOfDay | 'none';
  readonly radios: Record<RadioName, Transmitter>;
  /** Frequencies that others occupy, hertz. */
  busy: number[];
  exchanges: Exchange[];
}

/**
 * A station that has done nothing yet.
 *
 * @param settings - who it is
 * @param now - milliseconds, on the clock that {@link stepStation} will be given
 * @throws DotphaseError naming what is wrong
 */
export function createStation(settings: StationSettings, now: number): StationState {
  requireNow(now);
  const { identity, name, callSign, coastStation, groups, automatic, timing, seed } =
    requireSettings(settings);
  return {
    identity,
    ...(name !== undefined && { name }),
    ...(callSign !== undefined && { callSign }),
    ...(coastStation !== undefined && { coastStation }),
    groups,
    automatic,
    timing,
    now,
    random: xoroshiro128plus(seedFor(seed, identity)).getState(),
    nextId: 1,
    position: 'none',
    positionTime: 'none',
    radios: { 'mf-hf': { ceasing: false, queue: [] }, vhf: { ceasing: false, queue: [] } },
    busy: [],
    exchanges: [],
  };
}
