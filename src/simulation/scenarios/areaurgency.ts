/** An urgency call to an area on HF. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, LONG_FETCH, SEA_HOLLY } from './stations.js';

/** `area-urgency`. Every station in it is invented. */
export const areaUrgency: Scenario = {
  title: 'An urgency call to an area, on 12 MHz',
  about:
    'A ship with a failing engine drifts towards a shoal and asks the stations of an area for a tow: the call on ' +
    '12577 kHz announces the message, which is spoken on 12290 kHz. Nobody acknowledges it by DSC. A ship outside ' +
    'the area is not addressed.',
  seed: 13,
  start: '2031-05-18T16:30:00Z',
  durationSeconds: 120,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [12_577_000] },
    {
      ...SEA_HOLLY,
      watch: [12_577_000],
      reply: 'I can be with you in five hours and take you in tow. Over.',
    },
    {
      ...LONG_FETCH,
      position: { latitude: 40.4, longitude: -13.9 },
      watch: [12_577_000],
      reply: 'Nobody hears this: Long Fetch is outside the area.',
    },
  ],
  paths: [{ from: '*', to: '*', levelDb: -8, fading: 'mid-latitude-moderate' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: {
        kind: 'urgencyCall',
        to: { area: { latitude: 50, longitude: -18, south: 6, east: 8 } },
        self: '299000111',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 12_290_000 }, transmit: 'none' },
      },
      frequencyHz: 12_577_000,
    },
    {
      at: 28,
      station: '299000111',
      do: 'say',
      text: 'My engine has failed and I drift towards a shoal. I request a tow. Over.',
      frequencyHz: 12_290_000,
    },
  ],
};
