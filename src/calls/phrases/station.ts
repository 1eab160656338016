/**
 * Identities for people.
 */
import { describeIdentity, describeReceivedIdentity } from '../identity.js';
import { receivedDigits, type Phrase } from './phrase.js';

/** What an identity stands for, and its digits. */
export const identityPhrase: Phrase = {
  describe: (value) => describeIdentity(value as string),
  describeReceived(characters) {
    const digits = /^(.{9})[?0]$/.exec(receivedDigits(characters) ?? '');
    return digits ? describeReceivedIdentity(digits[1]) : undefined;
  },
};

/** The ship in distress, which may be unknown. */
export const casualtyPhrase: Phrase = {
  ...identityPhrase,
  describe: (value) => (value === 'unknown' ? 'an unknown ship' : identityPhrase.describe(value)),
};
