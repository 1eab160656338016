/**
 * How an exchange ends, in words and for the shell.
 */
import type { Exchange } from '../../procedures/index.js';
import { EXIT } from '../exit.js';

/** How an exchange ended. */
export type Outcome =
  /** The acknowledgement came. */
  | 'acknowledged'
  /** It came, and says that the called station cannot comply. */
  | 'declined'
  /** The call went out, and asks for no acknowledgement. */
  | 'announced'
  /** The own alert was taken back. */
  | 'cancelled'
  /** No acknowledgement came. */
  | 'unanswered'
  /** The call did not go out, or not whole. */
  | 'unsent'
  /** The procedures do not allow the call. */
  | 'refused';

/** What the process ends with. */
export const STATUS: Readonly<Record<Outcome, number>> = {
  acknowledged: EXIT.done,
  announced: EXIT.done,
  cancelled: EXIT.done,
  declined: EXIT.nothing,
  unanswered: EXIT.nothing,
  unsent: EXIT.bad,
  refused: EXIT.bad,
};

/** How an exchange has ended; undefined while it may go on. */
export function outcomeOf(exchange: Exchange): Outcome | undefined {
  if (exchange.kind !== 'outgoing' && exchange.kind !== 'distress') return undefined;
  switch (exchange.phase) {
    case 'answered':
      return 'acknowledged';
    case 'announced':
    case 'cancelled':
      return exchange.phase;
    case 'stopped':
      if (exchange.kind === 'distress' && exchange.acknowledgedBy.length > 0) return 'acknowledged';
      return exchange.attempts > 0 ? 'unanswered' : 'unsent';
    default:
      return undefined;
  }
}
