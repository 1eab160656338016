/**
 * What a station tells its operator, as data; `dotphase/procedures/texts` puts it in words.
 */
import type { Call, DecodedCall, Identity, Position } from '../calls/index.js';
import type { Exchange } from './exchange.js';

/** A ship in distress. */

/** What an operator is told. Frequencies are assigned ones, hertz. */
export type Notice =
  /** What the rule named by the action says. */
  | { readonly type: 'rule' }
  /** A call came in: for sure, with doubt, or not whole. */
  | { readonly type: 'call'; readonly call: DecodedCall; readonly trust: 'sure' | 'doubtful' | 'partial' }
  /** A call that waits for its answer came again. */
  | { readonly type: 'sameCall' }
  /** A received call was left unanswered until its sender stopped waiting. */
  | { readonly type: 'expired' }
  /** A call goes out on a frequency that is not for it. */
  | { readonly type: 'frequency'; readonly call: Call; readonly frequencyHz: number }
  /** An own call other than an alert did not go out, or not whole. */
  | { readonly type: 'callUnsent' }
  /** The acknowledgement of a call, an alert or a relay did not go out, or not whole. */
  | { readonly type: 'acknowledgementUnsent' }
  /** The own alert or its cancellation did not go out, or not whole; it is sent again. */
  | { readonly type: 'alertUnsent'; readonly isCancellation: boolean; readonly frequencyHz: number }
  /** Nobody acknowledged an own call that was sent so many times. */
  | { readonly type: 'unanswered'; readonly attempts: number }
  /** An own call was acknowledged or refused: in time, after the wait was over, or after the operator had left it. */
  | { readonly type: 'acknowledged'; readonly call: Call; readonly when: 'inTime' | 'late' | 'left' }
  /** An own call was acknowledged once more. */
  | { readonly type: 'acknowledgedAgain'; readonly by: Identity | undefined; readonly frequencyHz: number }
  /** An acknowledgement for a call that was not sent, or is no longer awaited. */
  | { readonly type: 'unmatched'; readonly by: Identity | undefined }
  /** The exchange is complete and nothing follows by voice. */
  | { readonly type: 'complete' }
  /** A relay that waited is withdrawn, by the rule named by the action. */
  | { readonly type: 'relayWithdrawn' }
  /** An earlier own alert gives way to a new one. */
  | { readonly type: 'givesWay' }
  /** The own alert is no longer repeated. */
  | { readonly type: 'notRepeated' }
  /** Nothing of the own alert had been sent, so nothing needs to be cancelled. */
  | { readonly type: 'nothingSent' }
  /** The own alert is to be cancelled by voice too, on the telephony frequencies given. */
  | { readonly type: 'cancelByVoice'; readonly voiceHz: readonly number[] }
  /** The own alert was acknowledged. `frequencyHz` where that ended its repetition. */
  | {
      readonly type: 'alertAcknowledged';
      readonly by: Identity;
      readonly again: boolean;
      readonly frequencyHz?: number;
    }
  /** An alert was acknowledged that this station did not send. */
  | { readonly type: 'strangeAcknowledgement'; readonly by: Identity }
  /** An alert of another station came in: for the first time, again, or again though it was acknowledged. */
  | {
      readonly type: 'alert';
      readonly casualty: Identity | 'unknown';
      readonly frequencyHz: number;
      readonly time: 'first' | 'again' | 'afterAcknowledgement';
    }
  /** A relay of the distress of another station came in. */
  | {
      readonly type: 'relay';
      readonly by: Identity | undefined;
      readonly casualty: Identity | 'unknown';
      readonly frequencyHz: number;
      readonly again: boolean;
    }
  /** The own acknowledgement of a distress goes out later. */
  | { readonly type: 'acknowledgementDelayed'; readonly seconds: number }
  /** The own acknowledgement of a distress waits for its frequency to be free. */
  | { readonly type: 'acknowledgementWaits'; readonly frequencyHz: number }
  /** The own acknowledgement is withdrawn: a coast station was first. */
  | { readonly type: 'acknowledgementWithdrawn'; readonly by: Identity }
  /** The own acknowledgement of an alert is late. */
  | { readonly type: 'acknowledgementOverdue'; readonly casualty: Identity | 'unknown' }
  /** No coast station has acknowledged an alert for so long that the rule named by the action applies. */
  | { readonly type: 'noCoastStation'; readonly casualty: Identity | 'unknown' }
  /** Another station acknowledged the distress of a third one. */
  | { readonly type: 'distressAcknowledged'; readonly by: Identity; readonly casualty: Identity | 'unknown' }
  /** A coast station should be told of the alert: nobody but a ship acknowledged it, or this ship did. */
  | { readonly type: 'tellCoastStation'; readonly because: 'shipAcknowledged' | 'acknowledged' }
  /** A station cancelled its alert; `frequencyHz` where that alert had not been received, or was cancelled before. */
  | { readonly type: 'alertCancelled'; readonly casualty: Identity; readonly frequencyHz?: number }
  /** An open exchange was forgotten: there are too many. */
  | { readonly type: 'forgotten' };

/** Why what the operator asked for is not done. */
export type Refusal =
  /** The rule named by the action forbids it. */
  | { readonly type: 'rule' }
  /** The rule named by the action allows it only later: in so many seconds, or undefined while a condition lacks. */
  | { readonly type: 'early'; readonly seconds: number | undefined }
  /** There is no such exchange. */
  | { readonly type: 'noExchange'; readonly exchange: number }
  /** The exchange offers no such choice now. */
  | { readonly type: 'notOffered'; readonly phase: Exchange['phase'] }
  /** The alert itself was not received on that frequency. */
  | { readonly type: 'notReceived' }
  /** No coast station is known that the relay could go to. */
  | { readonly type: 'noAddressee' }
  /** Nothing is known of the alert that could be relayed. */
  | { readonly type: 'nothingToRelay' }
  /** A call that is not sent by itself, but by a procedure of its own. */
  | { readonly type: 'notByItself'; readonly kind: Call['kind'] }
  /** The call is not in the name of the station. */
  | { readonly type: 'otherSender'; readonly identity: Identity }
  /** No position: the last good one stands, or the alert goes out without. */
  | { readonly type: 'position'; readonly value: unknown; readonly isAlert: boolean }
  /** No time of day: the position stands without one. */
  | { readonly type: 'time'; readonly value: unknown };

/** What is said by voice to cancel an own alert. */
export interface Cancellation {
  readonly identity: Identity;
  readonly name?: string;
  readonly callSign?: string;
  readonly position: Position | 'none';
  /** When the alert was sent, milliseconds since 1970 UTC. */
  readonly alertAt: number;
}
