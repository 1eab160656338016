/**
 * The interface of a procedure: what it does with the exchanges of its kind.
 */
import type { Choice, ChooseEvent } from './actions.js';
import type { StepContext } from './stepcontext.js';
import type { Exchange } from './exchange.js';
import type { Deadline, StationState, Transmission } from './state.js';

/** The procedure of a kind of exchange. */
export interface Procedure<E extends Exchange> {
  /** What the operator may do with an exchange. */
  choices(exchange: E, state: StationState): Choice[];
  /** Does what the operator chose among them; its time has come. */
  choose(context: StepContext, exchange: E, event: ChooseEvent): void;
  /** A transmission of the exchange went on the air. */
  started(context: StepContext, exchange: E, transmission: Transmission): void;
  /** A transmission of the exchange ended: whole, or cut off, refused or given up. */
  ended(context: StepContext, exchange: E, transmission: Transmission, whole: boolean): void;
  /** When it goes on by itself. */
  deadlines(exchange: E): Deadline[];
  /** Goes on, for one of these times has come. */
  due(context: StepContext, exchange: E): void;
}
