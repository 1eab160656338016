/**
 * What is to be written into a log that another program may hold for a while: kept in order until it can be.
 */
import { isHeldByOther } from './refusal.js';
import type { HeardStore } from './store.js';

/** Does something with a log. */
export type Write = (store: HeardStore) => void;

/**
 * Writes into a log in order, and keeps what can't be written yet because another program holds the file.
 */
export class OwedWrites {
  readonly #owed: Write[] = [];

  /**
   * @param refused - is given the error of a write that the log refuses for another reason: it is lost, and where this
   *   throws, those behind it are kept until `settle` is called again
   */
  constructor(
    private readonly store: HeardStore,
    private readonly refused: (error: unknown) => void,
  ) {}

  /** How many writes are kept. */
  get count(): number {
    return this.#owed.length;
  }

  /**
   * Does one more write, behind all that are kept.
   *
   * @returns as `settle`
   */
  owe(write: Write): Error | undefined {
    this.#owed.push(write);
    return this.settle();
  }

  /**
   * Writes what is kept, until another program holds the log.
   *
   * @returns that error, or undefined where nothing is kept any more
   */
  settle(): Error | undefined {
    for (let write = this.#owed.shift(); write; write = this.#owed.shift()) {
      try {
        write(this.store);
      } catch (error) {
        if (isHeldByOther(error)) {
          this.#owed.unshift(write);
          return error;
        }
        this.refused(error);
      }
    }
    return undefined;
  }
}
