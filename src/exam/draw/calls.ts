/**
 * Calls of every kind with what stations would say in them: ITU-R M.493 Annex 1 Tables A1-4.1 to A1-4.10 and
 * ITU-R M.541 Annex 3 (from memory).
 */
import {
  isUnassigned,
  type Address,
  type Area,
  type Call,
  type Channel,
  type CommunicationCall,
  type DistressMessage,
  type FollowOn,
  type Identity,
  type Message,
  type Position,
  type TableKind,
  type TimeOfDay,
} from '../../calls/index.js';
import {
  DISTRESS_FREQUENCIES,
  SHIP_TO_SHIP_FREQUENCIES,
  TELEPHONY_CHANNELS,
  outlineCall,
  suggestFrequencies,
  type MaritimeBand,
} from '../../frequencies/index.js';
import { acknowledgementOf, cancellationOf, distressAcknowledgementOf } from '../../procedures/index.js';
import { NATURES, type NatureName, type SecondTelecommandName } from '../../symbols/index.js';
import { COAST_STATIONS, GROUPS, OWN_SHIP, SEAS, SHIPS } from '../scenario.js';
import type { Draw } from './draw.js';

/** Natures that a ship chooses; the other is a beacon's own. */
const CHOSEN_NATURES: readonly NatureName[] = NATURES.words
  .map(({ name }) => name)
  .filter((name) => name !== 'epirb');

/** Why a ship cannot comply. */
const REASONS: readonly SecondTelecommandName[] = ['busy', 'operatorAway', 'cannotUseChannel', 'disabled'];

/** Ship to ship, and ship to coast station on two frequencies (RR Appendix 18, from memory). */
const SIMPLEX_CHANNELS = [6, 8, 72, 77];
const DUPLEX_CHANNELS = [24, 25, 26, 27, 28, 60, 61, 62, 82, 84];
const ANNOUNCEMENT_CHANNELS = [16, 13, 67];

const two = (value: number) => String(value).padStart(2, '0');

/** The one station that a call is addressed to, if there is one whose identity can be read. */
export function calledStation(call: Call): Identity | undefined {
  if (!('to' in call) || typeof call.to === 'string' || !('station' in call.to)) return undefined;
  return isUnassigned(call.to.station) ? undefined : call.to.station;
}

/** A position in open sea, to the minute. */
export function drawPosition(draw: Draw): Position {
  const { south, north, west, east } = draw.pick(SEAS);
  const between = (low: number, high: number) => draw.integer(low * 60 + 1, high * 60 - 1) / 60;
  return { latitude: between(south, north), longitude: between(west, east) };
}

/** A time of day. */
export function drawTime(draw: Draw): TimeOfDay {
  return `${two(draw.integer(0, 23))}:${two(draw.integer(0, 59))}`;
}

/** An area of open sea. */
export function drawArea(draw: Draw): Area {
  const { south, north, west, east } = draw.pick(SEAS);
  const latitude = draw.integer(north - 3, north);
  const longitude = draw.integer(west, west + 4);
  return {
    latitude,
    longitude,
    south: draw.integer(3, Math.min(8, latitude - south)),
    east: draw.integer(4, Math.min(12, east - longitude)),
  };
}

const ship = (draw: Draw) => draw.pick(SHIPS).identity;
const coast = (draw: Draw) => draw.pick(COAST_STATIONS).identity;
const isVhf = (band: MaritimeBand) => band === 'VHF';

function distressMessage(draw: Draw, band: MaritimeBand): DistressMessage {
  const hasPosition = !draw.chance(10);
  const isPrinting = !isVhf(band) && draw.chance(15);
  const followOn: FollowOn = isVhf(band) ? 'f3e' : isPrinting ? 'fec' : 'j3e';
  return {
    nature: draw.pick(CHOSEN_NATURES),
    position: hasPosition ? drawPosition(draw) : 'none',
    time: hasPosition ? drawTime(draw) : 'none',
    followOn,
  };
}

function communication(
  draw: Draw,
  band: MaritimeBand,
  channels: readonly Channel[],
): Pick<CommunicationCall, 'telecommand1' | 'telecommand2' | 'message'> {
  const channel = draw.pick(channels);
  const isDuplex = channel !== 'none' && 'channel' in channel;
  const message: Message = { receive: channel, transmit: isDuplex ? channel : 'none' };
  return { telecommand1: isVhf(band) ? 'f3e' : 'j3e', telecommand2: 'none', message };
}

const vhfChannels = (numbers: readonly number[]): Channel[] => numbers.map((vhfChannel) => ({ vhfChannel }));

/** Where a ship proposes to talk to another. */
function shipToShip(band: MaritimeBand): Channel[] {
  if (isVhf(band)) return vhfChannels(SIMPLEX_CHANNELS);
  return SHIP_TO_SHIP_FREQUENCIES.filter(({ certainty }) => certainty === 'established').map(({ hz }) => ({
    hz,
  }));
}

/** Where a coast station proposes to talk to a ship. */
function coastToShip(band: MaritimeBand): Channel[] {
  if (isVhf(band)) return vhfChannels(DUPLEX_CHANNELS);
  const channels = TELEPHONY_CHANNELS.filter((row) => row.band === band);
  return channels.length > 0 ? channels.map(({ channel }) => ({ channel })) : ['none'];
}

/** Where an urgency or safety message is spoken: on VHF a channel named, else the band's distress frequency. */
function announcement(band: MaritimeBand): Channel[] {
  if (isVhf(band)) return vhfChannels(ANNOUNCEMENT_CHANNELS);
  const hz = DISTRESS_FREQUENCIES.find((row) => row.band === band)?.voiceHz;
  return hz === undefined ? ['none'] : [{ hz }];
}

/** To many: everyone within reach on VHF, an area on MF and HF (M.493 Tables A1-4.5, from memory). */
const toMany = (draw: Draw, band: MaritimeBand): Address =>
  isVhf(band) ? 'allShips' : { area: drawArea(draw) };

const toOwn: { station: string } = { station: OWN_SHIP.identity };

/** A routine call: to the own ship or its group, from a ship or a coast station. */
function routineCall(draw: Draw, band: MaritimeBand): Call {
  const isFromShip = band === '2 MHz' || (isVhf(band) && draw.chance(60));
  const channels = isFromShip ? shipToShip(band) : coastToShip(band);
  const toGroup = draw.chance(20);
  return {
    kind: 'routineCall',
    to: toGroup ? { group: GROUPS[0].identity } : toOwn,
    self: isFromShip ? ship(draw) : coast(draw),
    ...communication(draw, band, channels),
  };
}

function announced(draw: Draw, band: MaritimeBand, kind: 'urgencyCall' | 'safetyCall'): Call {
  const toOne = draw.chance(25);
  return {
    kind,
    to: toOne ? toOwn : toMany(draw, band),
    self: kind === 'safetyCall' || draw.chance(40) ? coast(draw) : ship(draw),
    ...communication(draw, band, announcement(band)),
  };
}

/** The call of the own ship that an acknowledgement answers. */
function ownRequest(draw: Draw, band: MaritimeBand, kind: TableKind): Call {
  const head = { to: { station: coast(draw) }, self: OWN_SHIP.identity };
  switch (kind) {
    case 'testAcknowledgement':
      return { kind: 'testCall', ...head };
    case 'urgencyAcknowledgement':
      return { kind: 'urgencyCall', ...head, ...communication(draw, band, announcement(band)) };
    case 'safetyAcknowledgement':
      return { kind: 'safetyCall', ...head, ...communication(draw, band, announcement(band)) };
    default: {
      const isToShip = isVhf(band) || band === '2 MHz';
      const to = { station: isToShip ? ship(draw) : head.to.station };
      const channels = isToShip ? shipToShip(band) : coastToShip(band);
      return { kind: 'routineCall', ...head, to, ...communication(draw, band, channels) };
    }
  }
}

function acknowledgement(draw: Draw, band: MaritimeBand, kind: TableKind): Call {
  const request = ownRequest(draw, band, kind);
  const self = calledStation(request) ?? coast(draw);
  const declines = request.kind === 'routineCall' && draw.chance(40);
  const answer = declines
    ? ({ type: 'unable', reason: draw.pick(REASONS) } as const)
    : ({ type: 'able' } as const);
  return acknowledgementOf(request, answer, { self });
}

function automatic(draw: Draw, kind: 'automaticCall' | 'automaticAcknowledgement', band: MaritimeBand): Call {
  const digits = Array.from({ length: draw.integer(8, 12) }, () => draw.integer(0, 9)).join('');
  const call = {
    ...communication(draw, band, coastToShip(band)),
    telephone: digits,
  };
  return { kind, to: toOwn, self: coast(draw), ...call };
}

/** A call of a kind, as the own ship hears it on a band. */
export function drawCall(draw: Draw, kind: TableKind, band: MaritimeBand): Call {
  const message = distressMessage(draw, band);
  const alert = { kind: 'distressAlert', self: ship(draw), ...message } as const;
  const fromCoast = { to: toOwn, self: coast(draw) };
  switch (kind) {
    case 'distressAlert':
      return alert;
    case 'distressAcknowledgement':
      return distressAcknowledgementOf(alert, fromCoast.self);
    case 'ownAlertCancellation':
      return cancellationOf(alert);
    case 'distressRelay':
      return {
        kind,
        to: draw.chance(25) ? toOwn : toMany(draw, band),
        self: fromCoast.self,
        casualty: draw.chance(10) ? 'unknown' : alert.self,
        ...message,
      };
    case 'relayAcknowledgement':
      return { kind, ...fromCoast, casualty: alert.self, ...message };
    case 'urgencyCall':
    case 'safetyCall':
      return announced(draw, band, kind);
    case 'routineCall':
      return routineCall(draw, band);
    case 'testCall':
      return { kind, to: toOwn, self: draw.chance(50) ? ship(draw) : fromCoast.self };
    case 'positionRequest':
    case 'pollingRequest':
      return { kind, ...fromCoast };
    case 'positionReport':
      return { kind, to: toOwn, self: ship(draw), position: drawPosition(draw), time: drawTime(draw) };
    case 'pollingReply':
      return { kind, to: toOwn, self: ship(draw) };
    case 'automaticCall':
    case 'automaticAcknowledgement':
      return automatic(draw, kind, band);
    default:
      return acknowledgement(draw, band, kind);
  }
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
