/**
 * What a station remembers of each exchange it takes part in. Plain JSON data.
 */
import type { Call, DistressAlert, Identity, Position, Nature, FollowOn, TimeOfDay } from '../calls/index.js';
import type { Expansion } from '../calls/index.js';
import type { RequestCall } from './acknowledgement.js';
import type { RuleName } from './rules.js';
import type { Addressed } from './table.js';

/** What every exchange has. */
export interface ExchangeBase {
  /** From 1 upwards, never used twice by one station. */
  readonly id: number;
  /** When it entered its present phase, milliseconds. */
  since: number;
}

/** What the operator says of the own distress; what is left out is taken from the own position at each attempt. */
export interface OwnDistress {
  readonly nature: Nature;
  readonly followOn: FollowOn;
  readonly position?: Position | 'none';
  readonly time?: TimeOfDay | 'none';
  readonly expansions?: readonly Expansion[];
}

/** The own distress alert. */
export interface DistressExchange extends ExchangeBase {
  readonly kind: 'distress';
  /**
   * `sending` an attempt, `waiting` for the acknowledgement or the next attempt, `acknowledged`, `stopped` by hand,
   * `cancelling` and `cancelled`.
   */
  phase: 'sending' | 'waiting' | 'acknowledged' | 'stopped' | 'cancelling' | 'cancelled';
  readonly distress: OwnDistress;
  /** DSC frequencies of each attempt, hertz. */
  readonly frequencies: readonly number[];
  /** Attempts of which at least one call went out whole. */
  attempts: number;
  /** Id of the first transmission of the present attempt: one before it was broken off by hand. */
  attemptFrom: number;
  /** Whether a call of the present attempt went out whole. */
  isOut: boolean;
  /** When the present attempt went on the air. */
  attemptAt?: number;
  /** When the latest attempt that went on the air did: the alert that a cancellation speaks of. */
  alertAt?: number;
  /** When the next attempt begins. */
  nextAt?: number;
  /** The alert as it was last sent; on VHF its telephony is F3E, on MF and HF J3E. */
  alert?: DistressAlert;
  /** Where it went out, or began to, hertz: where it must be cancelled. */
  sentOn: number[];
  /** Who acknowledged it, each once. */
  acknowledgedBy: Identity[];
}

/** A call of the own station that is no distress alert. */
export interface OutgoingExchange extends ExchangeBase {
  readonly kind: 'outgoing';
  /**
   * `sending`, `awaiting` the acknowledgement, `answered`, `declined`, `unanswered`, `announced` to many (nothing
   * is awaited) or `stopped` by hand.
   */
  phase: 'sending' | 'awaiting' | 'answered' | 'declined' | 'unanswered' | 'announced' | 'stopped';
  readonly call: RequestCall;
  readonly frequencyHz: number;
  /** Of a relay: the operator confirmed that the casualty cannot alert and further help is necessary. */
  isNecessary?: boolean;
  /** Times that it was sent whole. */
  attempts: number;
  /** When the latest whole sending ended. */
  sentAt?: number;
  /** When the latest whole sendings ended, at most five, in order. */
  sentTimes: number[];
  /** When waiting for the acknowledgement ends. */
  waitUntil?: number;
  /** The acknowledgement that counts: the first. */
  acknowledgement?: Call;
  /** How often it was acknowledged. */
  acknowledgements: number;
}

/** A call from another station that asks for an answer. */
export interface IncomingExchange extends ExchangeBase {
  readonly kind: 'incoming';
  /** `open` until the operator answers, `answering`, `answered`, `expired` or `closed` by hand. */
  phase: 'open' | 'answering' | 'answered' | 'expired' | 'closed';
  readonly call: RequestCall;
  /** Where it came, hertz. */
  frequencyHz: number;
  /** Left alone after this, milliseconds. */
  expiresAt: number;
  /** When it last came, milliseconds. */
  receivedAt: number;
  /** Times that it was received. */
  received: number;
  /** The answer as given or to be given. */
  answer?: Call;
  /** Where the answer goes, hertz. */
  answerHz?: number;
}

/** Where and when an alert was heard. */
export interface Reception {
  readonly frequencyHz: number;
  readonly firstAt: number;
  lastAt: number;
  count: number;
}

/** The distress of another station. */
export interface AlertExchange extends ExchangeBase {
  readonly kind: 'alert';
  /** `open` while no one acknowledged it, `acknowledged`, `cancelled` by the ship itself, or `closed` by hand. */
  phase: 'open' | 'acknowledged' | 'cancelled' | 'closed';
  readonly casualty: Identity | 'unknown';
  /** The alert as received from the ship itself; absent where only others spoke of it. */
  alert?: DistressAlert;
  /** Where the alert itself was heard. */
  heard: Reception[];
  /** The relay by another station that concerns this one most, where it came and how it was addressed. */
  relay?: { call: Extract<Call, { kind: 'distressRelay' }>; frequencyHz: number; addressed: Addressed };
  /** The first acknowledgement by another station of what was not heard itself, and where it came. */
  heardOf?: {
    call: Extract<Call, { kind: 'distressAcknowledgement' | 'relayAcknowledgement' }>;
    frequencyHz: number;
  };
  /** Who acknowledged the alert by DSC since it last came, each once. */
  acknowledgedBy: Identity[];
  /** An alert that comes later than this was sent by a ship that heard no acknowledgement, milliseconds. */
  settledUntil?: number;
  /** How often it came to be open: more than once where it came again after its acknowledgement. */
  openings: number;
  /** The acknowledgement of the own station, once it is on its way. */
  acknowledgement?: { call: Call; frequencyHz: number; sent: boolean };
  /** When the operator is told again, milliseconds, and by which rule. */
  reminder?: { at: number; rule: RuleName };
}

/** An exchange of any kind. */
export type Exchange = DistressExchange | OutgoingExchange | IncomingExchange | AlertExchange;
