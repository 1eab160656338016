/** A distress alert on one frequency. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, SEA_HOLLY } from './stations.js';

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
    { ...GREY_PETREL, watch: [2_187_500] },
    { ...SEA_HOLLY, watch: [2_187_500] },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500] },
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
