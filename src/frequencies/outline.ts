/**
 * What the choice of a frequency needs to know of a call.
 */
import { hasValue, identityKind, isNotReceived, type CallKind, type DecodedCall } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import type { CategoryName } from '../symbols/index.js';

/** The parts of a call that decide where it belongs and what follows it. */
export interface CallOutline {
  /** The call's kind, as in a typed call: `distressAlert`, `testCall`, `routineCall` … */
  readonly kind: string;
  /** Routine, safety, urgency or distress. */
  readonly category: CategoryName;
  /** Whether a coast station sends it. */
  readonly fromCoastStation: boolean;
  /** Whether it is addressed to a coast station or a group of them. */
  readonly toCoastStation: boolean;
}

/** Categories of the kinds that fix it (M.493 Tables A1-4.1 to A1-4.10, from memory). */
const CATEGORY_OF_KIND: Readonly<
  Record<Exclude<CallKind, 'unassignedCall' | 'irregularCall' | 'irregularAutomaticCall'>, CategoryName>
> = {
  distressAlert: 'distress',
  distressAcknowledgement: 'distress',
  ownAlertCancellation: 'distress',
  distressRelay: 'distress',
  relayAcknowledgement: 'distress',
  irregularDistressCall: 'distress',
  urgencyCall: 'urgency',
  urgencyAcknowledgement: 'urgency',
  safetyCall: 'safety',
  safetyAcknowledgement: 'safety',
  testCall: 'safety',
  testAcknowledgement: 'safety',
  positionRequest: 'safety',
  positionReport: 'safety',
  routineCall: 'routine',
  routineAcknowledgement: 'routine',
  pollingRequest: 'routine',
  pollingReply: 'routine',
  automaticCall: 'routine',
  automaticAcknowledgement: 'routine',
};

function isCoastStation(identity: unknown): boolean {
  if (typeof identity !== 'string') return false;
  const kind = identityKind(identity);
  return kind === 'coastStation' || kind === 'coastStationGroup';
}

function addressee(call: DecodedCall): unknown {
  if (!('to' in call) || typeof call.to !== 'object') return undefined;
  if ('station' in call.to) return call.to.station;
  return 'group' in call.to ? call.to.group : undefined;
}

type OutlinedCall = Exclude<DecodedCall, { kind: 'unassignedCall' | 'partialCall' }>;

function categoryOf(call: OutlinedCall): CategoryName {
  if (!('category' in call)) return CATEGORY_OF_KIND[call.kind];
  if (!hasValue(call.category)) {
    throw new DotphaseError('call.category', call.category, 'an assigned category');
  }
  return call.category;
}

/**
 * The outline of a typed call.
 *
 * @throws DotphaseError for a call or category that is unassigned or was not received, an identity that is not nine
 *   digits, or, but for distress calls, one that was not received
 */
export function outlineCall(call: DecodedCall): CallOutline {
  if (call.kind === 'unassignedCall' || call.kind === 'partialCall') {
    throw new DotphaseError('call.kind', call.kind, 'an assigned kind of call');
  }
  const category = categoryOf(call);
  // Which frequencies a distress call leads to does not depend on whether a ship or a coast station sent it.
  for (const [field, identity] of [
    ['self', call.self],
    ['to', addressee(call)],
  ] as const) {
    if (category !== 'distress' && isNotReceived(identity)) {
      throw new DotphaseError(`call.${field}`, identity, 'an identity: it was not received');
    }
  }
  return {
    kind: call.kind,
    category,
    fromCoastStation: isCoastStation(call.self),
    toCoastStation: isCoastStation(addressee(call)),
  };
}
