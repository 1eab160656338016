/**
 * Handling of a received call: whom it is for, what it is about, and which procedure takes it (ITU-R M.541 Annexes 1
 * and 3, from memory).
 */
import { isReceivedWhole, isUnassigned, type Call, type DecodedCall } from '../calls/index.js';
import { isFollowed } from '../frequencies/index.js';
import { asksForAcknowledgement, isAcknowledgement, isRequest, senderOf } from './acknowledgement.js';
import type { StationEvent } from './actions.js';
import { addressedOf, roleOf } from './addressing.js';
import {
  acknowledgementHeard,
  alertCancelled,
  alertReceived,
  ownRelayAcknowledged,
  relayReceived,
} from './alerts.js';
import { requestReceived } from './answering.js';
import { acknowledgementReceived } from './calling.js';
import type { StepContext } from './stepcontext.js';
import { ownAlertAcknowledged } from './distress.js';
import { reachOf, rulingOn, type Addressed, type ReceivedKind } from './table.js';

/** Kinds and parts that the call tables do not allow. */
function isIrregular(call: Call): boolean {
  return (
    call.kind === 'unassignedCall' ||
    call.kind === 'irregularCall' ||
    call.kind === 'irregularAutomaticCall' ||
    call.kind === 'irregularDistressCall' ||
    call.rest !== undefined ||
    call.eos !== undefined
  );
}

type Distress<Of extends DecodedCall = Call> = Extract<
  Of,
  {
    kind:
      | 'distressAlert'
      | 'distressAcknowledgement'
      | 'ownAlertCancellation'
      | 'distressRelay'
      | 'relayAcknowledgement';
  }
>;

function isDistress(call: Call): call is Distress;
function isDistress(call: DecodedCall): boolean;
function isDistress(call: DecodedCall): boolean {
  return (
    call.kind === 'distressAlert' ||
    call.kind === 'distressAcknowledgement' ||
    call.kind === 'ownAlertCancellation' ||
    call.kind === 'distressRelay' ||
    call.kind === 'relayAcknowledgement'
  );
}

function takeDistress(context: StepContext, call: Distress, frequencyHz: number, addressed: Addressed): void {
  const own = context.state.identity;
  const sender = senderOf(call);
  const isOwn = 'casualty' in call && call.casualty === own;
  switch (call.kind) {
    case 'distressAlert':
      alertReceived(context, call, frequencyHz);
      return;
    case 'distressAcknowledgement':
      if (isOwn && sender !== undefined) ownAlertAcknowledged(context, sender, frequencyHz);
      else acknowledgementHeard(context, call, frequencyHz);
      return;
    case 'ownAlertCancellation':
      if (!isUnassigned(call.self)) alertCancelled(context, call.self, frequencyHz);
      return;
    case 'relayAcknowledgement':
      if (isOwn) context.tell({ type: 'call', call, trust: 'sure' }, 'distressTraffic');
      else if (acknowledgementReceived(context, call, frequencyHz)) ownRelayAcknowledged(context, call);
      else acknowledgementHeard(context, call, frequencyHz);
      return;
    case 'distressRelay':
      if (isOwn) context.tell({ type: 'call', call, trust: 'sure' }, 'distressTraffic');
      else relayReceived(context, call, frequencyHz, addressed);
  }
}

/** What a call asks of its receivers. */
export function receivedKind(call: Call): ReceivedKind {
  switch (call.kind) {
    case 'distressAlert':
      return 'alert';
    case 'distressRelay':
      return 'relay';
    case 'distressAcknowledgement':
    case 'relayAcknowledgement':
      return 'distressAcknowledgement';
    case 'ownAlertCancellation':
      return 'cancellation';
    default:
      if (isAcknowledgement(call)) return 'acknowledgement';
      return asksForAcknowledgement(call) ? 'request' : 'announcement';
  }
}

function announce(context: StepContext, call: Call, frequencyHz: number): void {
  context.tell({ type: 'call', call, trust: 'sure' }, 'notToMany');
  if (isFollowed(call)) context.watch(call, frequencyHz, 'called', 'notToMany');
}

/** Whether a call is about distress, as far as it was received. */
function mayBeDistress(call: DecodedCall): boolean {
  if (call.kind !== 'partialCall') return isDistress(call);
  return call.format === 'distress' || call.category === 'distress' || call.category === undefined;
}

/**
 * A call was received.
 *
 * A station ignores its own calls. A call about distress that is doubtful or was not received whole is shown
 * whomever it is for; no action follows from it, and a station with a doubtful identity is never answered.
 */
export function takeCall(context: StepContext, event: Extract<StationEvent, { type: 'received' }>): void {
  const { call, frequencyHz, quality = 'clean' } = event;
  const { identity, groups, position } = context.state;
  const sender = senderOf(call);
  if (sender === identity) return;
  const addressed = addressedOf(call, {
    identity,
    groups,
    ...(position !== 'none' && { position }),
  });
  const isHeeded = addressed !== 'other' || mayBeDistress(call);
  if (!isHeeded) return;
  if (!isReceivedWhole(call)) {
    context.tell({ type: 'call', call, trust: 'partial' }, 'doubtful');
    return;
  }
  if (quality === 'doubtful') {
    context.tell({ type: 'call', call, trust: 'doubtful' }, 'doubtful');
    return;
  }
  if (isIrregular(call) || sender === undefined) {
    const isAlert = call.kind === 'distressAlert';
    context.tell({ type: 'call', call, trust: 'sure' }, 'irregular');
    if (!isAlert) return;
  }
  if (isDistress(call)) {
    takeDistress(context, call, frequencyHz, addressed);
    return;
  }
  if (isAcknowledgement(call)) {
    if (acknowledgementReceived(context, call, frequencyHz)) return;
    context.tell({ type: 'unmatched', by: sender }, 'matching');
    return;
  }
  const answer = rulingOn('answer', {
    role: roleOf(identity),
    received: receivedKind(call),
    addressed,
    reach: reachOf(frequencyHz),
    from: roleOf(sender),
    acknowledged: 'nobody',
    sure: sender !== undefined,
  });
  if (answer.verdict === 'must' && isRequest(call))
    requestReceived(context, call, frequencyHz, Math.min(event.endedAt ?? context.now, context.now));
  else announce(context, call, frequencyHz);
}
