/**
 * Contents of calls, in four versions that are similar in every part: any of them may be sent.
 */
import type { Area, Channel, FollowOn, Position, TimeOfDay } from '../../calls/index.js';
import {
  DISTRESS_FREQUENCIES,
  SHIP_TO_SHIP_FREQUENCIES,
  TELEPHONY_CHANNELS,
  type MaritimeBand,
} from '../../frequencies/index.js';
import { NATURES, type NatureName, type SecondTelecommandName } from '../../symbols/index.js';
import { COAST_STATIONS, OWN_SHIP, SEAS, SHIPS } from '../scenario.js';
import { alikeIdentities, alikePositions, alikeTelephones, alikeTimes, type Four } from './alike.js';
import type { Draw } from './draw.js';

/** What a call may say, whatever its kind. */
export interface CallContents {
  readonly ship: string;
  readonly coast: string;
  /** Another ship, which looks like the candidate's. */
  readonly called: string;
  readonly area: Area;
  readonly nature: NatureName;
  readonly position: Position | 'none';
  readonly time: TimeOfDay | 'none';
  readonly followOn: FollowOn;
  /** Whether the called station cannot comply with a routine call, and why. */
  readonly isUnable: boolean;
  readonly reason: SecondTelecommandName;
  /** Whether a ship sends what both may send. */
  readonly isFromShip: boolean;
  /** Where to talk, ship to ship. */
  readonly simplex: Channel;
  /** Where to talk, ship and coast station. */
  readonly duplex: Channel;
  /** Where to listen to a message to many. */
  readonly announced: Channel;
  /** The number that a call by the automatic service carries. */
  readonly telephone: string;
}

/** What the first version says already, where a plan has its call. */
export interface GivenContents {
  readonly ship?: string | undefined;
  readonly coast?: string | undefined;
  readonly nature?: NatureName | undefined;
  readonly position?: Position | undefined;
  readonly time?: TimeOfDay | undefined;
}

/** Natures that a ship chooses; the other is a beacon's own. */
const CHOSEN_NATURES: readonly NatureName[] = NATURES.words
  .map(({ name }) => name)
  .filter((name) => name !== 'epirb');

/** Why a ship cannot comply. */
const REASONS: readonly SecondTelecommandName[] = ['busy', 'operatorAway', 'cannotUseChannel', 'disabled'];

/** Ship to ship, and ship to coast station on two frequencies (RR Appendix 18, from memory). */
const SIMPLEX_CHANNELS = [6, 8, 72, 77];
const DUPLEX_CHANNELS = [24, 25, 26, 27, 28, 60, 61, 62, 82, 84];
const ANNOUNCEMENT_CHANNELS = [16, 13, 67, 73];

/** How often, in a hundred, one of the versions has no position, traffic is printed, and stations cannot comply. */
const NO_POSITION_PERCENT = 20;
const UNABLE_PERCENT = 40;

/** An area of open sea. */
function drawArea(draw: Draw): Area {
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

export const isVhf = (band: MaritimeBand) => band === 'VHF';

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

/** Four items drawn from a list, with repetition where it is shorter. */
function four<Item>(draw: Draw, list: readonly Item[]): readonly Item[] {
  return list.length >= 4 ? draw.some(list, 4) : [0, 1, 2, 3].map(() => draw.pick(list));
}

/** Ships that do not look like the candidate's. */
const isUnlikeOwn = ({ identity }: { identity: string }) =>
  !alikeIdentities(OWN_SHIP.identity).includes(identity);

/**
 * Four versions of what calls may say.
 *
 * @param given - what the first of them says already
 * @param isPositionLost - whether the positions may differ only in the characters that are lost of one of them
 */
export function drawContents(
  draw: Draw,
  band: MaritimeBand,
  given?: GivenContents,
  isPositionLost = false,
): Four<CallContents> {
  const ships = alikeIdentities(given?.ship ?? draw.pick(SHIPS.filter(isUnlikeOwn)).identity);
  const coasts = alikeIdentities(given?.coast ?? draw.pick(COAST_STATIONS).identity);
  const called = draw.shuffle(alikeIdentities(OWN_SHIP.identity).slice(1));
  const natures = [
    ...(given?.nature === undefined ? [] : [given.nature]),
    ...draw.shuffle(CHOSEN_NATURES.filter((name) => name !== given?.nature)),
  ];
  const positions = alikePositions(draw, given?.position, isPositionLost);
  const times = alikeTimes(draw, given?.time);
  const mayLackPosition = given === undefined && !isPositionLost;
  const withoutPosition =
    mayLackPosition && draw.chance(NO_POSITION_PERCENT) ? draw.integer(0, 3) : undefined;
  const followOn = isVhf(band) ? 'f3e' : 'j3e';
  const isUnable = draw.chance(UNABLE_PERCENT);
  const reasons = draw.shuffle(REASONS);
  const isFromShip = draw.chance(50);
  const simplex = four(draw, shipToShip(band));
  const duplex = four(draw, coastToShip(band));
  const announced = four(draw, announcement(band));
  const telephones = alikeTelephones(draw);
  const version = (i: 0 | 1 | 2 | 3): CallContents => ({
    ship: ships[i],
    coast: coasts[i],
    called: called[i % called.length],
    area: drawArea(draw),
    nature: natures[i],
    position: i === withoutPosition ? 'none' : positions[i],
    time: i === withoutPosition ? 'none' : times[i],
    followOn,
    isUnable,
    reason: reasons[i],
    isFromShip,
    simplex: simplex[i],
    duplex: duplex[i],
    announced: announced[i],
    telephone: telephones[i],
  });
  return [version(0), version(1), version(2), version(3)];
}
