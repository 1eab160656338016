/** A position request, answered by the set. */
import type { Scenario } from '../scenario.js';

/** `position-request`. Every station in it is invented. */
export const positionRequest: Scenario = {
  title: 'A position request by a coast station',
  about:
    'A coast station asks two ships on 2187.5 kHz for their positions. The set of one answers by itself, as its ' +
    'operator allowed; the operator of the other answers by hand. Nothing follows by voice.',
  seed: 18,
  start: '2031-05-20T06:20:00Z',
  durationSeconds: 120,
  own: '299000111',
  stations: [
    {
      identity: '299000111',
      name: 'Grey Petrel',
      callSign: 'ZZ9GP',
      position: { latitude: 47.2, longitude: -14.1 },
      watch: [2_187_500],
      reactionSeconds: [3, 5],
    },
    {
      identity: '299000333',
      name: 'Sea Holly',
      callSign: 'ZZ9SH',
      position: { latitude: 47.6, longitude: -13.3 },
      watch: [2_187_500],
      reactionSeconds: [6, 10],
      automatic: ['position'],
    },
    {
      identity: '002990001',
      name: 'Halcyon Bank Radio',
      position: { latitude: 48, longitude: -12.5 },
      watch: [2_187_500],
      reactionSeconds: [6, 9],
    },
  ],
  paths: [{ from: '*', to: '*', levelDb: -8 }],
  events: [
    {
      at: 5,
      station: '002990001',
      do: 'call',
      call: { kind: 'positionRequest', to: { station: '299000333' }, self: '002990001' },
      frequencyHz: 2_187_500,
    },
    {
      at: 45,
      station: '002990001',
      do: 'call',
      call: { kind: 'positionRequest', to: { station: '299000111' }, self: '002990001' },
      frequencyHz: 2_187_500,
    },
  ],
};
