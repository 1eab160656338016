/** Whom a call is for: ITU-R M.493 Annex 1 §4 and §5 (from memory), and the own position as it is given. */
import { describe, expect, it } from 'vitest';
import type { Call, DecodedCall } from '../../src/calls/index.js';
import { addressedOf, addressing, isCoastStation, isWithin } from '../../src/procedures/addressing.js';
import { createStation, stepStation } from '../../src/procedures/index.js';
import { isSoundPosition, isSoundTime } from '../../src/procedures/position.js';

const SHIP = '299000111';
const GROUP = '029900010';
const station = { identity: SHIP, groups: [GROUP], position: { latitude: 48, longitude: -12 } };
const call = (to: unknown) => ({ kind: 'urgencyCall', to, self: '002990001' }) as unknown as Call;
const area = { latitude: 50, longitude: -15, south: 3, east: 5 };

describe('a call', () => {
  it.each<[string, DecodedCall, string, string]>([
    ['to all ships', call('allShips'), 'many', 'all'],
    ['without an address', { kind: 'distressAlert', self: '299000222' } as unknown as Call, 'many', 'all'],
    ['to an area around it', call({ area }), 'many', 'all'],
    ['to another area', call({ area: { ...area, south: 1 } }), 'none', 'other'],
    ['to an area that cannot be read', call({ area: { unassigned: [1, 2, 3, 4, 5] } }), 'none', 'other'],
    ['to its group', call({ group: GROUP }), 'many', 'group'],
    ['to another group', call({ group: '029900011' }), 'none', 'other'],
    ['to a group that cannot be read', call({ group: { unassigned: [1] } }), 'none', 'other'],
    ['to the station', call({ station: SHIP }), 'one', 'me'],
    ['to another station', call({ station: '299000222' }), 'none', 'other'],
    ['to a station that was not received', call({ station: { notReceived: [null] } }), 'none', 'other'],
    ['of no kind', { kind: 'unassignedCall', symbols: [120, 127] }, 'none', 'other'],
    ['of unknown kind and address', { kind: 'partialCall', symbols: [null] }, 'none', 'other'],
    [
      'of unknown kind to the station',
      { kind: 'partialCall', symbols: [null], to: { station: SHIP } },
      'one',
      'me',
    ],
  ])('%s', (_, given, expected, addressed) => {
    expect(addressing(given, station)).toBe(expected);
    expect(addressedOf(given, station)).toBe(addressed);
  });

  it('to an area is for a station that does not know where it is', () => {
    expect(addressing(call({ area }), { ...station, position: undefined })).toBe('many');
  });
});

it('an area holds its edges, and goes over the antimeridian', () => {
  const over = { latitude: 10, longitude: 178, south: 2, east: 4 };
  for (const [latitude, longitude] of [
    [10, 178],
    [8, -178],
    [9, 180],
    [9, -180],
  ])
    expect(isWithin(over, { latitude, longitude }), `${latitude} ${longitude}`).toBe(true);
  for (const [latitude, longitude] of [
    [10.1, 179],
    [7.9, 179],
    [9, 177.9],
    [9, -177.9],
  ])
    expect(isWithin(over, { latitude, longitude }), `${latitude} ${longitude}`).toBe(false);
});

it('a coast station has 00 before its digits', () => {
  const others = [SHIP, GROUP, '00299000', '0029900011', 'x002990001', undefined];
  expect(isCoastStation('002990001')).toBe(true);
  for (const identity of others) expect(isCoastStation(identity), identity).toBe(false);
});

describe('the own position', () => {
  const at = (latitude: unknown, longitude: unknown) => ({ latitude, longitude });

  it('is degrees, or none', () => {
    for (const good of ['none', at(90, 180), at(-90, -180), at(0, 0)])
      expect(isSoundPosition(good)).toBe(true);
    for (const bad of [at(90.1, 0), at(0, -180.1), at('48', 0), at(0, undefined), null, 'nowhere', 5])
      expect(isSoundPosition(bad)).toBe(false);
  });

  it('is of a time of day, or none', () => {
    for (const good of ['none', '00:00', '19:59', '23:59']) expect(isSoundTime(good)).toBe(true);
    for (const bad of ['24:00', '9:30', '09:60', '109:30', '09:305', 930, undefined])
      expect(isSoundTime(bad)).toBe(false);
  });

  it('is refused where it cannot be one, and the last good one stands', () => {
    const good = { type: 'position', position: station.position, time: '09:30' } as const;
    const { state } = stepStation(createStation({ identity: SHIP }, 0), good, 1);
    const bad = stepStation(state, { ...good, position: at(95, 0) as never }, 2);
    expect(bad.actions).toMatchObject([
      { type: 'refuse', refusal: { type: 'position', value: at(95, 0), isAlert: false } },
    ]);
    expect(bad.state).toMatchObject({ position: station.position, positionTime: '09:30' });
    const untimed = stepStation(state, { ...good, time: '25:00' }, 2);
    expect(untimed.actions).toMatchObject([{ type: 'refuse', refusal: { type: 'time', value: '25:00' } }]);
    expect(untimed.state).toMatchObject({ position: station.position, positionTime: 'none' });
    const lost = stepStation(state, { type: 'position', position: 'none', time: '09:31' }, 2);
    expect(lost.state).toMatchObject({ position: 'none', positionTime: 'none' });
  });
});
