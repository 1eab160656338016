/** A distress attempt with its acknowledgement, and the cancellation of what was a false alert. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, SEA_HOLLY } from './stations.js';

/** `false-alert`. Every station in it is invented. */
export const falseAlert: Scenario = {
  title: 'A distress alert, acknowledged and then cancelled',
  about:
    'A ship sends a distress alert on 2187.5 kHz: five calls in a row. A coast station acknowledges it after the ' +
    'minute that the rules ask for; a ship nearby leaves the DSC acknowledgement to the coast station and answers ' +
    'by voice. Then the alert turns out to be false and is cancelled, by DSC and by voice.',
  seed: 2,
  start: '2031-05-17T03:20:00Z',
  durationSeconds: 240,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [2_187_500], reactionSeconds: [2, 4] },
    { ...SEA_HOLLY, watch: [2_187_500], reactionSeconds: [5, 9], abilities: ['calls', 'voice'] },
    { ...HALCYON_BANK_RADIO, watch: [2_187_500], reactionSeconds: [6, 10] },
  ],
  paths: [{ from: '299000111', to: '002990001', levelDb: -10, fading: 'mid-latitude-quiet' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'distress',
      nature: 'flooding',
      followOn: 'j3e',
      frequencies: [2_187_500],
    },
    { at: 130, station: '299000111', do: 'choose', choice: 'cancel' },
    {
      at: 165,
      station: '002990001',
      do: 'say',
      text: 'Grey Petrel, this is Halcyon Bank Radio. Your distress alert is cancelled, I call off all stations. Out.',
      frequencyHz: 2_182_000,
    },
  ],
};
