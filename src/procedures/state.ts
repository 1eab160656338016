/**
 * A station as its procedures see it: who it is, what it sends and which exchanges it is in. Plain JSON data.
 */
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import * as z from 'zod';
import type { Call, Identity, Position, TimeOfDay } from '../calls/index.js';
import { checked } from '../data/index.js';
import type { Exchange } from './exchange.js';
import type { RuleName } from './rules.js';
import { requireTiming, type ProcedureTiming } from './timing.js';

/** What may be answered without the operator. Distress never is. */
export interface AutomaticAnswers {
  readonly test: boolean;
  readonly position: boolean;
  readonly polling: boolean;
}

/** Who a station is and how it works. */
export interface StationSettings {
  /** Nine digits; a coast station's begins with 00. */
  readonly identity: Identity;
  /** The groups that it answers for, nine digits each; default none. */
  readonly groups?: readonly Identity[];
  /** What is answered without the operator; default nothing. */
  readonly automatic?: Partial<AutomaticAnswers>;
  /** Waits that practice sets; default {@link DEFAULT_TIMING}. */
  readonly timing?: Partial<ProcedureTiming>;
  /** Chooses the random delays, an integer; default 0. Stations that share a frequency must not share it. */
  readonly seed?: number;
}

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
  /** Lower goes first: {@link OWN_DISTRESS_PRIORITY}, {@link DISTRESS_PRIORITY}, 2 urgency, 3 safety, 4 routine. */
  readonly priority: number;
  /** Not before this, milliseconds. */
  readonly notBefore: number;
  /** Given up after this, milliseconds; absent for distress. */
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

const IDENTITY = 'nine digits';
const identity = z.string({ error: IDENTITY }).regex(/^\d{9}$/, { error: IDENTITY });
const flag = z.boolean({ error: 'true or false' }).optional();

const SETTINGS = z.strictObject(
  {
    identity,
    groups: z
      .array(identity, { error: 'a list of identities' })
      .max(100, { error: 'at most 100 groups' })
      .optional(),
    automatic: z
      .strictObject({ test: flag, position: flag, polling: flag }, { error: 'test, position, polling' })
      .optional(),
    timing: z.record(z.string(), z.unknown(), { error: 'waits' }).optional(),
    seed: z.int({ error: 'an integer' }).optional(),
  },
  { error: 'settings of a station' },
);

/**
 * A station that has done nothing yet.
 *
 * @param settings - who it is
 * @param now - milliseconds, on the clock that {@link stepStation} will be given
 * @throws DotphaseError naming the setting that is wrong
 */
export function createStation(settings: StationSettings, now: number): StationState {
  const { identity, groups = [], automatic = {}, seed = 0 } = checked(SETTINGS, settings, 'settings');
  return {
    identity,
    groups,
    automatic: {
      test: automatic.test ?? false,
      position: automatic.position ?? false,
      polling: automatic.polling ?? false,
    },
    timing: requireTiming(settings.timing ?? {}),
    now,
    random: xoroshiro128plus(seed).getState(),
    nextId: 1,
    position: 'none',
    positionTime: 'none',
    radios: { 'mf-hf': { ceasing: false, queue: [] }, vhf: { ceasing: false, queue: [] } },
    busy: [],
    exchanges: [],
  };
}
