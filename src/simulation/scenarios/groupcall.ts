/** A call to the ships of a group. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, LONG_FETCH, SEA_HOLLY } from './stations.js';

/** `group-call`. Every station in it is invented. */
export const groupCall: Scenario = {
  title: 'A call to a group of ships, on 8 MHz',
  about:
    'A ship calls the other ships of its company on 8415 kHz and goes on by voice from ship to ship on 8294 kHz. ' +
    'Nobody acknowledges a call to a group by DSC: its members answer by voice. A ship that is not of the group is ' +
    'not addressed.',
  seed: 12,
  start: '2031-05-18T11:00:00Z',
  durationSeconds: 90,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [8_415_000] },
    { ...SEA_HOLLY, watch: [8_415_000], groups: ['029900010'], reply: 'I read you, go ahead. Over.' },
    { ...LONG_FETCH, watch: [8_415_000], reply: 'Nobody hears this: Long Fetch is not of the group.' },
  ],
  paths: [{ from: '299000111', to: '299000333', levelDb: -8, fading: 'mid-latitude-moderate' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: {
        kind: 'routineCall',
        to: { group: '029900010' },
        self: '299000111',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 8_294_000 }, transmit: 'none' },
      },
      frequencyHz: 8_415_000,
    },
  ],
};
