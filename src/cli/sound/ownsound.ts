/**
 * The own sound as it comes back: through a loop, a cable or the air from loudspeaker to microphone.
 */
import { LEAST_CERTAINTY } from '../../calls/index.js';
import type { ReceivedCall } from '../../receiver/index.js';

/** Sound comes back no later than this, milliseconds. */
const LATEST_MS = 3000;

/** Clocks of input and output agree to this, milliseconds. */
const TOLERANCE_MS = 500;

/** A doubtful reading is still the own call where so many of its characters are the own ones. */
const LEAST_SHARE = 0.6;

interface Sent {
  readonly symbols: readonly number[];
  readonly start: number;
  readonly end: number;
}

/** What was sent lately, to know it again. */
export class OwnSound {
  private sent: Sent[] = [];

  /** A call goes out; times in milliseconds. */
  add(symbols: readonly number[], start: number, end: number): void {
    this.sent = [...this.sent.filter((other) => other.end > start - 60_000), { symbols, start, end }];
  }

  /**
   * Whether a received call is an own one come back: the same characters at the time of their sending.
   *
   * @param start - when it began, milliseconds
   */
  isOwn(received: Pick<ReceivedCall, 'symbols' | 'certainty' | 'quality'>, start: number): boolean {
    return this.sent.some(
      (own) =>
        start > own.start - TOLERANCE_MS && start < own.end + LATEST_MS && isSame(own.symbols, received),
    );
  }
}

function isSame(
  own: readonly number[],
  { symbols, certainty, quality }: Pick<ReceivedCall, 'symbols' | 'certainty' | 'quality'>,
): boolean {
  const agreeing = symbols.filter((symbol, i) => symbol === own[i]).length;
  if (quality === 'doubtful') return agreeing >= LEAST_SHARE * Math.max(own.length, symbols.length);
  const isCertain = (i: number) => certainty[i] >= LEAST_CERTAINTY;
  return symbols.length === own.length && symbols.every((symbol, i) => symbol === own[i] || !isCertain(i));
}
