/**
 * The typed calls: a union discriminated on what people call each kind (ITU-R M.493 Annex 1 §4–§9 and
 * Tables A1-4.1 to A1-4.10, from memory). All of it is plain JSON data.
 */
import type { FormatName } from '../symbols/index.js';
import type { Expansion } from './expansions/index.js';
import type {
  Address,
  Category,
  EndOfSequence,
  FirstTelecommand,
  FollowOn,
  Identity,
  Character,
  Message,
  Nature,
  Position,
  SecondTelecommand,
  TimeOfDay,
  Unassigned,
  WithNotReceived,
} from './values.js';

/** What every kind of call may carry in addition to its own fields. */
export interface CallExtras {
  /** Only where the end of sequence is not the one this kind of call has by the tables. */
  eos?: EndOfSequence;
  /** Symbols between the last known field and the end of sequence. */
  rest?: number[];
  /** What follows the call to say it more precisely, in the order it is sent. */
  expansions?: Expansion[];
}

/** The four messages of every distress call about the casualty. */
export interface DistressMessage {
  nature: Nature;
  position: Position | 'none' | Unassigned;
  /** When the position was valid. */
  time: TimeOfDay | 'none' | Unassigned;
  followOn: FollowOn;
}

/** A ship in distress alerts everyone (format 112). */
export interface DistressAlert extends CallExtras, DistressMessage {
  kind: 'distressAlert';
  self: Identity | Unassigned;
}

/** A station acknowledges a distress alert to all ships (format 116, telecommand 110). */
export interface DistressAcknowledgement extends CallExtras, DistressMessage {
  kind: 'distressAcknowledgement';
  self: Identity | Unassigned;
  casualty: Identity | 'unknown' | Unassigned;
}

/** The ship cancels its own false alert: an acknowledgement of itself. */
export interface OwnAlertCancellation extends CallExtras, DistressMessage {
  kind: 'ownAlertCancellation';
  self: Identity | Unassigned;
}

/** A station passes another's distress on (telecommand 112). */
export interface DistressRelay extends CallExtras, DistressMessage {
  kind: 'distressRelay';
  to: Address;
  self: Identity | Unassigned;
  casualty: Identity | 'unknown' | Unassigned;
}

/** The acknowledgement of a distress relay (end of sequence 122). */
export interface RelayAcknowledgement extends CallExtras, DistressMessage {
  kind: 'relayAcknowledgement';
  to: 'allShips' | ToStation;
  self: Identity | Unassigned;
  casualty: Identity | 'unknown' | Unassigned;
}

/** One station. */
export type ToStation = Extract<Address, { station: unknown }>;
/** One station or a group. */
export type ToStationOrGroup = ToStation | Extract<Address, { group: unknown }>;

/** The fields shared by every call that proposes a way to communicate. */
export interface CommunicationCall<To extends Address = Address> extends CallExtras {
  to: To;
  self: Identity | Unassigned;
  telecommand1: FirstTelecommand;
  telecommand2: SecondTelecommand;
  message: Message;
}

/** An urgency call (category 110). */
export interface UrgencyCall extends CommunicationCall {
  kind: 'urgencyCall';
}
/** The answer to an individual urgency call. */
export interface UrgencyAcknowledgement extends CommunicationCall<ToStation> {
  kind: 'urgencyAcknowledgement';
}
/** A safety call (category 108). */
export interface SafetyCall extends CommunicationCall {
  kind: 'safetyCall';
}
/** The answer to an individual safety call. */
export interface SafetyAcknowledgement extends CommunicationCall<ToStation> {
  kind: 'safetyAcknowledgement';
}
/** A routine call to a station or a group (category 100). */
export interface RoutineCall extends CommunicationCall<ToStationOrGroup> {
  kind: 'routineCall';
}
/** The answer to an individual routine call. */
export interface RoutineAcknowledgement extends CommunicationCall<ToStation> {
  kind: 'routineAcknowledgement';
}

/** A call between two stations whose telecommands and message are fixed by its kind. */
export interface FixedCall extends CallExtras {
  to: ToStation;
  self: Identity | Unassigned;
}

/** A test call (telecommand 118). */
export interface TestCall extends FixedCall {
  kind: 'testCall';
}
/** The answer to a test call. */
export interface TestAcknowledgement extends FixedCall {
  kind: 'testAcknowledgement';
}
/** Asks a ship for its position (telecommand 121). */
export interface PositionRequest extends FixedCall {
  kind: 'positionRequest';
}
/** The answer to a position request. */
export interface PositionReport extends FixedCall {
  kind: 'positionReport';
  position: Position | 'none' | Unassigned;
  time: TimeOfDay | 'none' | Unassigned;
}
/** Asks whether a ship is within range (telecommand 103). */
export interface PollingRequest extends FixedCall {
  kind: 'pollingRequest';
}
/** The answer to a polling request. */
export interface PollingReply extends FixedCall {
  kind: 'pollingReply';
}

/** A call by the semi-automatic or automatic service (format 123), usually with a telephone number. */
export interface AutomaticCall extends CallExtras {
  kind: 'automaticCall';
  to: ToStation;
  self: Identity | Unassigned;
  telecommand1: FirstTelecommand;
  telecommand2: SecondTelecommand;
  message: Message;
  /** 1–18 decimal digits, or `'none'` where the call holds no number. */
  telephone: string | Unassigned;
}
/** The answer to an {@link AutomaticCall}. */
export interface AutomaticAcknowledgement extends Omit<AutomaticCall, 'kind'> {
  kind: 'automaticAcknowledgement';
}

/**
 * A sequence built like a call that proposes a way to communicate, though no row of the tables allows it: for
 * example a routine call to all ships.
 */
export interface IrregularCall extends CommunicationCall {
  kind: 'irregularCall';
  category: Category;
}
/** Likewise, by the automatic service (format 123). */
export interface IrregularAutomaticCall extends Omit<AutomaticCall, 'kind'> {
  kind: 'irregularAutomaticCall';
  category: Category;
}
/** A sequence built like a distress call about a casualty, though no row of the tables allows it. */
export interface IrregularDistressCall extends CallExtras, DistressMessage {
  kind: 'irregularDistressCall';
  to: Address;
  self: Identity | Unassigned;
  telecommand1: FirstTelecommand;
  casualty: Identity | 'unknown' | Unassigned;
}

/** A sequence that is built like no call: kept whole, sent again as it is. */
export interface UnassignedCall {
  kind: 'unassignedCall';
  /** From one format specifier through the end of sequence, without the error check. */
  symbols: number[];
  /** What follows the call, in the order it is sent. */
  expansions?: Expansion[];
}

/**
 * Every call that can be sent. A received call may hold what no call that is made can: a field that was not received is
 * `{ notReceived: [...] }`, and a call whose kind depends on one has the kind `partialCall`. Such calls cannot be sent and
 * do not match here.
 */
export type Call =
  | DistressAlert
  | DistressAcknowledgement
  | OwnAlertCancellation
  | DistressRelay
  | RelayAcknowledgement
  | UrgencyCall
  | UrgencyAcknowledgement
  | SafetyCall
  | SafetyAcknowledgement
  | RoutineCall
  | RoutineAcknowledgement
  | TestCall
  | TestAcknowledgement
  | PositionRequest
  | PositionReport
  | PollingRequest
  | PollingReply
  | AutomaticCall
  | AutomaticAcknowledgement
  | IrregularCall
  | IrregularAutomaticCall
  | IrregularDistressCall
  | UnassignedCall;

/** The name of a kind of call. */
export type CallKind = Call['kind'];

/**
 * A call of which so little was received that its kind is not known: more than one kind of the tables fits. It holds
 * the fields of which something was received, as far as all those kinds agree on where they stand.
 */
export interface PartialCall extends Partial<WithNotReceived<PartialFields>> {
  kind: 'partialCall';
  /** From one format specifier through the end of sequence, null where not received. */
  symbols: Character[];
  /** What follows the call, in the order it is sent. */
  expansions?: WithNotReceived<Expansion>[];
}

/** The fields that a {@link PartialCall} may hold. */
interface PartialFields extends DistressMessage {
  format: FormatName | Unassigned;
  to: Address;
  category: Category;
  self: Identity | Unassigned;
  telecommand1: FirstTelecommand;
  telecommand2: SecondTelecommand;
  casualty: Identity | 'unknown' | Unassigned;
  message: Message;
  telephone: string | Unassigned;
  eos: EndOfSequence;
}

/**
 * Every call that decoding gives where characters may be missing: a {@link Call} whose fields may be of
 * characters that were not received, or one whose kind is not known. What was received whole is a {@link Call}.
 */
export type DecodedCall = WithNotReceived<Call> | PartialCall;

/** Kinds of call that have a row: those of the tables and the irregular ones. */
export type RowKind = Exclude<CallKind, 'unassignedCall'>;

/** The kinds that the tables hold. */
export type TableKind = Exclude<
  CallKind,
  'irregularCall' | 'irregularAutomaticCall' | 'irregularDistressCall' | 'unassignedCall'
>;
