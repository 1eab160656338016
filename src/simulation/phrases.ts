/**
 * What virtual operators say by voice: Radio Regulations Articles 32 and 33 in outline (from memory).
 */
import { describeCall, formatIdentity, isUnassigned, type Call, type Identity } from '../calls/index.js';
import type { Exchange, StationAction } from '../procedures/index.js';
import { isCoastStation } from '../procedures/index.js';
import { describeCancellation } from '../procedures/texts/index.js';

type Watch = Extract<StationAction, { type: 'watch' }>;

/** How a station is called by voice. */
export type Naming = (identity: Identity) => string;

const SIGNAL: Readonly<Record<string, string>> = {
  distressRelay: 'Mayday relay, mayday relay, mayday relay. ',
  urgencyCall: 'Pan pan, pan pan, pan pan. ',
  safetyCall: 'Securite, securite, securite. ',
};

function sender(call: Call): Identity | undefined {
  return 'self' in call && typeof call.self === 'string' ? call.self : undefined;
}

function receivedMayday(casualty: unknown, self: string, name: Naming): string {
  const whom =
    typeof casualty === 'string' && casualty !== 'unknown' ? name(casualty) : 'station in distress';
  return `Mayday, ${whom}, this is ${self}. Received mayday.`;
}

/** Who is spoken to after a call to many. */
function audience(call: Call, name: Naming): string {
  const to = 'to' in call ? call.to : undefined;
  if (typeof to !== 'object' || !('group' in to) || isUnassigned(to.group)) return 'All stations';
  return `Ships of the group ${name(to.group)}`;
}

/** The words of the ship in distress, once it was acknowledged. */
function mayday(call: Call, self: string): string {
  const about = describeCall(call).replace(/^[^:]*: |;[^;]*$/g, '');
  return `Mayday, mayday, mayday, this is ${self}. ${about[0].toUpperCase()}${about.slice(1)}.`;
}

/**
 * What a station says where it was asked to set watch, or undefined where it only listens.
 *
 * @param exchange - the exchange that the watch belongs to, if any
 * @param reply - what the station says to a call to many
 */
export function spoken(
  { call, say }: Watch,
  exchange: Exchange | undefined,
  own: Identity,
  reply: string | undefined,
  name: Naming,
): string | undefined {
  if (say !== undefined) return describeCancellation(say);
  const self = name(own);
  const from = sender(call);
  const isOwn = from === own;
  switch (exchange?.kind) {
    case 'distress':
      return exchange.phase === 'acknowledged' ? mayday(call, self) : undefined;
    case 'alert': {
      if (call.kind === 'distressAlert') {
        return isCoastStation(own) ? undefined : receivedMayday(exchange.casualty, self, name);
      }
      if (call.kind === 'distressAcknowledgement' && (isOwn || !isCoastStation(own))) {
        return receivedMayday(exchange.casualty, self, name);
      }
      if (call.kind !== 'distressRelay' || isOwn || from === undefined || isCoastStation(own))
        return undefined;
      return `${name(from)}, this is ${self}. Received mayday relay.`;
    }
    case 'outgoing':
      if (exchange.phase === 'announced')
        return `${SIGNAL[call.kind] ?? ''}${audience(call, name)}, this is ${self}.`;
      if (!('to' in call) || typeof call.to !== 'object' || !('station' in call.to)) return undefined;
      return typeof call.to.station === 'string'
        ? `${name(call.to.station)}, this is ${self}. Over.`
        : undefined;
    case 'incoming':
      return undefined;
    default:
      if (isOwn || reply === undefined || from === undefined) return undefined;
      return `${name(from)}, this is ${self}. ${reply}`;
  }
}

/** A naming by the names of a list of stations; others by their digits. */
export function namingBy(stations: readonly { identity: Identity; name: string }[]): Naming {
  return (identity) =>
    stations.find((station) => station.identity === identity)?.name ?? formatIdentity(identity);
}
