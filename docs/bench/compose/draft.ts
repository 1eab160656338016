/**
 * What stands in the form, as typed, and the call it makes.
 */
import {
  DotphaseError,
  callFields,
  encodeCall,
  parseIdentity,
  type Address,
  type Area,
  type Call,
  type Channel,
  type Expansion,
  type FirstTelecommandName,
  type FollowOnName,
  type Message,
  type NatureName,
  type Position,
  type Quadrant,
  type SecondTelecommandName,
  type TableKind,
} from 'dotphase';
import { parseFrequency, parseTimeOfDay, parseWorkingChannel } from 'dotphase/frequencies';
import { kindFormats } from './kinds.js';

export type NorthSouth = 'N' | 'S';
export type EastWest = 'E' | 'W';
export type AddressForm = 'allShips' | 'area' | 'group' | 'station';

export interface PositionDraft {
  known: boolean;
  latitudeDegrees: string;
  latitudeMinutes: string;
  northSouth: NorthSouth;
  longitudeDegrees: string;
  longitudeMinutes: string;
  eastWest: EastWest;
}

export interface AreaDraft {
  latitude: string;
  northSouth: NorthSouth;
  longitude: string;
  eastWest: EastWest;
  south: string;
  east: string;
}

export type ChannelForm = 'none' | 'frequency' | 'channel' | 'vhf';

export interface ChannelDraft {
  form: ChannelForm;
  text: string;
  simplex: 'both' | 'ship' | 'coast';
}

export interface Draft {
  kind: TableKind;
  addressForm: AddressForm;
  station: string;
  group: string;
  area: AreaDraft;
  self: string;
  casualtyKnown: boolean;
  casualty: string;
  nature: NatureName;
  position: PositionDraft;
  timeKnown: boolean;
  time: string;
  followOn: FollowOnName;
  telecommand1: FirstTelecommandName;
  telecommand2: SecondTelecommandName;
  messageForm: 'channels' | 'position';
  receive: ChannelDraft;
  transmit: ChannelDraft;
  telephone: string;
  isFine: boolean;
  speed: string;
  course: string;
  persons: string;
  name: string;
  /** Assigned DSC frequency, hertz. */
  dscHz: number;
  sendings: number;
}

/** A scenario in open sea: the yacht and the coast station are invented, MID 299 is allotted to nobody. */
export const FIRST_DRAFT: Draft = {
  kind: 'testCall',
  addressForm: 'station',
  station: '00 299 1234',
  group: '0 299 12345',
  area: { latitude: '46', northSouth: 'N', longitude: '032', eastWest: 'W', south: '2', east: '4' },
  self: '299 123 456',
  casualtyKnown: true,
  casualty: '299 456 789',
  nature: 'flooding',
  position: {
    known: true,
    latitudeDegrees: '45',
    latitudeMinutes: '30',
    northSouth: 'N',
    longitudeDegrees: '030',
    longitudeMinutes: '15',
    eastWest: 'W',
  },
  timeKnown: true,
  time: '12:40',
  followOn: 'j3e',
  telecommand1: 'j3e',
  telecommand2: 'none',
  messageForm: 'channels',
  receive: { form: 'frequency', text: '8294', simplex: 'both' },
  transmit: { form: 'none', text: '', simplex: 'both' },
  telephone: '0123456789',
  isFine: false,
  speed: '',
  course: '',
  persons: '',
  name: '',
  dscHz: 2_187_500,
  sendings: 1,
};

/** What each field of the form is wrong about, by its name. */
export type Complaints = Readonly<Partial<Record<string, string>>>;

export type Composed =
  | { readonly call: Call; readonly complaints: Complaints }
  | { readonly call: undefined; readonly complaints: Complaints };

class Reader {
  readonly complaints: Record<string, string> = {};

  /** The value, or undefined with the complaint noted under the field's name. */
  read<T>(name: string, take: () => T): T | undefined {
    try {
      return take();
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      this.complaints[name] = `Expected ${error.expected}.`;
      return undefined;
    }
  }
}

/** A decimal number as typed, or a DotphaseError. */
function number(field: string, text: string, max: number, decimals: number, unit: string): number {
  const form = new RegExp(decimals > 0 ? `^\\d{1,4}([.,]\\d{1,${decimals}})?$` : '^\\d{1,4}$');
  const value = Number(text.trim().replace(',', '.'));
  if (!form.test(text.trim()) || value > max) {
    const places = decimals > 0 ? `, up to ${decimals} decimals` : '';
    throw new DotphaseError(field, text, `${unit} from 0 to ${max}${places}`);
  }
  return value;
}

/** Degrees and minutes as one number; a call to the minute cuts the fraction off. */
function degrees(field: string, wholeText: string, minutesText: string, max: number): number {
  const whole = number(field, wholeText, max, 0, 'degrees');
  const minutes = number(field, minutesText, 59.9999, 4, 'minutes');
  const value = whole + minutes / 60;
  if (value > max) throw new DotphaseError(field, value, `at most ${max} degrees`);
  return value;
}

/** Signs by hemisphere; the quadrant is named only where a zero would hide it. */
function signed(latitude: number, northSouth: NorthSouth, longitude: number, eastWest: EastWest) {
  const hidden = (northSouth === 'S' && latitude === 0) || (eastWest === 'W' && longitude === 0);
  return {
    latitude: northSouth === 'S' && latitude !== 0 ? -latitude : latitude,
    longitude: eastWest === 'W' && longitude !== 0 ? -longitude : longitude,
    ...(hidden && { quadrant: `${northSouth}${eastWest}` as Quadrant }),
  };
}

function readPosition(reader: Reader, draft: PositionDraft): Position | 'none' | undefined {
  if (!draft.known) return 'none';
  const latitude = reader.read('latitude', () =>
    degrees('latitude', draft.latitudeDegrees, draft.latitudeMinutes, 90),
  );
  const longitude = reader.read('longitude', () =>
    degrees('longitude', draft.longitudeDegrees, draft.longitudeMinutes, 180),
  );
  if (latitude === undefined || longitude === undefined) return undefined;
  return signed(latitude, draft.northSouth, longitude, draft.eastWest);
}

function readArea(reader: Reader, draft: AreaDraft): Area | undefined {
  const part = (name: string, text: string, max: number) =>
    reader.read(name, () => number(name, text, max, 0, 'whole degrees'));
  const latitude = part('areaLatitude', draft.latitude, 90);
  const longitude = part('areaLongitude', draft.longitude, 180);
  const south = part('areaSouth', draft.south, 99);
  const east = part('areaEast', draft.east, 99);
  if (latitude === undefined || longitude === undefined || south === undefined || east === undefined) {
    return undefined;
  }
  return { ...signed(latitude, draft.northSouth, longitude, draft.eastWest), south, east };
}

/** The area that stands in a form, or what keeps it from being one. */
export function composeArea(draft: AreaDraft): {
  readonly area?: Area | undefined;
  readonly complaints: Complaints;
} {
  const reader = new Reader();
  return { area: readArea(reader, draft), complaints: reader.complaints };
}

function readAddress(reader: Reader, draft: Draft): Address | undefined {
  switch (draft.addressForm) {
    case 'allShips':
      return 'allShips';
    case 'area': {
      const area = readArea(reader, draft.area);
      return area && { area };
    }
    case 'group': {
      const group = reader.read('group', () => parseIdentity(draft.group));
      return group === undefined ? undefined : { group };
    }
    case 'station': {
      const station = reader.read('station', () => parseIdentity(draft.station));
      return station === undefined ? undefined : { station };
    }
  }
}

/** A channel in the form that was chosen, typed with or without the word for it. */
function channelOf(name: string, text: string, form: 'channel' | 'vhf'): Exclude<Channel, 'none'> {
  const typed = /^\s*\d+\s*$/.test(text) ? `${form} ${text}` : text;
  const channel = parseWorkingChannel(typed, form === 'vhf' ? 'vhf' : 'mf-hf');
  if (channel === 'none' || !((form === 'vhf' ? 'vhfChannel' : 'channel') in channel)) {
    throw new DotphaseError(name, text, form === 'vhf' ? 'a VHF channel' : 'the number of an MF/HF channel');
  }
  return channel;
}

function readChannel(reader: Reader, name: string, draft: ChannelDraft): Channel | undefined {
  switch (draft.form) {
    case 'none':
      return 'none';
    case 'frequency':
      return reader.read(name, () => {
        const hz = parseFrequency(draft.text.replace(',', '.'));
        if (hz % 10 !== 0 || hz > 30_000_000) {
          throw new DotphaseError(name, draft.text, 'a multiple of 10 Hz below 30 MHz; for VHF a channel');
        }
        return { hz };
      });
    case 'channel':
      return reader.read(name, () => channelOf(name, draft.text, 'channel'));
    case 'vhf':
      return reader.read(name, () => ({
        ...channelOf(name, draft.text, 'vhf'),
        ...(draft.simplex !== 'both' && { simplex: draft.simplex }),
      }));
  }
}

function readTime(reader: Reader, draft: Draft): string | undefined {
  if (!draft.timeKnown) return 'none';
  // 12.40 and 12h40 are times to many people.
  return reader.read('time', () =>
    parseTimeOfDay(draft.time.replace(/^(\s*\d{1,2})\s*[.h]\s*(\d\d)/i, '$1:$2')),
  );
}

function readMessage(reader: Reader, draft: Draft): Message | undefined {
  if (draft.messageForm === 'position') {
    const position = readPosition(reader, draft.position);
    const time = readTime(reader, draft);
    return position === undefined || time === undefined ? undefined : { position, time };
  }
  const receive = readChannel(reader, 'receive', draft.receive);
  const transmit = readChannel(reader, 'transmit', draft.transmit);
  return receive === undefined || transmit === undefined ? undefined : { receive, transmit };
}

/** Which fields of the form a kind of call has. */
export function draftFields(kind: TableKind): ReadonlySet<string> {
  return new Set(callFields(kind));
}

/** Whether the form offers to say more precisely what a kind of call says. */
export function offersExpansions(kind: TableKind): boolean {
  return draftFields(kind).has('position');
}

function readExpansions(reader: Reader, draft: Draft): Expansion[] {
  if (!offersExpansions(draft.kind)) return [];
  const expansions: Expansion[] = [];
  const given = (name: 'speed' | 'course' | 'persons' | 'name') => draft[name].trim() !== '';
  if (draft.isFine && draft.position.known) expansions.push({ kind: 'finePosition' });
  if (given('speed')) {
    const value = reader.read('speed', () => number('speed', draft.speed, 999.9, 1, 'knots'));
    if (value !== undefined) expansions.push({ kind: 'speed', value });
  }
  if (given('course')) {
    const value = reader.read('course', () => number('course', draft.course, 359.9, 1, 'degrees'));
    if (value !== undefined) expansions.push({ kind: 'course', value });
  }
  if (given('name')) {
    const value = draft.name.trim().toUpperCase();
    reader.read('name', () => {
      if (!/^[A-Z0-9.,\-/ ]{1,20}$/.test(value)) {
        throw new DotphaseError('name', value, 'up to 20 letters, digits, spaces and . , - /');
      }
    });
    expansions.push({ kind: 'furtherIdentification', value });
  }
  if (given('persons')) {
    const value = reader.read('persons', () => number('persons', draft.persons, 9999, 0, 'persons'));
    if (value !== undefined) expansions.push({ kind: 'personsOnBoard', value });
  }
  return expansions;
}

/** The address forms a kind can be sent with; none where it is always for everyone. */
export function addressForms(kind: TableKind): AddressForm[] {
  if (!draftFields(kind).has('to')) return [];
  const forms: Readonly<Record<string, AddressForm>> = {
    allShips: 'allShips',
    area: 'area',
    group: 'group',
    individual: 'station',
    automatic: 'station',
  };
  return kindFormats(kind).flatMap((format) => forms[format] ?? []);
}

/** The call that stands in the form, or what keeps it from being one. */
export function compose(draft: Draft): Composed {
  const reader = new Reader();
  const takers: Readonly<Partial<Record<string, () => unknown>>> = {
    to: () => readAddress(reader, draft),
    self: () => reader.read('self', () => parseIdentity(draft.self)),
    casualty: () =>
      draft.casualtyKnown ? reader.read('casualty', () => parseIdentity(draft.casualty)) : 'unknown',
    nature: () => draft.nature,
    position: () => readPosition(reader, draft.position),
    time: () => readTime(reader, draft),
    followOn: () => draft.followOn,
    telecommand1: () => draft.telecommand1,
    telecommand2: () => draft.telecommand2,
    message: () => readMessage(reader, draft),
    telephone: () =>
      reader.read('telephone', () => {
        if (!/^\d{1,18}$/.test(draft.telephone)) {
          throw new DotphaseError('telephone', draft.telephone, '1 to 18 digits');
        }
        return draft.telephone;
      }),
  };
  const values = Object.fromEntries(callFields(draft.kind).map((name) => [name, takers[name]?.()]));
  const expansions = readExpansions(reader, draft);
  const { complaints } = reader;
  if (Object.keys(complaints).length > 0) return { call: undefined, complaints };
  const call = {
    kind: draft.kind,
    ...values,
    ...(expansions.length > 0 && { expansions }),
  } as unknown as Call;
  try {
    encodeCall(call);
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    return { call: undefined, complaints: { [error.field.split('.')[0]]: `Expected ${error.expected}.` } };
  }
  return { call, complaints };
}
