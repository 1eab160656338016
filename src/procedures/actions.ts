/**
 * What a station is told (events) and what it wants done (actions).
 */
import type { Address, Call, DecodedCall, Position, TimeOfDay } from '../calls/index.js';
import type { Answer } from './acknowledgement.js';
import type { Exchange, OwnDistress } from './exchange.js';
import type { Cancellation, Notice, Refusal } from './notices.js';
import type { RuleName } from './rules.js';

/** What an operator may choose to do with an exchange. */
export const CHOICE_NAMES = [
  /** Comply with a received call. */
  'able',
  /** Refuse it, with a reason. */
  'unable',
  /** Comply on another channel or in another way. */
  'propose',
  /** Send the same answer once more. */
  'again',
  /** Send an unanswered call, or a distress attempt, once more. */
  'resend',
  /** Take the own alert back. */
  'cancel',
  /** Acknowledge another station's alert by DSC. */
  'acknowledge',
  /** Acknowledge a distress relay by DSC. */
  'acknowledgeRelay',
  /** Relay another station's alert. */
  'relay',
  /** End it. */
  'stop',
] as const;

/** One of {@link CHOICE_NAMES}. */
export type ChoiceName = (typeof CHOICE_NAMES)[number];

/** One thing that may be done now or later. */
export interface Choice {
  readonly choice: ChoiceName;
  /** The kind of exchange that it belongs to. */
  readonly kind: Exchange['kind'];
  /** With `relay`: the only kind of station that it may go to, where there is one. */
  readonly to?: 'coastStation';
  /** Not before this, milliseconds; 0 where it may be done at once, absent while its condition does not hold. */
  readonly from?: number;
  /**
   * What must be confirmed with the choice: `consulted` (with `directed`), that a coast station or rescue centre was consulted;
   * `necessary`, that the casualty cannot alert by itself and the master finds further help necessary.
   */
  readonly needs?: 'consulted' | 'necessary';
  readonly rule: RuleName;
}

/** An operator's choice, with what it needs. */
export interface ChooseEvent {
  readonly type: 'choose';
  /** The exchange's id. */
  readonly exchange: number;
  readonly choice: ChoiceName;
  /** With `unable`: why; default no reason. */
  readonly reason?: Extract<Answer, { type: 'unable' }>['reason'];
  /** With `propose`: where and how instead. */
  readonly message?: Extract<Answer, { type: 'propose' }>['message'];
  readonly telecommand1?: NonNullable<Extract<Answer, { type: 'propose' }>['telecommand1']>;
  /** The DSC frequency to use, assigned, hertz; default where the rules put it. */
  readonly frequencyHz?: number;
  /** With `relay`: to whom; default from a ship its coast station, from a coast station all ships. */
  readonly to?: Address;
  /** With `acknowledge` on a ship: a coast station or a rescue centre was consulted; default false. */
  readonly directed?: boolean;
  /**
   * With `relay` on a ship, or `resend` of its relay: the casualty cannot alert by itself and further help is
   * necessary; default false.
   */
  readonly necessary?: boolean;
}

/** What happens to a station. */
export type StationEvent =
  /** The operator sends a distress alert; one to seven DSC frequencies, hertz, at most six of them MF and HF. */
  | ({ readonly type: 'distress'; readonly frequencies: readonly number[] } & OwnDistress)
  /** The operator sends another call on their own initiative, on a DSC frequency. */
  | { readonly type: 'call'; readonly call: Call; readonly frequencyHz: number }
  | ChooseEvent
  /** The own position changed, or was lost. */
  | {
      readonly type: 'position';
      readonly position: Position | 'none';
      readonly time: TimeOfDay | 'none';
    }
  /** A call was received on a DSC frequency. */
  | {
      readonly type: 'received';
      /** As far as it was received. */
      readonly call: DecodedCall;
      readonly frequencyHz: number;
      /** When it ended, milliseconds; default now. */
      readonly endedAt?: number;
      /** How sure it is; default clean. */
      readonly quality?: 'clean' | 'recovered' | 'doubtful';
    }
  /** A transmission ended: whole, or cut off or never begun. */
  | { readonly type: 'sent' | 'unsent'; readonly transmission: number }
  /** A frequency became occupied by others, or free. */
  | { readonly type: 'channel'; readonly frequencyHz: number; readonly busy: boolean }
  /** Time has passed. */
  | { readonly type: 'tick' };

/** What a station wants done. Each names the rule it follows; `RULES` of `dotphase/procedures/texts` has its words. */
export type StationAction =
  /** An exchange went from one phase to another. */
  | {
      readonly type: 'phase';
      readonly exchange: number;
      readonly kind: Exchange['kind'];
      /** Undefined where the exchange has just begun. */
      readonly from: Exchange['phase'] | undefined;
      readonly to: Exchange['phase'];
      readonly rule: RuleName;
    }
  /** Put a call on the air now, `repeat` times in a row without a gap; then report `sent`, or `unsent`. */
  | {
      readonly type: 'transmit';
      /** Named again in `sent`, `unsent` and `cease`. */
      readonly transmission: number;
      readonly exchange: number;
      readonly call: Call;
      /** DSC frequency, assigned, hertz. */
      readonly frequencyHz: number;
      readonly repeat: number;
      readonly rule: RuleName;
    }
  /** Break a transmission off at once and report `unsent`. */
  | { readonly type: 'cease'; readonly transmission: number; readonly rule: RuleName }
  /** Tell the operator. */
  | { readonly type: 'tell'; readonly exchange?: number; readonly notice: Notice; readonly rule: RuleName }
  /** Set watch where a call says that communication goes on; `exchange` is absent for a call to many. */
  | {
      readonly type: 'watch';
      readonly exchange?: number;
      /** The call that it follows. */
      readonly call: Call;
      /** The DSC frequency that the call went out on, assigned, hertz. */
      readonly frequencyHz: number;
      /** Which side of the call this station is on: `followUpOf` of `dotphase/frequencies` says what follows for it. */
      readonly side: 'caller' | 'called';
      /** What to say there, where the procedure prescribes it. */
      readonly say?: Cancellation;
      readonly rule: RuleName;
    }
  /** The operator may choose. */
  | {
      readonly type: 'offer';
      readonly exchange: number;
      readonly choices: readonly Choice[];
      readonly rule: RuleName;
    }
  /** The station goes on by itself at this time, milliseconds: report `tick` then. A later timer replaces it. */
  | { readonly type: 'timer'; readonly exchange: number; readonly at: number; readonly rule: RuleName }
  /** What the operator asked for is not done. */
  | { readonly type: 'refuse'; readonly refusal: Refusal; readonly rule: RuleName };
