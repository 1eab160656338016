/**
 * What follows a call by voice or direct printing, seen from either side.
 */
import type { Call } from '../calls/index.js';
import { followUp, followUpRequest, type FollowUp, type FollowUpRequest } from '../frequencies/index.js';

/** The same exchange, seen from the station that called. */
function fromTheCaller(request: FollowUpRequest): FollowUpRequest {
  const { receive, transmit, fromCoastStation, toCoastStation, ...rest } = request;
  return {
    ...rest,
    fromCoastStation: toCoastStation,
    toCoastStation: fromCoastStation,
    ...(transmit === undefined ? {} : { receive: transmit }),
    ...(receive === undefined ? {} : { transmit: receive }),
  };
}

/**
 * What follows a call.
 *
 * @param call - an assigned call that opens an exchange; where an acknowledgement changed what was proposed, the
 *   call with the telecommands and the message of the acknowledgement
 * @param dscHz - the DSC frequency it was sent on
 * @param side - which station asks
 * @throws DotphaseError for an unassigned call, or a frequency outside 400 kHz to 200 MHz
 */
export function followUpOf(call: Call, dscHz: number, side: 'caller' | 'called'): FollowUp {
  const request = followUpRequest(call, dscHz);
  return followUp(side === 'called' ? request : fromTheCaller(request));
}
