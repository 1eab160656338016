/**
 * Calls in plain language.
 */
import { SECOND_TELECOMMANDS, type FollowOnName } from '../symbols/index.js';
import { ADDRESS_FORMS } from './address.js';
import { receivedCharacters, requireCall } from './codec.js';
import { EXPANSION_TEXTS, asSent, requireRow, type Expansion } from './expansions/index.js';
import { FIELDS, readCharacters, type Content } from './fields/index.js';
import { describeIdentity } from './identity.js';
import { describeField, describeNamed, listCharacters, phraseOf } from './phrases/index.js';
import { agreedFields, readTables, type Values } from './reading.js';
import { CALL_TABLE, IRREGULAR_ROWS, type CallRow } from './table.js';
import { CALL_TEXTS } from './texts.js';
import type { DecodedCall, RowKind } from './types.js';
import { hasValue, isUnassigned, type Character, type Identity, type WithNotReceived } from './values.js';

type Row = CallRow<RowKind>;

/** How a call is described. */
export interface DescribeOptions {
  /** Gives the words for a station's nine digits; default as `describeIdentity`. */
  readonly station?: (identity: Identity) => string;
}

type SayStation = (identity: Identity) => string;

const isIdentity = (value: unknown): value is Identity => typeof value === 'string' && /^\d{9}$/.test(value);

/** The name of each field, for "… not received". */
const NAMES: Readonly<Record<string, string>> = {
  self: 'a station whose identity was',
  casualty: 'a ship whose identity was',
  followOn: 'follow-on',
  nature: 'nature',
};

const isStation = ({ kind }: Content) => kind === 'identity' || kind === 'casualty';

function sayField(row: Row, values: Values, name: string, station: SayStation): string {
  const slot = row.slots.find((candidate) => candidate.name === name);
  const value = values[name];
  if (!slot) return '';
  if (isStation(slot) && isIdentity(value)) return station(value);
  return describeNamed(NAMES[name] ?? slot.label, phraseOf(slot), value);
}

/** The name of an address of each kind, for "… not received". */
const ADDRESS_NAMES = {
  area: 'an area',
  group: 'a group whose identity was',
  station: 'a station whose identity was',
} as const;

/** The addressee in words; `station` gives the words for nine digits. */
function describeAddress(to: unknown, station: (identity: string) => string): string {
  if (typeof to === 'object' && to !== null) {
    for (const { key, kind } of Object.values(ADDRESS_FORMS)) {
      if (!key || !kind || !(key in to)) continue;
      const value = (to as Record<string, unknown>)[key];
      if (kind === 'identity' && hasValue(value)) return station(value as string);
      return describeNamed(ADDRESS_NAMES[key], phraseOf({ kind }), value);
    }
  }
  return 'all ships';
}

function say(row: Row, values: Values, name: string, station: SayStation): string {
  if (name === 'to') return describeAddress(values.to, station);
  if (name === 'telecommands') return sayTelecommands(row, values, station);
  const phrase = sayField(row, values, name, station);
  const isDistress = row.slots.some((candidate) => candidate.name === 'nature');
  return isDistress ? sayOfDistress(name, values[name], phrase) : phrase;
}

/** The phrase of one message of a distress call, fit to stand in a list: nature, position, time; follow-on. */
function sayOfDistress(name: string, value: unknown, phrase: string): string {
  // The phrase of a field that was not received begins with its name; that of an unassigned one does not.
  const isNamed = phrase.startsWith(`${name === 'followOn' ? 'follow-on' : name} not received`);
  const isPlain = value !== 'none' && !isUnassigned(value) && !isNamed;
  const named = isUnassigned(value) ? `${name} ${phrase}` : phrase;
  switch (name) {
    case 'nature':
      return named;
    case 'position':
      return isPlain ? ` at ${phrase}` : `, ${named}`;
    case 'time':
      return isPlain ? `position valid ${phrase}` : named;
    case 'followOn':
      return FOLLOW_ON_PHRASES.get(value) ?? (isNamed ? phrase : `follow-on ${phrase}`);
    default:
      return phrase;
  }
}

const FOLLOW_ON_PHRASES: ReadonlyMap<unknown, string> = new Map<FollowOnName, string>([
  ['f3e', 'voice follows on F3E or G3E'],
  ['j3e', 'voice follows on J3E'],
  ['fec', 'telegraphy follows by FEC'],
  ['arq', 'telegraphy follows by ARQ'],
  ['none', 'no follow-on communication named'],
]);

/**
 * The number of a second telecommand that means something else after the first telecommand for data: 115 to 124, in older
 * editions only (JP567). Without data 120 to 124 mean the automatic connection system.
 */
function numberWithData(second: unknown): number | undefined {
  const symbol = isUnassigned(second)
    ? second.unassigned[0]
    : SECOND_TELECOMMANDS.byName(String(second))?.symbol;
  return symbol !== undefined && symbol >= 115 && symbol <= 124 ? symbol : undefined;
}

function sayTelecommands(row: Row, values: Values, station: SayStation): string {
  const phrase = (name: string) => sayField(row, values, name, station);
  const first = values.telecommand1 === 'none' ? 'no telecommand' : phrase('telecommand1');
  const second = values.telecommand2;
  const older = values.telecommand1 === 'data' ? numberWithData(second) : undefined;
  if (older !== undefined) return `${first}, of a kind that older editions number ${older}`;
  return values.telecommand2 === 'none' ? first : `${first}, ${phrase('telecommand2')}`;
}

/** Rows that hold every field there is, with the words for it. */
const EVERY_SLOT = [...CALL_TABLE, ...IRREGULAR_ROWS].flatMap(({ slots }) => slots);

/** The description of a call whose kind is unknown because too little was received. */
function describePartial(characters: readonly Character[], station: SayStation): string {
  const fields = agreedFields(readTables(characters));
  const tell = (name: string, label: string) => {
    const slot = EVERY_SLOT.find((candidate) => candidate.name === name);
    if (!slot || !(name in fields)) return `${label} not received`;
    const value = fields[name];
    const phrase =
      isStation(slot) && isIdentity(value) ? station(value) : describeField(phraseOf(slot), value);
    const saysItself = SAY_THEMSELVES.includes(name) || (value === 'none' && SAY_WITHOUT.includes(name));
    return saysItself && hasValue(value) ? phrase : `${label} ${phrase}`;
  };
  const from = 'self' in fields ? tell('self', ' from') : '';
  const to = 'to' in fields ? ` to ${describeAddress(fields.to, station)}` : '';
  const others = Object.keys(fields).filter((name) => name in OTHER_FIELDS);
  const parts = [
    describeNamed(
      'format specifier',
      phraseOf(FIELDS.format),
      readCharacters(FIELDS.format, characters.slice(0, 1)),
    ),
    tell('category', 'category'),
    tell('telecommand1', 'first telecommand'),
    ...others.map((name) => tell(name, OTHER_FIELDS[name])),
    describeNamed('end of sequence', phraseOf(FIELDS.eos), readCharacters(FIELDS.eos, characters.slice(-1))),
  ];
  return `Call${from}${to}, not received whole: ${parts.join('; ')}. Characters: ${listCharacters(characters)}.`;
}

/** Fields whose phrases name them, always or where the field is empty. */
const SAY_THEMSELVES = ['message', 'telephone'];
const SAY_WITHOUT = ['position', 'time'];

/** Labels of the fields that the description of a partial call leaves out where nothing of them was received. */
const OTHER_FIELDS: Readonly<Record<string, string>> = {
  telecommand2: 'second telecommand',
  casualty: 'ship in distress',
  nature: 'nature of distress',
  position: 'position',
  time: 'time',
  followOn: 'follow-on',
  message: 'frequencies or position',
  telephone: 'telephone number',
};

/** A phrase for each expansion, except a finer position, which the call's own position already shows. */
function describeExpansions(expansions: readonly WithNotReceived<Expansion>[]): string[] {
  return expansions.flatMap((expansion) => {
    if (expansion.kind === 'unassignedExpansion') {
      return [`unassigned expansion (${expansion.symbols.join(' ')})`];
    }
    const { kind } = requireRow(expansion.kind, 'expansion');
    const { text } = EXPANSION_TEXTS[kind];
    if (expansion.value === undefined) return [];
    if (expansion.value === 'requested') return [`${text} requested`];
    if (expansion.value === 'none') return [`${text} not available`];
    const phrase = describeField(phraseOf({ kind }), expansion.value);
    return [hasValue(expansion.value) ? phrase : `${text} ${phrase}`];
  });
}

/**
 * A call in full English sentences. Fields that were not received are named as such; a digit that was not received
 * prints as `?`.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @param options - the words for stations, for example `{ station: book.describe }` with an address book; asked only
 *   for identities that were received whole
 * @throws DotphaseError when the value is not a call
 */
export function describeCall(call: DecodedCall, options: DescribeOptions = {}): string {
  const { values: given, row } = requireCall(call);
  const characters = receivedCharacters(call);
  const values = asSent(given);
  const station = options.station ?? describeIdentity;
  const text = row
    ? CALL_TEXTS[row.kind]((name) => say(row, values, name, station))
    : values.kind === 'partialCall'
      ? describePartial(characters, station)
      : `Unassigned call: characters ${listCharacters(characters)}.`;
  const expansions = describeExpansions(call.expansions ?? []);
  const extras = [
    values.rest === undefined ? '' : ` Surplus characters: ${(values.rest as number[]).join(' ')}.`,
    !row || values.eos === undefined
      ? ''
      : ` End of sequence: ${describeField(phraseOf(FIELDS.eos), values.eos)}.`,
    expansions.length === 0 ? '' : ` Expansions: ${expansions.join('; ')}.`,
  ];
  return text + extras.join('');
}
