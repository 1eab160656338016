/** An urgency call to an area, with replies. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO, LONG_FETCH, SEA_HOLLY } from './stations.js';

/** `medical-advice`. Every station in it is invented. */
export const medicalAdvice: Scenario = {
  title: 'An urgency call to an area, with replies',
  about:
    'A ship asks the stations of an area for medical advice: the call on 2187.5 kHz announces the message, which is ' +
    'spoken on 2182 kHz. Nobody acknowledges a call to many by DSC; those who can help answer by voice. A ship ' +
    'outside the area is not addressed. The coast station then calls the ship by itself and proposes a working ' +
    'frequency, and that call is acknowledged.',
  seed: 3,
  start: '2031-05-17T18:40:00Z',
  durationSeconds: 180,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [2_187_500] },
    {
      ...SEA_HOLLY,
      watch: [2_187_500],
      reactionSeconds: [22, 26],
      reply: 'We have a doctor on board and can be with you in four hours. Over.',
    },
    { ...LONG_FETCH, watch: [2_187_500], reply: 'Nobody hears this: Long Fetch is outside the area.' },
    {
      ...HALCYON_BANK_RADIO,
      watch: [2_187_500],
      reactionSeconds: [14, 18],
      reply: 'Received. I call you again by DSC for a working frequency. Over.',
    },
  ],
  paths: [{ from: '*', to: '002990001', levelDb: -6, fading: 'mid-latitude-moderate' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: {
        kind: 'urgencyCall',
        to: { area: { latitude: 49, longitude: -16, south: 3, east: 5 } },
        self: '299000111',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 2_182_000 }, transmit: 'none' },
      },
      frequencyHz: 2_187_500,
    },
    {
      at: 20,
      station: '299000111',
      do: 'say',
      text: 'I have a crew member with severe chest pain and request medical advice. Over.',
      frequencyHz: 2_182_000,
    },
    {
      at: 75,
      station: '002990001',
      do: 'call',
      call: {
        kind: 'urgencyCall',
        to: { station: '299000111' },
        self: '002990001',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 1_734_000 }, transmit: { hz: 2_078_000 } },
      },
      frequencyHz: 2_187_500,
    },
  ],
};
