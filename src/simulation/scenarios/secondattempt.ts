/** A test call whose first attempt collides with another ship's. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, TERN_PASSAGE } from './stations.js';

/** `second-attempt`. Every station in it is invented. */
export const secondAttempt: Scenario = {
  title: 'A test call answered on the second attempt',
  about:
    'Two ships that cannot hear each other call the same coast station on 2187.5 kHz at the same moment. The nearer ' +
    'one covers the other, whose call is lost. After a minute without an acknowledgement it sends again, and is ' +
    'answered.',
  seed: 3,
  start: '2031-05-17T12:00:00Z',
  durationSeconds: 180,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [2_187_500], reactionSeconds: [4, 6] },
    {
      ...TERN_PASSAGE,
      position: { latitude: 48.9, longitude: -10.8 },
      watch: [2_187_500],
      reactionSeconds: [24, 28],
    },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500], reactionSeconds: [3, 5] },
  ],
  paths: [
    { from: '299000111', to: '299000222', blocked: true },
    { from: '299000111', to: '002990001', levelDb: -12 },
  ],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: { kind: 'testCall', to: { station: '002990001' }, self: '299000111' },
      frequencyHz: 2_187_500,
    },
    {
      at: 5.37,
      station: '299000222',
      do: 'call',
      call: { kind: 'testCall', to: { station: '002990001' }, self: '299000222' },
      frequencyHz: 2_187_500,
    },
  ],
};
