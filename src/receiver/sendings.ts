/**
 * Sendings of one attempt: a call sent several times in a row, as a distress alert is five times
 * (ITU-R M.541 Annex 1, from memory).
 */
import { LONG_DOTS } from '../frames/index.js';
import type { Attempt, ReceivedCall } from './types.js';

/** What tells whether two sendings belong to one attempt. */
export type SendingFacts = Pick<ReceivedCall, 'symbols' | 'baud' | 'inverted' | 'centreHz' | 'start' | 'end'>;

/** Sendings that may be missed between two that were received: the first and the last of five are left. */
const MOST_MISSED = 3;

/** Centres of one attempt lie no further apart than this, in bit rates. */
const SAME_CENTRE = 0.25;

/** Attempts that are not over, remembered at most. */
const REMEMBERED = 64;

/**
 * Until when, in seconds of the stream, the phasing of another sending may begin: an attempt has no gaps but for the
 * dot patterns, so that what comes later, as the same alert does after 3.5 to 4.5 minutes (ITU-R M.541), is another
 * attempt.
 *
 * @param last - the latest sending received
 */
export function attemptOpenUntil({ start, end, baud }: Pick<SendingFacts, 'start' | 'end' | 'baud'>): number {
  const dots = LONG_DOTS / baud;
  return end + MOST_MISSED * (end - start + dots) + 2 * dots;
}

function isNextSending(last: SendingFacts, next: SendingFacts): boolean {
  return (
    next.baud === last.baud &&
    next.inverted === last.inverted &&
    Math.abs(next.centreHz - last.centreHz) <= SAME_CENTRE * last.baud &&
    // A bit earlier, for the estimated times are not exact.
    next.start >= last.end - 1 / last.baud &&
    next.start <= attemptOpenUntil(last) &&
    next.symbols.length === last.symbols.length &&
    next.symbols.every((symbol, i) => symbol === last.symbols[i])
  );
}

/**
 * Numbers attempts: gives the attempt of each call, which are handed over in the order in which they ended. Calls of
 * one stream, for example of the channels of a recording together, take one numbering.
 *
 * @returns takes a call, and where it was heard: calls heard in different places are different attempts
 */
export function createAttemptNumbering(): (call: SendingFacts, place?: string | number) => Attempt {
  let open: { last: SendingFacts; place: string | number | undefined; attempt: Attempt }[] = [];
  let attempts = 0;
  return (call, place) => {
    const before = open.find((other) => other.place === place && isNextSending(other.last, call));
    const attempt = before
      ? { id: before.attempt.id, sending: before.attempt.sending + 1 }
      : { id: ++attempts, sending: 1 };
    const isOpen = (other: { last: SendingFacts }) => attemptOpenUntil(other.last) >= call.start;
    open = [
      ...open.filter((other) => other !== before && isOpen(other)),
      { last: call, place, attempt },
    ].slice(-REMEMBERED);
    return attempt;
  };
}

/** The sendings of one attempt that were received. */
export interface AttemptGroup<Sending> {
  /** The attempt's {@link Attempt.id}. */
  readonly id: number;
  /** Seconds from the first sample of the stream to the first sending's phasing. */
  readonly start: number;
  /** Seconds to the end of the last one. */
  readonly end: number;
  /** Each sending, in the order received. */
  readonly sendings: readonly Sending[];
  /** The surest of them. */
  readonly best: Sending;
}

/** What of a call tells which attempt it belongs to, and how sure it is. */
export type GroupedCall = Pick<ReceivedCall, 'attempt' | 'start' | 'end' | 'errorProbability'>;

function join<Sending extends GroupedCall>(
  group: AttemptGroup<Sending> | undefined,
  call: Sending,
): AttemptGroup<Sending> {
  const { attempt, start, end } = call;
  if (!group) return { id: attempt.id, start, end, sendings: [call], best: call };
  return {
    ...group,
    start: Math.min(group.start, start),
    end: Math.max(group.end, end),
    sendings: [...group.sendings, call],
    best: call.errorProbability < group.best.errorProbability ? call : group.best,
  };
}

/**
 * Adds a call to the attempts received before it. For a list that grows, as in live reception; nothing given is changed.
 *
 * @param groups - those so far, in the order in which their first sendings were received
 * @param call - of the same stream
 * @returns all of them, the call's attempt with it
 */
export function addToAttempts<Sending extends GroupedCall>(
  groups: readonly AttemptGroup<Sending>[],
  call: Sending,
): AttemptGroup<Sending>[] {
  const at = groups.findIndex(({ id }) => id === call.attempt.id);
  return at < 0 ? [...groups, join(undefined, call)] : groups.with(at, join(groups[at], call));
}

/**
 * Calls grouped by the attempt they belong to, in the order in which the first sendings were received.
 *
 * @param calls - of one stream
 */
export function groupAttempts<Sending extends GroupedCall>(
  calls: Iterable<Sending>,
): AttemptGroup<Sending>[] {
  const groups = new Map<number, AttemptGroup<Sending>>();
  for (const call of calls) groups.set(call.attempt.id, join(groups.get(call.attempt.id), call));
  return [...groups.values()];
}
