/** A test call on 8414.5 kHz whose first attempt nobody answers. */
import type { Scenario } from '../scenario.js';
import { GREY_PETREL, HALCYON_BANK_RADIO } from './stations.js';

/** `silent-attempt`. Every station in it is invented. */
export const silentAttempt: Scenario = {
  title: 'A test call on 8414.5 kHz; the first attempt stays unanswered',
  about:
    'A ship tests its set with a coast station on 8414.5 kHz. The first attempt is read by nobody: the operator of ' +
    'the coast station is away. About a minute after it the ship sends again, and is answered.',
  seed: 14,
  start: '2031-05-18T08:00:00Z',
  durationSeconds: 150,
  own: '299000111',
  stations: [
    { ...GREY_PETREL, watch: [8_414_500] },
    { ...HALCYON_BANK_RADIO, watch: [8_414_500], behaviour: 'silent' },
  ],
  paths: [{ from: '299000111', to: '002990001', levelDb: -10, fading: 'mid-latitude-quiet' }],
  events: [
    {
      at: 5,
      station: '299000111',
      do: 'call',
      call: { kind: 'testCall', to: { station: '002990001' }, self: '299000111' },
      frequencyHz: 8_414_500,
    },
    { at: 60, station: '002990001', do: 'behaviour', behaviour: 'answers' },
  ],
};
