/** A position request, answered by the set. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, SEA_HOLLY } from './stations.js';

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
    { ...GREY_PETREL, watch: [2_187_500] },
    { ...SEA_HOLLY, watch: [2_187_500], automatic: ['position'] },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500] },
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
