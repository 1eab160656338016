/**
 * The attempts of a recording while it is decoded: which are open, and when each is over.
 */
import { attemptOpenUntil, createAttemptNumbering } from '../receiver/index.js';
import type { HeardCall } from './heardcall.js';

/** Seconds behind a call's last bit after which its receiver has given it. */
const REPORT_SECONDS = 1;

/** The attempts of one recording, whatever channels they are heard on. */
export class Attempts {
  readonly #number = createAttemptNumbering();
  readonly #open = new Map<number, HeardCall>();

  /** The call with its attempt among those of all channels together. */
  add(call: HeardCall): HeardCall {
    const numbered = { ...call, attempt: this.#number(call, call.channel) };
    this.#open.set(numbered.attempt.id, numbered);
    return numbered;
  }

  /** The attempts that are over at `time`, seconds of the recording: no later sending can belong to them. */
  over(time: number): number[] {
    const over = [...this.#open].filter(([, last]) => {
      const length = last.end - last.start;
      return attemptOpenUntil(last) + length + REPORT_SECONDS < time;
    });
    for (const [id] of over) this.#open.delete(id);
    return over.map(([id]) => id);
  }
}
