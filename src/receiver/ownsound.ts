/**
 * The own sound as it comes back: through a loop, a cable or the air from loudspeaker to microphone.
 */
import { LEAST_CERTAINTY } from '../calls/index.js';
import type { ReceivedCall } from './types.js';

/** Sound comes back no later than this, milliseconds. */
const LATEST_MS = 3000;

/** Clocks of input and output agree to this, milliseconds. */
const TOLERANCE_MS = 500;

/** A doubtful reading is still the own call where so many of its characters are the own ones. */
const LEAST_SHARE = 0.6;

/** What is sent is remembered so long, milliseconds. */
const REMEMBERED_MS = 60_000;

/** What a station sent lately, to know it again when it comes back. */
export interface OwnSound {
  /**
   * A call goes out.
   *
   * @param symbols - its characters from one format specifier to the error check, as `encodeCall` gives them
   * @param start - when, milliseconds on any clock
   * @param end - when its last sending will be over
   */
  add(symbols: readonly number[], start: number, end: number): void;
  /**
   * Whether a received call is an own one come back: the same characters at the time of their sending, or up to 3 s
   * late. Characters that are not certain may differ; of a doubtful call six in ten must agree.
   *
   * @param start - when the call began, milliseconds on the same clock
   */
  isOwn(received: Pick<ReceivedCall, 'symbols' | 'certainty' | 'quality'>, start: number): boolean;
}

/** Remembers what a station sends, so that it does not take its own sound for another's (common practice, no source). */
export function createOwnSound(): OwnSound {
  let sent: { readonly symbols: readonly number[]; readonly start: number; readonly end: number }[] = [];
  return {
    add(symbols, start, end) {
      sent = [...sent.filter((other) => other.end > start - REMEMBERED_MS), { symbols, start, end }];
    },
    isOwn: (received, start) =>
      sent.some(
        (own) =>
          start > own.start - TOLERANCE_MS && start < own.end + LATEST_MS && isSame(own.symbols, received),
      ),
  };
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
