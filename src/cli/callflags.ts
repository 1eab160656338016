/**
 * A call from flags: one flag for each field, with defaults filled in.
 */
import { Option, type Command } from 'commander';
import {
  callFields,
  encodeCall,
  identityKind,
  parseArea,
  parsePosition,
  type Address,
  type Call,
  type Expansion,
  type Identity,
  type TableKind,
} from '../calls/index.js';
import { Described, DotphaseError, NOTHING } from '../errors.js';
import type { PositionForCall } from '../navigation/index.js';
import {
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
  type Band,
} from '../symbols/index.js';
import { parseTimeOfDay, parseWorkingChannel } from '../frequencies/index.js';
import { inWords, valueWords } from './fieldwords.js';
import { findWord, kebab, parseWord } from './words.js';

const EXPANSION_KINDS = [
  'finePosition',
  'positionSource',
  'speed',
  'course',
  'furtherIdentification',
  'refinedArea',
  'personsOnBoard',
] as const satisfies readonly Expansion['kind'][];
type ExpansionKind = (typeof EXPANSION_KINDS)[number];

type Flags = Readonly<Record<string, unknown>>;

const words = (vocabulary: Vocabulary) => vocabulary.words.map((word) => kebab(word.name)).join(', ');
/** The word of a vocabulary that was typed: its name, its phrase, a part of the phrase (`explosion`), or another name. */
const wordOf = (vocabulary: Vocabulary) => (text: string) => {
  const names = vocabulary.words.map((word) => word.name);
  const meant = vocabulary.words.filter(({ name, text: phrase }) =>
    findWord(text, [phrase, ...phrase.split(/, | or | and /), ...(OTHER_NAMES[name] ?? [])]),
  );
  return findWord(text, names) ?? (meant.length === 1 ? meant[0].name : parseWord(text, names, ''));
};

/** Words that people use in place of the standard's (common practice, no source). */
const OTHER_NAMES: Readonly<Record<string, readonly string[]>> = {
  grounding: ['aground'],
  listing: ['capsizing', 'danger of capsizing'],
  adrift: ['disabled'],
  undesignated: ['unspecified'],
  abandoning: ['abandon ship'],
  piracy: ['armed robbery'],
  manOverboard: ['mob'],
};

type ReadStation = (typed: string) => Identity;

function parseTo(text: string, station: ReadStation): Address {
  if (findWord(text, ['allShips'])) return 'allShips';
  const identity = station(text);
  return identityKind(identity) === 'group' ? { group: identity } : { station: identity };
}

const parseTime = (text: string) => (findWord(text, ['none']) ? 'none' : parseTimeOfDay(text));

const parseCasualty = (text: string, station: ReadStation) =>
  findWord(text, ['unknown']) ? 'unknown' : station(text);

/** The word that stands for the own position. */
const OWN = 'own';

interface CallFlag {
  readonly flag: string;
  readonly argument: string;
  readonly help: string;
  readonly parse: (text: string, station: ReadStation, band: Band) => unknown;
}

const FLAGS: readonly CallFlag[] = [
  {
    flag: 'from',
    argument: 'identity',
    help: 'sending station: nine digits, or a name with --book (default: identity of the settings)',
    parse: (text, station) => station(text),
  },
  {
    flag: 'to',
    argument: 'whom',
    help: 'called station or group (0MIDxxxxx): nine digits or a name; or all-ships',
    parse: parseTo,
  },
  {
    flag: 'area',
    argument: 'area',
    help: 'instead of --to: north-west corner, degrees southwards and eastwards, as in "58N 012W 6 10"',
    parse: parseArea,
  },
  {
    flag: 'casualty',
    argument: 'identity',
    help: 'ship in distress: nine digits or a name; or unknown',
    parse: parseCasualty,
  },
  {
    flag: 'nature',
    argument: 'word',
    help: `nature of distress: ${words(NATURES)} (default undesignated)`,
    parse: wordOf(NATURES),
  },
  {
    flag: 'position',
    argument: 'position',
    help: `as in "50°30'N 004°12'W", "50 30N 004 12W" or "50.5, -4.2"; own; or none (default: own in an alert and a position report, if known)`,
    parse: (text) => (findWord(text, [OWN]) ? OWN : parsePosition(text)),
  },
  {
    flag: 'time',
    argument: 'HH:MM',
    help: 'when the position was valid, UTC, as in 09:30 or 0930; or none (default: that of the own position, or none)',
    parse: parseTime,
  },
  {
    flag: 'follow-on',
    argument: 'word',
    help: `communication to follow: ${words(FOLLOW_ONS)} (default j3e, with --vhf f3e)`,
    parse: wordOf(FOLLOW_ONS),
  },
  {
    flag: 'telecommand1',
    argument: 'word',
    help: `${words(FIRST_TELECOMMANDS)} (default j3e, with --vhf f3e)`,
    parse: wordOf(FIRST_TELECOMMANDS),
  },
  {
    flag: 'telecommand2',
    argument: 'word',
    help: `${words(SECOND_TELECOMMANDS)} (default none)`,
    parse: wordOf(SECOND_TELECOMMANDS),
  },
  {
    flag: 'receive',
    argument: 'channel',
    help: 'the called station, in an acknowledgement the one that acknowledges, is to receive on: "8294", "8294 kHz", "vhf 16", "ch 1205" or none; a number alone is a frequency in kHz or, with --vhf, a VHF channel (default none)',
    parse: (text, _, band) => parseWorkingChannel(text, band),
  },
  {
    flag: 'transmit',
    argument: 'channel',
    help: 'that station is to transmit on, likewise (default none)',
    parse: (text, _, band) => parseWorkingChannel(text, band),
  },
  {
    flag: 'telephone',
    argument: 'digits',
    help: 'telephone number of an automatic-service call',
    parse: (text) => text,
  },
  {
    flag: 'eos',
    argument: 'word',
    help: `another end of sequence than the tables give: ${words(ENDS_OF_SEQUENCE)}`,
    parse: wordOf(ENDS_OF_SEQUENCE),
  },
];

/** The flag that sets each property of a call, for errors that name the property. */
const FLAG_OF_PROPERTY: Readonly<Record<string, string>> = {
  self: '--from',
  followOn: '--follow-on',
  'to.area': '--area',
  'message.receive': '--receive',
  'message.transmit': '--transmit',
  message: '--receive, --transmit',
  expansions: '--expansion',
};

const camel = (flag: string) => flag.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

const GROUP = 'Fields of the call:';
const EXPANSION_HELP =
  'what follows the call to say it more precisely, may be given again: fine-position, speed=12.3 (knots), course=234.5 ' +
  '(degrees), further-identification=TEXT, persons-on-board=12; =requested asks for it, =none has none; also ' +
  'position-source and refined-area, with =requested, =none or a value in JSON';

/** Adds the flags of every field to a command. */
export function addCallFlags(command: Command): Command {
  for (const { flag, argument, help } of FLAGS) {
    command.addOption(new Option(`--${flag} <${argument}>`, help).helpGroup(GROUP));
  }
  return command.addOption(
    new Option('--expansion <what>', EXPANSION_HELP)
      .helpGroup(GROUP)
      .argParser((text: string, before: readonly string[] | undefined) => [...(before ?? []), text]),
  );
}

/** The names of the fields' flags that were given. */
export function givenCallFlags(flags: Flags): string[] {
  return [...FLAGS, { flag: 'expansion' }]
    .filter(({ flag }) => flags[camel(flag)] !== undefined)
    .map(({ flag }) => `--${flag}`);
}

function parseFlags(flags: Flags, station: ReadStation): Record<string, unknown> {
  const parsed: Record<string, unknown> = {};
  for (const { flag, parse } of FLAGS) {
    const text = flags[camel(flag)];
    if (typeof text !== 'string') continue;
    try {
      parsed[camel(flag)] = parse(text, station, flags.vhf === true ? 'vhf' : 'mf-hf');
    } catch (error) {
      throw error instanceof DotphaseError ? new DotphaseError(`--${flag}`, text, error.expected) : error;
    }
  }
  return parsed;
}

function readExpansionValue(kind: ExpansionKind, text: string): unknown {
  const word = findWord(text, ['requested', 'none']);
  if (word !== undefined) return word;
  if (kind === 'furtherIdentification') return text.toUpperCase();
  try {
    return JSON.parse(text) as unknown;
  } catch {
    throw new DotphaseError(
      '--expansion',
      text,
      `a value of ${kebab(kind)}: a number, JSON, requested or none`,
    );
  }
}

/** The expansions that were asked for, in their order. */
function expansionsOf(flags: Flags): Expansion[] {
  return ((flags.expansion ?? []) as readonly string[]).map((typed) => {
    const [name, ...rest] = typed.split('=');
    const kind = parseWord(name, EXPANSION_KINDS, '--expansion');
    const text = rest.join('=').trim();
    if (text !== '') return { kind, value: readExpansionValue(kind, text) } as Expansion;
    if (kind === 'finePosition') return { kind };
    throw new DotphaseError('--expansion', typed, `${kebab(kind)}=value`);
  });
}

/** The telecommand and follow-on of telephony, by the band the call goes out on. */
const telephony = (vhf: boolean) => (vhf ? 'f3e' : 'j3e');

/** What the flags of a call take from the person who gives them. */
export interface FlagDefaults {
  /** Stands for `--from` where that is not given. */
  readonly identity?: Identity | undefined;
  /** Reads an identity that was typed. */
  readonly station: ReadStation;
  /** The own position, where it is known. */
  readonly position?: PositionForCall | undefined;
}

/** Kinds that say where their sender is. */
const TELL_OWN_POSITION: readonly TableKind[] = ['distressAlert', 'positionReport'];

/** Whether a call from these flags takes the own position: where asked to, or where none is given for the sender's. */
export function wantsOwnPosition(kind: TableKind, flags: Flags): boolean {
  const typed = flags.position;
  return typed === undefined
    ? TELL_OWN_POSITION.includes(kind)
    : typeof typed === 'string' && findWord(typed, [OWN]) !== undefined;
}

/** Position and time: what was typed, completed by the own position where that is wanted. */
function placeOf(kind: TableKind, flags: Flags, given: Record<string, unknown>, own?: PositionForCall) {
  const { position, time } = given;
  if (!wantsOwnPosition(kind, flags) || (!own && position !== OWN)) return { position, time };
  if (!own)
    throw new DotphaseError('--position', OWN, '--navigation or --settings beside it, which say where');
  return { position: own.position, time: time ?? own.time };
}

/**
 * The call that a kind and the flags of its fields make. What is left out is "none", nature undesignated, and
 * telephony as the communication to follow.
 *
 * @throws DotphaseError naming the flag that is missing, wrong or none of this kind's
 */
export function callFromFlags(kind: TableKind, flags: Flags, own: FlagDefaults): Call {
  const parsed = parseFlags(flags, own.station);
  const { from = own.identity, area, receive, transmit, ...given } = parsed;
  const { position, time } = placeOf(kind, flags, parsed, own.position);
  const fields = callFields(kind);
  const vhf = flags.vhf === true;
  const defaults: Record<string, unknown> = {
    nature: 'undesignated',
    position: 'none',
    time: 'none',
    followOn: telephony(vhf),
    telecommand1: telephony(vhf),
    telecommand2: 'none',
  };
  const call: Record<string, unknown> = { kind };
  for (const field of fields) if (field in defaults) call[field] = defaults[field];
  for (const [name, value] of Object.entries(given)) {
    if (name !== 'position' && name !== 'time') call[name] = value;
  }
  if (from !== undefined) call.self = from;
  if (area !== undefined) {
    if (given.to !== undefined) throw new DotphaseError('--area', flags.area, 'either --area or --to');
    call.to = { area };
  }
  const channels = receive !== undefined || transmit !== undefined;
  const place = position !== undefined || time !== undefined;
  if (fields.includes('message') && place) {
    if (channels) throw new DotphaseError('--position', flags.position, 'either a position or channels');
    call.message = { position: position ?? 'none', ...(time !== undefined && { time }) };
  } else {
    if (position !== undefined) call.position = position;
    if (time !== undefined) call.time = time;
    if (channels || fields.includes('message')) {
      call.message = { receive: receive ?? 'none', transmit: transmit ?? 'none' };
    }
  }
  const expansions = expansionsOf(flags);
  if (expansions.length > 0) call.expansions = expansions;
  refuseStrangers(kind, call, fields);
  try {
    encodeCall(call as unknown as Call);
  } catch (error) {
    throw error instanceof DotphaseError ? namingFlag(error) : error;
  }
  return call as unknown as Call;
}

function refuseStrangers(kind: TableKind, call: Record<string, unknown>, fields: readonly string[]): void {
  for (const name of Object.keys(call)) {
    if (['kind', 'eos', 'expansions'].includes(name) || fields.includes(name)) continue;
    const expected = `one of the fields of ${kebab(kind)}: ${flagsOf(kind).join(', ')}`;
    throw new DotphaseError(flagOf(name), call[name], expected);
  }
}

/** The flags that a kind of call has. */
export function flagsOf(kind: TableKind): string[] {
  return callFields(kind).flatMap((field) => (field === 'to' ? ['--to'] : flagOf(field).split(', ')));
}

function flagOf(property: string): string {
  const known = Object.keys(FLAG_OF_PROPERTY).find((name) => property.startsWith(name));
  return known === undefined ? `--${property.split('.')[0]}` : FLAG_OF_PROPERTY[known];
}

function namingFlag({ field, value, expected }: DotphaseError): DotphaseError {
  const given = typeof value === 'object' && value !== null ? new Described(valueWords(value)) : value;
  return new DotphaseError(flagOf(field), given ?? NOTHING, inWords(expected));
}
