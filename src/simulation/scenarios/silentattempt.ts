/** A test call on 8414.5 kHz whose first attempt nobody answers. */
import type { Scenario } from '../scenario.js';

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
    {
      identity: '299000111',
      name: 'Grey Petrel',
      callSign: 'ZZ9GP',
      position: { latitude: 47.2, longitude: -14.1 },
      watch: [8_414_500],
      reactionSeconds: [3, 5],
    },
    {
      identity: '002990001',
      name: 'Halcyon Bank Radio',
      position: { latitude: 48, longitude: -12.5 },
      watch: [8_414_500],
      reactionSeconds: [6, 9],
      behaviour: 'silent',
    },
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
