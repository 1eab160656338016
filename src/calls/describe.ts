/**
 * Calls in plain language.
 */
import type { FollowOnName } from '../symbols/index.js';
import { describeAddress } from './address.js';
import { encodeCall, requireCall } from './codec.js';
import { describeExpansions } from './expansions/index.js';
import { casualtyField, describeField, identityField, requireSymbols } from './fields/index.js';
import { describeIdentity } from './identity.js';
import { eosField, type CallRow } from './table.js';
import type { Call, CallKind } from './types.js';
import { isUnassigned, type Identity } from './values.js';

type Values = Record<string, unknown>;
type Row = CallRow<CallKind>;

/** How a call is described. */
export interface DescribeOptions {
  /** Gives the words for a station's nine digits; default as `describeIdentity`. */
  readonly station?: (identity: Identity) => string;
}

type SayStation = (identity: Identity) => string;

const isIdentity = (value: unknown): value is Identity => typeof value === 'string' && /^\d{9}$/.test(value);

function say(row: Row, values: Values, name: string, station: SayStation): string {
  if (name === 'to') return describeAddress(values.to, station);
  if (name === 'telecommands') return sayTelecommands(row, values);
  const slot = row.slots.find((candidate) => candidate.name === name);
  const value = values[name];
  if (slot && [identityField, casualtyField].includes(slot.field) && isIdentity(value)) return station(value);
  const phrase = slot ? describeField(slot.field, value) : '';
  const isDistress = row.slots.some((candidate) => candidate.name === 'nature');
  return isDistress ? sayOfDistress(name, value, phrase) : phrase;
}

/** The phrases of a distress message, made to stand one after another: nature, position, time; follow-on. */
function sayOfDistress(name: string, value: unknown, phrase: string): string {
  const isPlain = value !== 'none' && !isUnassigned(value);
  switch (name) {
    case 'nature':
      return isPlain ? phrase : `nature ${phrase}`;
    case 'position':
      if (isPlain) return ` at ${phrase}`;
      return value === 'none' ? `, ${phrase}` : `, position ${phrase}`;
    case 'time':
      if (isPlain) return `position valid ${phrase}`;
      return value === 'none' ? phrase : `time ${phrase}`;
    case 'followOn':
      return FOLLOW_ON_PHRASES.get(value) ?? `follow-on ${phrase}`;
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

function sayTelecommands(row: Row, values: Values): string {
  const phrase = (name: string) => {
    const slot = row.slots.find((candidate) => candidate.name === name);
    return slot ? describeField(slot.field, values[name]) : '';
  };
  const first = values.telecommand1 === 'none' ? 'no telecommand' : phrase('telecommand1');
  return values.telecommand2 === 'none' ? first : `${first}, ${phrase('telecommand2')}`;
}

/**
 * A call in full English sentences, for people.
 *
 * @param call - a typed call, or JSON data of the same shape
 * @param options - the words for stations, for example `{ station: book.describe }` with an address book
 * @throws DotphaseError when the call cannot be encoded
 */
export function describeCall(call: Call, options: DescribeOptions = {}): string {
  const { values, row } = requireCall(call);
  encodeCall(call);
  const station = options.station ?? describeIdentity;
  const text = row
    ? row.text((name) => say(row, values, name, station))
    : `Unassigned call: characters ${requireSymbols(values.symbols, 'symbols').join(' ')}.`;
  const expansions = describeExpansions(call.expansions ?? []);
  const extras = [
    values.rest === undefined ? '' : ` Surplus characters: ${(values.rest as number[]).join(' ')}.`,
    values.eos === undefined ? '' : ` End of sequence: ${describeField(eosField, values.eos)}.`,
    expansions.length === 0 ? '' : ` Expansions: ${expansions.join('; ')}.`,
  ];
  return text + extras.join('');
}
