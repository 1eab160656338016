/**
 * The fields of a call and their values in plain words, for errors and warnings.
 */
import { formatIdentity, isUnassigned } from '../calls/index.js';
import { formatFrequency } from '../frequencies/index.js';
import { kebab } from './words.js';

const FIELDS: Readonly<Record<string, string>> = {
  self: 'sender',
  to: 'called station',
  'to.station': 'called station',
  'to.group': 'called group',
  'to.area.south': 'area, degrees southwards',
  'to.area.east': 'area, degrees eastwards',
  casualty: 'ship in distress',
  followOn: 'communication to follow',
  telecommand1: 'first telecommand',
  telecommand2: 'second telecommand',
  message: 'frequencies or position',
  'message.receive': 'frequency to receive on',
  'message.transmit': 'frequency to transmit on',
  eos: 'end of sequence',
  frequencyHz: 'DSC frequency',
  telephone: 'telephone number',
};

/** What people call a field of a call. */
export function fieldWords(field: string): string {
  return FIELDS[field] ?? field;
}

const SHAPES: readonly (readonly [string, string])[] = [
  ['{ station } alone', 'a station: nine digits'],
  ['{ group } alone', 'a group: 0 and eight digits'],
  ['{ area } alone', 'an area'],
  ['{ station }', 'a station: nine digits'],
  ['{ group }', 'a group: 0 and eight digits'],
  ['{ area }', 'an area'],
  ['{ hz }', 'a frequency such as 12520 kHz'],
  ['{ vhfChannel }', 'a VHF channel such as vhf 16'],
  ['{ channel }', 'a channel such as channel 1205'],
  ['{ receive, transmit }', 'frequencies'],
  ['{ position, time }', 'a position with its time'],
];

/** What was expected, without the shapes that data has in a program. */
export function inWords(expected: string): string {
  return SHAPES.reduce((text, [shape, words]) => text.replaceAll(shape, words), expected).replace(
    /'(\w+)'/g,
    '$1',
  );
}

/** A value of a field. */
export function valueWords(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (isUnassigned(value)) return value.unassigned.join(' ');
  if (typeof value === 'string') return /^\d{9}$/.test(value) ? formatIdentity(value) : kebab(value);
  if (typeof value !== 'object') return JSON.stringify(value);
  const { station, group, area, hz, vhfChannel, channel } = value as Readonly<Record<string, unknown>>;
  if (station !== undefined) return valueWords(station);
  if (group !== undefined) return `group ${valueWords(group)}`;
  if (area !== undefined) return 'an area';
  if (typeof hz === 'number') return formatFrequency(hz);
  if (typeof vhfChannel === 'number') return `VHF channel ${vhfChannel}`;
  if (typeof channel === 'number') return `channel ${channel}`;
  return JSON.stringify(value);
}
