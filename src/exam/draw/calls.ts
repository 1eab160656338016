/**
 * Calls of every kind, made of what stations would say in them: ITU-R M.493 Annex 1 Tables A1-4.1 to A1-4.10 and
 * ITU-R M.541 Annex 3 (from memory).
 */
import {
  isUnassigned,
  type Address,
  type Call,
  type Channel,
  type CommunicationCall,
  type DistressMessage,
  type Identity,
  type Message,
  type TableKind,
} from '../../calls/index.js';
import { outlineCall, suggestFrequencies, type MaritimeBand } from '../../frequencies/index.js';
import { acknowledgementOf, cancellationOf, distressAcknowledgementOf } from '../../procedures/index.js';
import { GROUPS, OWN_SHIP } from '../scenario.js';
import { isVhf, type CallContents } from './contents.js';

/** Whom a call is for: the candidate's ship, another station, or many. */
export type Relation = 'own' | 'other' | 'many';

/** A kind of call and whom it is for. */
export interface CallVariant {
  readonly kind: TableKind;
  readonly to: Relation;
}

/** Whom the kinds may be for that are not for the candidate's ship alone. */
const RELATIONS: Readonly<Partial<Record<TableKind, readonly Relation[]>>> = {
  distressAlert: ['many'],
  distressAcknowledgement: ['many'],
  ownAlertCancellation: ['many'],
  distressRelay: ['own', 'other', 'many'],
  urgencyCall: ['own', 'other', 'many'],
  safetyCall: ['own', 'other', 'many'],
  routineCall: ['own', 'other', 'many'],
  testCall: ['own', 'other'],
  positionRequest: ['own', 'other'],
  pollingRequest: ['own', 'other'],
};

/** The variants of a kind. */
export function variantsOf(kind: TableKind): CallVariant[] {
  return (RELATIONS[kind] ?? ['own']).map((to) => ({ kind, to }));
}

/** The one station that a call is addressed to, if there is one whose identity can be read. */
function calledStation(call: Call): Identity | undefined {
  if (!('to' in call) || typeof call.to === 'string' || !('station' in call.to)) return undefined;
  return isUnassigned(call.to.station) ? undefined : call.to.station;
}

function addressOf(to: Relation, { area, called }: CallContents, band: MaritimeBand): Address {
  // To many: everyone within reach on VHF, an area on MF and HF (M.493 Tables A1-4.5, from memory).
  if (to === 'many') return isVhf(band) ? 'allShips' : { area };
  return { station: to === 'own' ? OWN_SHIP.identity : called };
}

/** Where to talk, as a call proposes it. */
export function communication(
  channel: Channel,
  band: MaritimeBand,
): Pick<CommunicationCall, 'telecommand1' | 'telecommand2' | 'message'> {
  const isDuplex = channel !== 'none' && 'channel' in channel;
  const message: Message = { receive: channel, transmit: isDuplex ? channel : 'none' };
  return { telecommand1: isVhf(band) ? 'f3e' : 'j3e', telecommand2: 'none', message };
}

/** Whether a ship sends a routine call of a band; on HF coast stations do. */
const isShipsRoutine = (band: MaritimeBand, contents: CallContents) =>
  band === '2 MHz' || (isVhf(band) && contents.isFromShip);

/** The call of the candidate's ship that an acknowledgement answers. */
function requestFor(kind: TableKind, contents: CallContents, band: MaritimeBand): Call {
  const self = OWN_SHIP.identity;
  const toCoast = { to: { station: contents.coast }, self };
  switch (kind) {
    case 'testAcknowledgement':
      return { kind: 'testCall', ...toCoast };
    case 'urgencyAcknowledgement':
      return { kind: 'urgencyCall', ...toCoast, ...communication(contents.announced, band) };
    case 'safetyAcknowledgement':
      return { kind: 'safetyCall', ...toCoast, ...communication(contents.announced, band) };
    default:
      return isShipsRoutine(band, contents)
        ? {
            kind: 'routineCall',
            to: { station: contents.ship },
            self,
            ...communication(contents.simplex, band),
          }
        : { kind: 'routineCall', ...toCoast, ...communication(contents.duplex, band) };
  }
}

function acknowledgement(kind: TableKind, contents: CallContents, band: MaritimeBand): Call {
  const request = requestFor(kind, contents, band);
  const answer =
    request.kind === 'routineCall' && contents.isUnable
      ? ({ type: 'unable', reason: contents.reason } as const)
      : ({ type: 'able' } as const);
  return acknowledgementOf(request, answer, { self: calledStation(request) ?? contents.coast });
}

/** The call of a variant, as the candidate's ship hears it on a band. */
export function makeCall({ kind, to }: CallVariant, contents: CallContents, band: MaritimeBand): Call {
  const { ship, coast, nature, position, time, followOn } = contents;
  const message: DistressMessage = { nature, position, time, followOn };
  const alert = { kind: 'distressAlert', self: ship, ...message } as const;
  const either = contents.isFromShip ? ship : coast;
  const toOne = { station: to === 'other' ? contents.called : OWN_SHIP.identity };
  switch (kind) {
    case 'distressAlert':
      return alert;
    case 'distressAcknowledgement':
      return distressAcknowledgementOf(alert, coast);
    case 'ownAlertCancellation':
      return cancellationOf(alert);
    case 'distressRelay':
      return { kind, to: addressOf(to, contents, band), self: coast, casualty: ship, ...message };
    case 'relayAcknowledgement':
      return { kind, to: toOne, self: coast, casualty: ship, ...message };
    case 'urgencyCall':
    case 'safetyCall':
      return {
        kind,
        to: addressOf(to, contents, band),
        self: kind === 'safetyCall' ? coast : either,
        ...communication(contents.announced, band),
      };
    case 'routineCall': {
      const isFromShip = isShipsRoutine(band, contents);
      return {
        kind,
        to: to === 'many' ? { group: GROUPS[0].identity } : toOne,
        self: isFromShip ? ship : coast,
        ...communication(isFromShip ? contents.simplex : contents.duplex, band),
      };
    }
    case 'testCall':
      return { kind, to: toOne, self: either };
    case 'positionRequest':
    case 'pollingRequest':
      return { kind, to: toOne, self: coast };
    case 'positionReport':
      return { kind, to: toOne, self: ship, position, time };
    case 'pollingReply':
      return { kind, to: toOne, self: ship };
    case 'automaticCall':
    case 'automaticAcknowledgement': {
      const { duplex, telephone } = contents;
      return { kind, to: toOne, self: coast, ...communication(duplex, band), telephone };
    }
    default:
      return acknowledgement(kind, contents, band);
  }
}

/** Whether a call belongs on a DSC frequency. */
export function belongsOn(call: Call, frequencyHz: number): boolean {
  return suggestFrequencies(outlineCall(call)).some(({ frequency }) => frequency.hz === frequencyHz);
}

/**
 * The DSC frequency that a call is heard on in a band, hertz: the international one where there is a choice. Where
 * the band has none for it, the nearest that has.
 */
export function frequencyFor(call: Call, band: MaritimeBand): number {
  const outline = outlineCall(call);
  const near = suggestFrequencies(outline, band);
  return (near.length > 0 ? near : suggestFrequencies(outline))[0].frequency.hz;
}
