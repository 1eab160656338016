/** A distress alert on one frequency. */
import type { Scenario } from '../scenario.js';

/** `one-frequency`. Every station in it is invented. */
export const oneFrequency: Scenario = {
  title: 'A distress alert on one frequency',
  about:
    'A ship on fire sends a distress alert on 2187.5 kHz: five calls in a row. A coast station acknowledges it ' +
    'between 1 and 2 3/4 minutes later; a ship nearby leaves the DSC acknowledgement to it and acknowledges by voice.',
  seed: 15,
  start: '2031-05-19T02:15:00Z',
  durationSeconds: 240,
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
    },
    {
      identity: '002990001',
      name: 'Halcyon Bank Radio',
      position: { latitude: 48, longitude: -12.5 },
      watch: [2_187_500],
      reactionSeconds: [6, 9],
    },
  ],
  paths: [{ from: '299000111', to: '002990001', levelDb: -10, fading: 'mid-latitude-moderate' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'distress',
      nature: 'fire',
      followOn: 'j3e',
      frequencies: [2_187_500],
    },
  ],
};
