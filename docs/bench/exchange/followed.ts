/**
 * Which of the readings that were followed is that of a call that was received.
 */
import type { ReceivedCall } from 'dotphase';
import type { LiveReading } from '../listen/livereader.js';

const PHASING_DX = 6;
const PHASING_RX = 8;
/** A reading is that of a call where at least this share of its slots reads as the call does. */
const LEAST_AGREEMENT = 0.5;

/** Which share of the slots of a call's characters reads as each character read in DX and in RX. */
function agreement({ characters }: Pick<ReceivedCall, 'characters'>, slots: LiveReading['slots']): number {
  const same = characters.map(({ dx, rx, symbol }, i) => {
    const [first, second] = [slots.at(2 * (i + PHASING_DX)), slots.at(2 * (i + PHASING_RX) + 1)];
    return (
      Number(first !== undefined && first === (dx ?? symbol)) +
      Number(second !== undefined && second === (rx ?? symbol))
    );
  });
  return same.reduce((sum, each) => sum + each, 0) / Math.max(1, 2 * characters.length);
}

/** The slots of a received call as they were followed; undefined where none of the readings is of that call. */
export function slotsOf(
  received: Pick<ReceivedCall, 'characters'>,
  readings: readonly LiveReading['slots'][],
): LiveReading['slots'] | undefined {
  const best = readings
    .map((slots) => ({ slots, share: agreement(received, slots) }))
    .sort((a, b) => b.share - a.share)
    .at(0);
  return best && best.share >= LEAST_AGREEMENT ? best.slots : undefined;
}
