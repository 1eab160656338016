/**
 * Working frequencies and channels for people.
 */
import { SIMPLEX_SIDES } from '../fields/index.js';
import type { Channel, Unassigned } from '../values.js';
import { receivedDigits, receivedNumber, type Phrase } from './phrase.js';

/** A frequency or channel. */
export const channelPhrase: Phrase = {
  describe(value) {
    const channel = value as Exclude<Channel, Unassigned>;
    if (channel === 'none') return 'no channel';
    if ('hz' in channel) return `${String(channel.hz / 1000)} kHz`;
    if ('channel' in channel) return `MF/HF channel ${channel.channel}`;
    const side = channel.simplex ? ` (${channel.simplex} frequency alone)` : '';
    return `VHF channel ${channel.vhfChannel}${side}`;
  },
  describeReceived(characters) {
    const digits = receivedDigits(characters) ?? '';
    const kilohertz = /^(?:([0-2].{4})(.)|4(.{5})(..))$/.exec(digits);
    if (kilohertz) {
      const [whole, decimals] = kilohertz.slice(1).filter((part: string | undefined) => part !== undefined);
      return `${receivedNumber(whole)}.${decimals} kHz`;
    }
    if (/^3.{5}$/.test(digits)) return `MF/HF channel ${receivedNumber(digits.slice(1))}`;
    const vhf = /^90([?0-2])(...)$/.exec(digits);
    if (!vhf) return undefined;
    const side = vhf[1] === '?' ? undefined : SIMPLEX_SIDES[Number(vhf[1])];
    return `VHF channel ${receivedNumber(vhf[2])}${side ? ` (${side} frequency alone)` : ''}`;
  },
};
