/**
 * A call from flags: one flag for each field, with what goes without saying filled in.
 */
import { Option, type Command } from 'commander';
import {
  callFields,
  encodeCall,
  identityKind,
  parseIdentity,
  type Address,
  type Call,
  type TableKind,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import {
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../symbols/index.js';
import { parseChannel } from './channel.js';
import { parseArea, parsePosition } from './position.js';
import { findWord, kebab, parseWord } from './words.js';

type Flags = Readonly<Record<string, unknown>>;

const words = (vocabulary: Vocabulary) => vocabulary.words.map((word) => kebab(word.name)).join(', ');
const wordOf = (vocabulary: Vocabulary) => (text: string) =>
  parseWord(
    text,
    vocabulary.words.map((word) => word.name),
    '',
  );

function parseTo(text: string): Address {
  if (findWord(text, ['allShips'])) return 'allShips';
  const identity = parseIdentity(text);
  return identityKind(identity) === 'group' ? { group: identity } : { station: identity };
}

function parseTime(text: string): string {
  if (findWord(text, ['none'])) return 'none';
  const parts = /^(\d\d):?(\d\d)\s*(?:z|utc)?$/i.exec(text.trim());
  if (!parts || Number(parts[1]) > 23 || Number(parts[2]) > 59) {
    throw new DotphaseError('time', text, 'hours and minutes UTC such as 09:30, or none');
  }
  return `${parts[1]}:${parts[2]}`;
}

const parseCasualty = (text: string) => (findWord(text, ['unknown']) ? 'unknown' : parseIdentity(text));

interface CallFlag {
  readonly flag: string;
  readonly argument: string;
  readonly help: string;
  readonly parse: (text: string) => unknown;
}

const FLAGS: readonly CallFlag[] = [
  { flag: 'from', argument: 'identity', help: 'sending station, nine digits', parse: parseIdentity },
  {
    flag: 'to',
    argument: 'whom',
    help: 'called station or group (0MIDxxxxx), nine digits; or all-ships',
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
    help: 'ship in distress, nine digits, or unknown',
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
    help: `as in "50°30.0'N 004°12.0'W", "50 30N 004 12W" or "50.5, -4.2"; or none (default none)`,
    parse: parsePosition,
  },
  {
    flag: 'time',
    argument: 'HH:MM',
    help: 'when the position was valid, UTC; or none (default none)',
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
    help: 'the called station is to receive on: "12520 kHz", "vhf 16", "channel 1205" or none (default none)',
    parse: parseChannel,
  },
  {
    flag: 'transmit',
    argument: 'channel',
    help: 'the called station is to transmit on, likewise (default none)',
    parse: parseChannel,
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
};

const camel = (flag: string) => flag.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

/** Adds the flags of every field to a command. */
export function addCallFlags(command: Command): Command {
  for (const { flag, argument, help } of FLAGS) {
    command.addOption(new Option(`--${flag} <${argument}>`, help).helpGroup('Fields of the call:'));
  }
  return command;
}

/** The names of the fields' flags that were given. */
export function givenCallFlags(flags: Flags): string[] {
  return FLAGS.filter(({ flag }) => flags[camel(flag)] !== undefined).map(({ flag }) => `--${flag}`);
}

function parseFlags(flags: Flags): Record<string, unknown> {
  const parsed: Record<string, unknown> = {};
  for (const { flag, parse } of FLAGS) {
    const text = flags[camel(flag)];
    if (typeof text !== 'string') continue;
    try {
      parsed[camel(flag)] = parse(text);
    } catch (error) {
      throw error instanceof DotphaseError ? new DotphaseError(`--${flag}`, text, error.expected) : error;
    }
  }
  return parsed;
}

/** The telecommand and follow-on of telephony, by the band the call goes out on. */
const telephony = (vhf: boolean) => (vhf ? 'f3e' : 'j3e');

/**
 * The call that a kind and the flags of its fields make. What is left out is "none", nature undesignated, and
 * telephony as the communication to follow.
 *
 * @throws DotphaseError naming the flag that is missing, wrong or none of this kind's
 */
export function callFromFlags(kind: TableKind, flags: Flags): Call {
  const { from, area, receive, transmit, position, time, ...given } = parseFlags(flags);
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
  Object.assign(call, given);
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
    if (name === 'kind' || name === 'eos' || fields.includes(name)) continue;
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

function namingFlag(error: DotphaseError): DotphaseError {
  return new DotphaseError(flagOf(error.field), error.value ?? 'nothing', error.expected);
}
