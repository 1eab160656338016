/**
 * Which acknowledgement belongs to which call, and the acknowledgements that a station gives: ITU-R M.493
 * Tables A1-4.1 to A1-4.10 and ITU-R M.541 Annexes 1 and 3 (from memory).
 */
import {
  identityKind,
  identityMid,
  isUnassigned,
  type DecodedCall,
  type AutomaticAcknowledgement,
  type Call,
  type CallKind,
  type CommunicationCall,
  type DistressAcknowledgement,
  type DistressAlert,
  type DistressMessage,
  type Identity,
  type Message,
  type OwnAlertCancellation,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import type { FirstTelecommandName, SecondTelecommandName } from '../symbols/index.js';
import type { PositionForCall } from '../navigation/index.js';

/** The kind of the acknowledgement of each kind of call that may ask for one. */
const ACKNOWLEDGEMENT_OF = {
  testCall: 'testAcknowledgement',
  positionRequest: 'positionReport',
  pollingRequest: 'pollingReply',
  urgencyCall: 'urgencyAcknowledgement',
  safetyCall: 'safetyAcknowledgement',
  routineCall: 'routineAcknowledgement',
  automaticCall: 'automaticAcknowledgement',
  distressRelay: 'relayAcknowledgement',
} as const satisfies Partial<Record<CallKind, CallKind>>;

/** The kinds of call that a station may send on its own initiative, apart from a distress alert. */
export type RequestKind = keyof typeof ACKNOWLEDGEMENT_OF;

/** A call that may ask for an acknowledgement. */
export type RequestCall = Extract<Call, { kind: RequestKind }>;

const ACKNOWLEDGEMENTS: readonly string[] = Object.values(ACKNOWLEDGEMENT_OF);

/** Whether a call is of a kind that a station may send on its own initiative, apart from a distress alert. */
export function isRequest(call: Call): call is RequestCall {
  return call.kind in ACKNOWLEDGEMENT_OF;
}

/** Whether a call is the acknowledgement of a {@link RequestCall}. */
export function isAcknowledgement(call: Call): boolean {
  return ACKNOWLEDGEMENTS.includes(call.kind);
}

/** The one station a call is addressed to, if it is addressed to one. */
export function calledStation(call: Call): Identity | undefined {
  if (!('to' in call) || typeof call.to !== 'object' || !('station' in call.to)) return undefined;
  return isUnassigned(call.to.station) ? undefined : call.to.station;
}

/** The sender, where it can be read. */
export function senderOf(call: DecodedCall): Identity | undefined {
  return 'self' in call && typeof call.self === 'string' ? call.self : undefined;
}

/** Whether a call asks its addressee for an acknowledgement. */
export function asksForAcknowledgement(call: Call): boolean {
  return (
    isRequest(call) &&
    calledStation(call) !== undefined &&
    (call.eos ?? 'acknowledgeRequest') === 'acknowledgeRequest'
  );
}

/** Whether `answering` may answer in the name of `called`: it is the same, or a coast station of the called group. */
function answersFor(called: Identity, answering: Identity): boolean {
  if (called === answering) return true;
  const isGroup = identityKind(called) === 'coastStationGroup';
  const mid = identityMid(called);
  return (
    isGroup &&
    identityKind(answering) === 'coastStation' &&
    (mid === undefined || mid === identityMid(answering))
  );
}

/**
 * Whether an acknowledgement belongs to a call by kind and identities; whether its time fits is not asked here.
 *
 * @param acknowledgement - as received
 * @param call - as sent
 */
export function acknowledges(acknowledgement: Call, call: Call): boolean {
  if (!isRequest(call) || acknowledgement.kind !== ACKNOWLEDGEMENT_OF[call.kind]) return false;
  const called = calledStation(call);
  const sender = senderOf(acknowledgement);
  if (sender === undefined) return false;
  const toCaller = calledStation(acknowledgement) === senderOf(call);
  if (call.kind === 'distressRelay') {
    const sameCasualty = 'casualty' in acknowledgement && acknowledgement.casualty === call.casualty;
    const fits = called === undefined ? identityKind(sender) === 'coastStation' : answersFor(called, sender);
    return (
      sameCasualty && fits && (toCaller || ('to' in acknowledgement && acknowledgement.to === 'allShips'))
    );
  }
  return toCaller && called !== undefined && answersFor(called, sender) && asksForAcknowledgement(call);
}

/** How an incoming call is answered. */
export type Answer =
  /** The station complies with what the call proposes. */
  | { readonly type: 'able' }
  /** It does not. */
  | { readonly type: 'unable'; readonly reason: SecondTelecommandName }
  /** It complies in another way: another working frequency, another kind of communication or both. */
  | {
      readonly type: 'propose';
      /** Seen from the answering station, as the call's own message is. */
      readonly message: Message;
      readonly telecommand1?: FirstTelecommandName;
    };

const NO_CHANNELS: Message = { receive: 'none', transmit: 'none' };

type Communication = Pick<CommunicationCall, 'telecommand1' | 'telecommand2' | 'message'>;

function communication(call: Communication, answer: Answer, where: PositionForCall): Communication {
  const { telecommand1, telecommand2, message } = call;
  switch (answer.type) {
    case 'able':
      // A position may be asked for in category routine as well as safety.
      if (telecommand1 === 'position') return { telecommand1, telecommand2, message: where };
      return { telecommand1, telecommand2, message };
    case 'unable':
      return { telecommand1: 'unable', telecommand2: answer.reason, message: NO_CHANNELS };
    case 'propose':
      return { telecommand1: answer.telecommand1 ?? telecommand1, telecommand2, message: answer.message };
  }
}

function distressMessage({ nature, position, time, followOn }: DistressMessage): DistressMessage {
  return { nature, position, time, followOn };
}

/** Who answers, and where that station is. */
export interface Answering {
  readonly self: Identity;
  /** For a position report; default: none. */
  readonly position?: PositionForCall;
}

function answerAutomatic(
  call: Extract<Call, { kind: 'automaticCall' }>,
  answer: Answer,
  head: Pick<AutomaticAcknowledgement, 'to' | 'self'>,
  position: PositionForCall,
): AutomaticAcknowledgement {
  return {
    kind: 'automaticAcknowledgement',
    ...head,
    ...communication(call, answer, position),
    telephone: call.telephone,
  };
}

/**
 * The acknowledgement of a call that asks for one.
 *
 * @param call - as received, addressed to one station
 * @param answer - tests, position and polling requests and relays can only be complied with
 * @param station - who answers
 * @throws DotphaseError when the call asks for no acknowledgement, its sender cannot be read, or the answer does not
 *   suit its kind
 */
export function acknowledgementOf(call: Call, answer: Answer, station: Answering): Call {
  const sender = senderOf(call);
  if (!isRequest(call) || sender === undefined) {
    throw new DotphaseError('call', call, 'a call that asks for an acknowledgement, with a readable sender');
  }
  if (call.kind !== 'distressRelay' && !asksForAcknowledgement(call)) {
    throw new DotphaseError('call', call, 'a call to one station that asks for an acknowledgement');
  }
  if (!('telecommand1' in call) && answer.type !== 'able') {
    throw new DotphaseError('answer.type', answer.type, `able, for a ${call.kind} proposes nothing`);
  }
  const { self, position = { position: 'none', time: 'none' } } = station;
  const head = { to: { station: sender }, self };
  switch (call.kind) {
    case 'testCall':
      return { kind: 'testAcknowledgement', ...head };
    case 'pollingRequest':
      return { kind: 'pollingReply', ...head };
    case 'positionRequest':
      return { kind: 'positionReport', ...head, ...position };
    case 'urgencyCall':
      return { kind: 'urgencyAcknowledgement', ...head, ...communication(call, answer, position) };
    case 'safetyCall':
      return { kind: 'safetyAcknowledgement', ...head, ...communication(call, answer, position) };
    case 'routineCall':
      return { kind: 'routineAcknowledgement', ...head, ...communication(call, answer, position) };
    case 'automaticCall':
      return answerAutomatic(call, answer, head, position);
    case 'distressRelay':
      return { kind: 'relayAcknowledgement', ...head, casualty: call.casualty, ...distressMessage(call) };
  }
}

/** The acknowledgement of a distress alert, to all ships. */
export function distressAcknowledgementOf(alert: DistressAlert, self: Identity): DistressAcknowledgement {
  return { kind: 'distressAcknowledgement', self, casualty: alert.self, ...distressMessage(alert) };
}

/** The call that takes a station's own alert back. */
export function cancellationOf(alert: DistressAlert): OwnAlertCancellation {
  return { kind: 'ownAlertCancellation', self: alert.self, ...distressMessage(alert) };
}
