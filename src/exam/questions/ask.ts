/**
 * A question before its choices are put in order.
 */
import type { Call } from '../../calls/index.js';
import type { Draw } from '../draw/draw.js';

/** What a question is about. */
export type Topic =
  | 'count'
  | 'kind'
  | 'from'
  | 'to'
  | 'casualty'
  | 'nature'
  | 'position'
  | 'time'
  | 'lost'
  | 'follow'
  | 'reason'
  | 'acknowledgement'
  | 'next';

/** A question with its answer. */
export interface Ask {
  readonly topic: Topic;
  readonly text: string;
  /** The right answer; undefined where it is that this cannot be read. */
  readonly right: string | undefined;
  /** Wrong answers, the most tempting first; those that equal the right one or each other are left out later. */
  readonly wrong: readonly string[];
  /** Why the right answer is right, in sentences. */
  readonly because: string;
}

/** A call that questions are asked about. */
export interface HeardContext {
  readonly call: Call;
  /** Its characters, from one format specifier through the error check. */
  readonly symbols: readonly number[];
  /** Numbers of the characters that read in neither sending. */
  readonly unread: readonly number[];
  /** The DSC frequency it was heard on, hertz. */
  readonly frequencyHz: number;
  readonly draw: Draw;
}
