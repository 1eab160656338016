/**
 * Calls in plain language.
 */
import { describeAddress } from './address.js';
import { encodeCall, requireCall } from './codec.js';
import { describeExpansions } from './expansions/index.js';
import { describeField, requireSymbols } from './fields/index.js';
import { eosField, type CallRow } from './table.js';
import type { Call, CallKind } from './types.js';
import { isUnassigned } from './values.js';

type Values = Record<string, unknown>;
type Row = CallRow<CallKind>;

function say(row: Row, values: Values, name: string): string {
  if (name === 'to') return describeAddress(values.to);
  if (name === 'telecommands') return sayTelecommands(row, values);
  const slot = row.slots.find((candidate) => candidate.name === name);
  const value = values[name];
  const phrase = slot ? describeField(slot.field, value) : '';
  const isDistress = row.slots.some((candidate) => candidate.name === 'nature');
  if (!isDistress || isUnassigned(value)) return phrase;
  if (name === 'position') return value === 'none' ? phrase : `at ${phrase}`;
  if (name === 'time') return value === 'none' ? phrase : `position valid ${phrase}`;
  if (name === 'followOn') return sayFollowOn(value, phrase);
  return phrase;
}

function sayFollowOn(value: unknown, phrase: string): string {
  switch (value) {
    case 'j3e':
      return 'voice follows on J3E';
    case 'f3e':
      return 'voice follows on F3E or G3E';
    case 'none':
      return 'no follow-on communication named';
    default:
      return `${phrase} follows`;
  }
}

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
 * @throws DotphaseError when the call cannot be encoded
 */
export function describeCall(call: Call): string {
  const { values, row } = requireCall(call);
  encodeCall(call);
  const text = row
    ? row.text((name) => say(row, values, name))
    : `Unassigned call: characters ${requireSymbols(values.symbols, 'symbols').join(' ')}.`;
  const expansions = describeExpansions(call.expansions ?? []);
  const extras = [
    values.rest === undefined ? '' : ` Surplus characters: ${(values.rest as number[]).join(' ')}.`,
    values.eos === undefined ? '' : ` End of sequence: ${describeField(eosField, values.eos)}.`,
    expansions.length === 0 ? '' : ` Expansions: ${expansions.join('; ')}.`,
  ];
  return text + extras.join('');
}
