/**
 * A scene to begin with.
 */
import type { SliceScene } from '../../radio/index.js';

/** Two calls on 8 MHz, one of them fading beside a strong carrier. */
export const EXAMPLE: SliceScene = {
  sampleRate: 96_000,
  tunedHz: 8_430_000,
  seconds: 12,
  seed: 1,
  recorded: '2031-05-17T09:30:00Z',
  noiseDb: -70,
  calls: [
    {
      call: {
        kind: 'distressAlert',
        self: '299123456',
        nature: 'flooding',
        position: { latitude: 48.2, longitude: -12.75 },
        time: '09:30',
        followOn: 'j3e',
      },
      frequencyHz: 8_414_500,
      atSeconds: 0.5,
      snrDb: 20,
      fading: 'mid-latitude-moderate',
    },
    {
      call: {
        kind: 'routineCall',
        to: { station: '299654321' },
        self: '002991234',
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 8_719_000 }, transmit: { hz: 8_195_000 } },
      },
      frequencyHz: 8_436_500,
      atSeconds: 3,
      levelDb: -20,
    },
  ],
  carriers: [{ frequencyHz: 8_418_000, levelDb: -15, fromSeconds: 2 }],
  receiver: { oscillatorPpm: 0.5, dcI: 0.01, dcQ: -0.005, imbalanceDb: 0.3, skewDegrees: 1 },
};
