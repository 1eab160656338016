/** A routine call whose acknowledgement names the working frequency. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO } from './stations.js';

/** `routine-call`. Every station in it is invented. */
export const routineCall: Scenario = {
  title: 'A routine call to a coast station, which names the working frequency',
  about:
    'A ship calls a coast station for a telephone call. Its call proposes no working frequency: the coast station ' +
    'names one in its acknowledgement. The call goes out on the worldwide frequency for ships at 8 MHz and is ' +
    'answered on its partner. Then the ship calls on the frequency that was named.',
  seed: 11,
  start: '2031-05-18T09:10:00Z',
  durationSeconds: 120,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [8_436_500] },
    {
      ...HALCYON_BANK_RADIO,
      watch: [8_415_000],
      behaviour: 'answersElsewhere',
      elsewhere: { message: { receive: { channel: 807 }, transmit: { channel: 807 } } },
    },
  ],
  paths: [{ from: '299000111', to: '002990001', levelDb: -6, fading: 'mid-latitude-quiet' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: {
        kind: 'routineCall',
        to: { station: '002990001' },
        self: '299000111',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: 'none', transmit: 'none' },
      },
      frequencyHz: 8_415_000,
    },
  ],
};
