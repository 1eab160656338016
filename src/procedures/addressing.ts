/**
 * Whom a call is for: ITU-R M.493 Annex 1 §4 and §5 (from memory).
 */
import {
  identityKind,
  hasValue,
  type Area,
  type DecodedCall,
  type Identity,
  type Position,
} from '../calls/index.js';
import type { Addressed, Role } from './table.js';

/** What decides whether a station is meant by a call. */
export interface Addressee {
  readonly identity: Identity;
  /** The groups it belongs to. */
  readonly groups: readonly Identity[];
  /** Where it is, if known. */
  readonly position?: Position | undefined;
}

/** Whether a position lies in an area, its edges included. */
export function isWithin(area: Area, { latitude, longitude }: Position): boolean {
  const southwards = area.latitude - latitude;
  const eastwards = (((longitude - area.longitude) % 360) + 360) % 360;
  return southwards >= 0 && southwards <= area.south && eastwards <= area.east;
}

/** How a call meets a station: addressed to it alone, as one of many, or not at all. */
export type Addressing = 'one' | 'many' | 'none';

/**
 * How a call meets a station. A station that does not know where it is counts as inside every area; an address that
 * cannot be read is addressed to nobody.
 */
export function addressing(call: DecodedCall, station: Addressee): Addressing {
  if (call.kind === 'unassignedCall' || (call.kind === 'partialCall' && !('to' in call))) return 'none';
  if (!('to' in call) || call.to === 'allShips') return 'many';
  if ('area' in call.to) {
    if (!hasValue(call.to.area)) return 'none';
    const { position } = station;
    return position === undefined || isWithin(call.to.area, position) ? 'many' : 'none';
  }
  if ('group' in call.to) {
    const { group } = call.to;
    return hasValue(group) && station.groups.includes(group) ? 'many' : 'none';
  }
  const { station: called } = call.to;
  if (!hasValue(called)) return 'none';
  return called === station.identity || station.groups.includes(called) ? 'one' : 'none';
}

/** How a call meets a station, as the table of rules asks. */
export function addressedOf(call: DecodedCall, station: Addressee): Addressed {
  const address = addressing(call, station);
  if (address !== 'many') return address === 'one' ? 'me' : 'other';
  return 'to' in call && typeof call.to === 'object' && 'group' in call.to ? 'group' : 'all';
}

/** Who a station is to the rules. */
export function roleOf(identity: Identity | undefined): Role {
  return isCoastStation(identity) ? 'coastStation' : 'ship';
}

/** Whether an identity is a coast station's. */
export function isCoastStation(identity: Identity | undefined): boolean {
  return identity !== undefined && /^\d{9}$/.test(identity) && identityKind(identity) === 'coastStation';
}
