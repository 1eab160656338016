/** A distress relay by a coast station. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, SEA_HOLLY, TERN_PASSAGE } from './stations.js';

/** `coast-relay`. Every station in it is invented. */
export const coastRelay: Scenario = {
  title: 'A distress relay by a coast station',
  about:
    'A coast station hears a distress alert on VHF, acknowledges it and relays it to the ships of an area on ' +
    '2187.5 kHz. The ships that hear the relay set watch and acknowledge by voice, not by DSC; none of them relays ' +
    'it again.',
  seed: 17,
  start: '2031-05-19T21:05:00Z',
  durationSeconds: 150,
  own: '002990001',
  stations: [
    { ...HALCYON_BANK_RADIO, watch: [156_525_000, 2_187_500] },
    { ...TERN_PASSAGE, watch: [156_525_000] },
    { ...GREY_PETREL, watch: [2_187_500], reactionSeconds: [4, 7] },
    { ...SEA_HOLLY, watch: [2_187_500] },
  ],
  events: [
    {
      at: 5,
      station: '299000222',
      do: 'distress',
      nature: 'flooding',
      followOn: 'f3e',
      frequencies: [156_525_000],
    },
    {
      at: 50,
      station: '002990001',
      do: 'choose',
      choice: 'relay',
      to: { area: { latitude: 50, longitude: -16, south: 4, east: 6 } },
      frequencyHz: 2_187_500,
    },
  ],
};
