/**
 * The attempts of a recording while it is decoded: which are open, and when each is over.
 */
import { attemptOpenUntil, createAttemptNumbering } from '../receiver/index.js';
import type { HeardCall } from './heardcall.js';

/** Seconds behind a call's last bit after which it has been given, also out of a slice of spectrum. */
const REPORT_SECONDS = 3;

/** The attempts of one recording, whatever channels they are heard on. */
export class Attempts {
  /**
   * @param openSeconds - for so long from the beginning of its latest sending an attempt is open at least: where sendings
   *   on other frequencies may belong to it
   */
  constructor(private readonly openSeconds = 0) {}

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
      const until = Math.max(attemptOpenUntil(last), last.start + this.openSeconds);
      return until + length + REPORT_SECONDS < time;
    });
    for (const [id] of over) this.#open.delete(id);
    return over.map(([id]) => id);
  }
}
