/**
 * What stands in the form for a call: the way back from {@link compose}.
 */
import {
  DotphaseError,
  encodeCall,
  formatIdentity,
  hasValue,
  type Area,
  type Call,
  type Channel,
  type Position,
} from 'dotphase';
import {
  compose,
  FIRST_DRAFT,
  type AreaDraft,
  type ChannelDraft,
  type Draft,
  type PositionDraft,
} from './draft.js';
import { WORDED_KINDS } from './kinds.js';

/** Beyond a call that people put together, characters. */
const LONGEST_JSON = 20_000;

function refuse(field: string, value: unknown): never {
  throw new DotphaseError(field, value, 'something that the form can hold');
}

function signs(latitude: number, longitude: number, quadrant: string | undefined) {
  return {
    northSouth: (quadrant ? quadrant.startsWith('S') : latitude < 0) ? ('S' as const) : ('N' as const),
    eastWest: (quadrant ? quadrant.endsWith('W') : longitude < 0) ? ('W' as const) : ('E' as const),
  };
}

function parts(value: number, digits: number): { degrees: string; minutes: string } {
  const tenThousandths = Math.round(Math.abs(value) * 600_000);
  const degrees = Math.floor(tenThousandths / 600_000);
  const minutes = (tenThousandths % 600_000) / 10_000;
  return { degrees: String(degrees).padStart(digits, '0'), minutes: String(minutes).padStart(2, '0') };
}

function positionOf(position: Position): PositionDraft {
  const { latitude, longitude, quadrant } = position;
  const [lat, lon] = [parts(latitude, 2), parts(longitude, 3)];
  return {
    known: true,
    latitudeDegrees: lat.degrees,
    latitudeMinutes: lat.minutes,
    longitudeDegrees: lon.degrees,
    longitudeMinutes: lon.minutes,
    ...signs(latitude, longitude, quadrant),
  };
}

/** An area as the form holds it. */
export function areaDraftOf(area: Area): AreaDraft {
  const { latitude, longitude, south, east, quadrant } = area;
  return {
    latitude: String(Math.abs(latitude)),
    longitude: String(Math.abs(longitude)).padStart(3, '0'),
    south: String(south),
    east: String(east),
    ...signs(latitude, longitude, quadrant),
  };
}

function channelOf(channel: Channel): ChannelDraft {
  if (channel === 'none') return { form: 'none', text: '', simplex: 'both' };
  if ('hz' in channel) return { form: 'frequency', text: String(channel.hz / 1000), simplex: 'both' };
  if ('channel' in channel) return { form: 'channel', text: String(channel.channel), simplex: 'both' };
  if ('vhfChannel' in channel) {
    return { form: 'vhf', text: String(channel.vhfChannel), simplex: channel.simplex ?? 'both' };
  }
  return refuse('message', channel);
}

function identity(field: string, value: unknown): string {
  return typeof value === 'string' ? formatIdentity(value) : refuse(field, value);
}

function addressOf(to: unknown): Partial<Draft> {
  if (to === 'allShips') return { addressForm: 'allShips' };
  const address = to as { area?: Area; group?: unknown; station?: unknown };
  if (address.station !== undefined) {
    return { addressForm: 'station', station: identity('to.station', address.station) };
  }
  if (address.group !== undefined)
    return { addressForm: 'group', group: identity('to.group', address.group) };
  if (address.area !== undefined && hasValue(address.area))
    return { addressForm: 'area', area: areaDraftOf(address.area) };
  return refuse('to', to);
}

function where(position: unknown, time: unknown): Partial<Draft> {
  return {
    position:
      position === 'none' ? { ...FIRST_DRAFT.position, known: false } : positionOf(position as Position),
    timeKnown: time !== 'none',
    ...(time !== 'none' && { time: String(time) }),
  };
}

function expansionsOf(call: Call): Partial<Draft> {
  const found: Partial<Draft> = { isFine: false, speed: '', course: '', persons: '', name: '' };
  for (const expansion of call.expansions ?? []) {
    const value: unknown = 'value' in expansion ? expansion.value : undefined;
    if (expansion.kind === 'finePosition') found.isFine = true;
    else if (expansion.kind === 'speed') found.speed = String(value);
    else if (expansion.kind === 'course') found.course = String(value);
    else if (expansion.kind === 'personsOnBoard') found.persons = String(value);
    else if (expansion.kind === 'furtherIdentification') found.name = String(value);
    else refuse('expansions', expansion);
  }
  return found;
}

/**
 * The draft that makes a call, put over another draft.
 *
 * @param value - a call as JSON data
 * @throws DotphaseError naming what is no call, or what of it the form does not hold
 */
export function draftFrom(value: unknown, before: Draft): Draft {
  if (typeof value !== 'object' || value === null || !('kind' in value)) {
    throw new DotphaseError('call', value, 'a call in JSON: an object with its kind');
  }
  const call = value as Call;
  const { symbols } = encodeCall(call);
  const { kind } = call;
  if (!WORDED_KINDS.some((each) => each === kind)) return refuse('kind', kind);
  const fields = call as unknown as Record<string, unknown>;
  const message = fields.message as
    { receive: Channel; transmit: Channel } | { position: unknown; time: unknown } | undefined;
  const names = ['nature', 'followOn', 'telecommand1', 'telecommand2'] as const;
  const draft: Draft = {
    ...before,
    kind: kind as Draft['kind'],
    ...('to' in fields && addressOf(fields.to)),
    ...('self' in fields && { self: identity('self', fields.self) }),
    ...('casualty' in fields && {
      casualtyKnown: fields.casualty !== 'unknown',
      ...(fields.casualty !== 'unknown' && { casualty: identity('casualty', fields.casualty) }),
    }),
    ...Object.fromEntries(names.flatMap((name) => (name in fields ? [[name, fields[name]]] : []))),
    ...('position' in fields && where(fields.position, fields.time)),
    ...(message && 'position' in message
      ? { messageForm: 'position' as const, ...where(message.position, message.time) }
      : message && {
          messageForm: 'channels' as const,
          receive: channelOf(message.receive),
          transmit: channelOf(message.transmit),
        }),
    ...('telephone' in fields && { telephone: String(fields.telephone) }),
    ...expansionsOf(call),
  };
  const made = compose(draft).call;
  if (!made || encodeCall(made).symbols.join() !== symbols.join()) return refuse('call', value);
  return draft;
}

/** A call out of JSON text, as {@link draftFrom}. */
export function draftFromJson(text: string, before: Draft): Draft {
  let value: unknown;
  try {
    if (text.length > LONGEST_JSON) throw new Error('too long');
    value = JSON.parse(text);
  } catch {
    throw new DotphaseError('call', text, 'a call in JSON, as “Copy JSON” gives it');
  }
  return draftFrom(value, before);
}

const LINK = 'compose/';

/** The page's address with a call in it, from `#` on. */
export function linkTo(call: unknown, dscHz?: number): string {
  const text = JSON.stringify({ call, ...(dscHz !== undefined && { dscHz }) });
  return `#${LINK}${encodeURIComponent(text)}`;
}

/** The draft that an address holds, if it holds one. Throws a DotphaseError where that is no call. */
export function draftOfLink(hash: string, before: Draft): Draft | undefined {
  const text = hash.startsWith(`#${LINK}`) ? hash.slice(LINK.length + 1) : undefined;
  if (text === undefined) return undefined;
  let found: { call?: unknown; dscHz?: unknown };
  try {
    if (text.length > 3 * LONGEST_JSON) throw new Error('too long');
    found = JSON.parse(decodeURIComponent(text)) as typeof found;
  } catch {
    throw new DotphaseError('link', hash, 'a link to a call as “Copy link” gives it');
  }
  const draft = draftFrom(found.call, before);
  const { dscHz } = found;
  return typeof dscHz === 'number' && dscHz >= 400_000 && dscHz <= 200_000_000 ? { ...draft, dscHz } : draft;
}
