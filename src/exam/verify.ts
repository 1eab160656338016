/**
 * Whether a recording reads as its plan meant: what a receiver reads is what was to be read, and what it cannot read is
 * what was to be unreadable.
 */
import { formatIdentity } from '../calls/index.js';
import { describeReceived, type ReceivedCall } from '../receiver/index.js';
import type { SentCall } from './compose.js';

/** A sent call and how it was received; nothing where it was not, as planned. */
export interface HeardCall {
  readonly sent: SentCall;
  readonly received: ReceivedCall | undefined;
}

/** How far the times of a call may lie apart, seconds: fading and clocks move it a little. */
const SAME_TIME_SECONDS = 0.3;

/** The numbers of the call's characters, from one format specifier on, that read in neither sending. */
function unreadCharacters({ characters, symbols }: ReceivedCall): number[] {
  return symbols.map((_, i) => i).filter((i) => characters[i + 1]?.symbol === undefined);
}

const nameOf = ({ plan }: SentCall) =>
  `the ${plan.call.kind}${'self' in plan.call && typeof plan.call.self === 'string' ? ` of ${formatIdentity(plan.call.self)}` : ''}`;

/** The numbers of characters that read as another symbol than was sent. */
function misreadCharacters(sent: SentCall, { characters }: ReceivedCall): number[] {
  return sent.symbols.flatMap((symbol, i) => ((characters[i + 1]?.symbol ?? symbol) === symbol ? [] : [i]));
}

/**
 * What is wrong with a call. Its characters count as they read one by one, so that a receiver without any art reads it
 * too: all of them where the call is whole, all but the lost ones where it is damaged, and then it must be doubtful.
 */
function callProblem(sent: SentCall, received: ReceivedCall | undefined): string | undefined {
  const { readable = true } = sent.plan;
  const name = nameOf(sent);
  if (!received) return readable ? `${name} was not read` : undefined;
  if (!readable) return `${name} was read, though it was to be unreadable`;
  const lost = [...sent.lost].sort((a, b) => a - b).join(', ');
  const unread = unreadCharacters(received).join(', ');
  if (unread !== lost) return `${name} lacks characters ${unread || 'none'}, not ${lost || 'none'}`;
  if (misreadCharacters(sent, received).length > 0) return `${name} was read wrong`;
  if (lost !== '') {
    return received.quality === 'doubtful' ? undefined : `${name} was read in spite of its damage`;
  }
  if (received.quality === 'doubtful') return `${name} was read with doubt`;
  const isRight =
    received.symbols.join() === sent.symbols.join() && received.expansions.join() === sent.expansions.join();
  return isRight ? undefined : `${name} was read wrong`;
}

/**
 * Pairs what was sent with what was received.
 *
 * @returns the calls in the order sent, the numbers of those that are not as planned, and the first thing that is not
 */
export function verify(
  sent: readonly SentCall[],
  received: readonly ReceivedCall[],
): { heard: HeardCall[]; failed: number[]; problem: string | undefined } {
  const left = [...received];
  const heard = sent.map((call): HeardCall => {
    const at = left.findIndex(
      ({ start, symbols }) =>
        Math.abs(start - call.phasingSeconds) < SAME_TIME_SECONDS &&
        symbols.length === call.symbols.length &&
        symbols[0] === call.symbols[0],
    );
    return { sent: call, received: at < 0 ? undefined : left.splice(at, 1)[0] };
  });
  const problems = heard.map((call) => callProblem(call.sent, call.received));
  const stranger =
    left.length > 0 ? `a call was read that was not sent: ${describeReceived(left[0])}` : undefined;
  const failed = problems.flatMap((problem, i) => (problem === undefined ? [] : [i]));
  return { heard, failed, problem: problems.find((problem) => problem !== undefined) ?? stranger };
}
