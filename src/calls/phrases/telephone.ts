/**
 * Telephone numbers for people.
 */
import { EVEN_COUNT, ODD_COUNT } from '../fields/index.js';
import { receivedDigits, type Phrase } from './phrase.js';

/** A telephone number. */
export const telephonePhrase: Phrase = {
  describe: (value) => (value === 'none' ? 'no telephone number' : `telephone number ${String(value)}`),
  describeReceived([count, ...pairs]) {
    const digits = receivedDigits(pairs);
    if (!digits || (count !== ODD_COUNT && count !== EVEN_COUNT)) return undefined;
    return `telephone number ${count === ODD_COUNT ? digits.slice(1) : digits}`;
  },
};
