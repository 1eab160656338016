/**
 * Whether communication follows a call, by voice or otherwise: ITU-R M.541 Annex 1 (from memory).
 */
import type { DecodedCall } from '../calls/index.js';

/** Kinds that are complete in themselves (M.541 Annex 1, from memory). */
const COMPLETE = [
  'testCall',
  'testAcknowledgement',
  'positionRequest',
  'positionReport',
  'pollingRequest',
  'pollingReply',
];

/** Telecommands after which no communication follows. */
const REFUSALS = ['unable', 'endOfCall'];

/** Why nothing follows a call: it is complete in itself, or declined or ended. Undefined where something follows. */
export function endOf(kind: string, mode: unknown): 'complete' | 'refused' | undefined {
  if (COMPLETE.includes(kind) || mode === 'position') return 'complete';
  return typeof mode === 'string' && REFUSALS.includes(mode) ? 'refused' : undefined;
}

/** The follow-on communication of a call, or its first telecommand; undefined where it has neither. */
export function modeOfCall(call: DecodedCall): unknown {
  return 'followOn' in call ? call.followOn : 'telecommand1' in call ? call.telecommand1 : undefined;
}

/** Whether communication follows a call; {@link followUp} says how and where. */
export function isFollowed(call: DecodedCall): boolean {
  return endOf(call.kind, modeOfCall(call)) === undefined;
}
