/** What virtual operators say by voice. */
import { expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import type { OutgoingExchange, StationAction } from '../../src/procedures/index.js';
import { namingBy, spoken } from '../../src/simulation/phrases.js';

const SHIP = '299000111';
const name = namingBy([{ identity: SHIP, name: 'Grey Petrel' }]);

function announcedBy(call: Call): string | undefined {
  const exchange = { kind: 'outgoing', phase: 'announced', call } as OutgoingExchange;
  const watch = { type: 'watch', call } as Extract<StationAction, { type: 'watch' }>;
  return spoken(watch, exchange, SHIP, undefined, name);
}

const to = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: 'none', transmit: 'none' },
} as const;

it.each<[string, Call, string]>([
  [
    'a group by its number',
    { kind: 'routineCall', to: { group: '029900010' }, self: SHIP, ...to },
    'Ships of the group 0 299 00010, this is Grey Petrel.',
  ],
  [
    'an area as all stations',
    {
      kind: 'urgencyCall',
      to: { area: { latitude: 50, longitude: -14, south: 3, east: 4 } },
      self: SHIP,
      ...to,
    },
    'Pan pan, pan pan, pan pan. All stations, this is Grey Petrel.',
  ],
])('calls %s', (_, call, words) => {
  expect(announcedBy(call)).toBe(words);
});
