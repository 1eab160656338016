/**
 * A received call in words; apart from the receiver, so that a page that shows none does not pay for them.
 */
import { describeCall, type DescribeOptions } from '../calls/index.js';
import type { ReceivedCall } from './types.js';

/**
 * A received call in a sentence, `?` for each digit that was not received, and a second sentence where more expansions
 * followed than were read.
 *
 * @param received - from a receiver
 * @param options - how stations are named; default by their digits
 */
export function describeReceived(
  received: Pick<ReceivedCall, 'call' | 'moreFollowed'>,
  options?: DescribeOptions,
): string {
  const more = received.moreFollowed ? ' More expansions followed than could be read.' : '';
  return describeCall(received.call, options) + more;
}
