/**
 * Times of day for people.
 */
import { receivedDigits, type Phrase } from './phrase.js';

/** A time of day, UTC. */
export const timePhrase: Phrase = {
  describe: (value) => (value === 'none' ? 'time not given' : `${String(value)} UTC`),
  describeReceived([hours, minutes]) {
    if (Number(hours) > 23 || Number(minutes) > 59) return undefined;
    return `${receivedDigits([hours])}:${receivedDigits([minutes])} UTC`;
  },
};
