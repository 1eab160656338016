/**
 * Whether a recording reads as its plan meant: what a receiver reads is what was to be read, and what it cannot read is
 * what was to be unreadable.
 */
import { formatIdentity } from '../calls/index.js';
import type { ReceivedCall } from '../receiver/index.js';
import type { SentCall } from './compose.js';

/** A sent call and how it was received; nothing where it was not, as planned. */
export interface HeardCall {
  readonly sent: SentCall;
  readonly received: ReceivedCall | undefined;
}

/** How far the times of a call may lie apart, seconds: fading and clocks move it a little. */
const SAME_TIME_SECONDS = 0.3;

/** The numbers of the call's characters, from one format specifier on, that read in neither sending. */
export function unreadCharacters({ characters, symbols }: ReceivedCall): number[] {
  return symbols.map((_, i) => i).filter((i) => characters[i + 1]?.symbol === undefined);
}

const nameOf = ({ plan }: SentCall) =>
  `the ${plan.call.kind}${'self' in plan.call && typeof plan.call.self === 'string' ? ` of ${formatIdentity(plan.call.self)}` : ''}`;

/** What is wrong with a damaged call: it must be doubtful, lack exactly what was lost, and read right elsewhere. */
function damageProblem(sent: SentCall, received: ReceivedCall): string | undefined {
  const unread = unreadCharacters(received);
  if (received.quality !== 'doubtful') return `${nameOf(sent)} was read in spite of its damage`;
  if (unread.join() !== [...sent.lost].sort((a, b) => a - b).join()) {
    return `${nameOf(sent)} lacks characters ${unread.join(', ')}, not ${sent.lost.join(', ')}`;
  }
  const isRight = sent.symbols.every(
    (symbol, i) => unread.includes(i) || received.characters[i + 1]?.symbol === symbol,
  );
  return isRight ? undefined : `${nameOf(sent)} was read wrong`;
}

function callProblem(sent: SentCall, received: ReceivedCall | undefined): string | undefined {
  const { readable = true } = sent.plan;
  if (!received) return readable ? `${nameOf(sent)} was not read` : undefined;
  if (!readable) return `${nameOf(sent)} was read, though it was to be unreadable`;
  if (sent.lost.length > 0) return damageProblem(sent, received);
  if (received.quality === 'doubtful') return `${nameOf(sent)} was read with doubt`;
  const isRight =
    received.symbols.join() === sent.symbols.join() && received.expansions.join() === sent.expansions.join();
  return isRight ? undefined : `${nameOf(sent)} was read wrong`;
}

/**
 * Pairs what was sent with what was received.
 *
 * @returns the calls in the order sent, and the first thing that is not as planned
 */
export function verify(
  sent: readonly SentCall[],
  received: readonly ReceivedCall[],
): { heard: HeardCall[]; problem: string | undefined } {
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
  const stranger = left.length > 0 ? `a call was read that was not sent: ${left[0].text}` : undefined;
  return { heard, problem: problems.find((problem) => problem !== undefined) ?? stranger };
}
