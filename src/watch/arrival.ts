/**
 * When the samples of a live input were on the air, by the clock at which they arrive. Samples arrive late, in pieces, but
 * never early: of a while the piece that came soonest tells best. So the time follows a sound card whose clock drifts, and
 * samples that were lost on the way show as a jump.
 */

/** So much audio is looked at together, seconds. */
const WINDOW_SECONDS = 5;

/** A jump of less is a matter of how samples arrive, milliseconds. */
const LEAST_JUMP_MS = 500;

/** Samples that did not arrive. */
export interface LostSamples {
  /** When the audio before them ended, and after them began: milliseconds since 1970 UTC. */
  readonly from: number;
  readonly until: number;
}

/** Follows the times of one stream. */
export class ArrivalClock {
  /** When the first sample would have been on the air, by the last whole window. */
  #begin: number | undefined;
  #soonest = Infinity;
  #windowEnd = WINDOW_SECONDS;
  #seconds = 0;
  #isExcused = false;

  /**
   * Samples have arrived.
   *
   * @param seconds - length of all that has arrived, these included
   * @param now - milliseconds since 1970 UTC
   * @returns samples that were lost, where that shows now
   */
  arrived(seconds: number, now: number): LostSamples | undefined {
    this.#seconds = seconds;
    this.#soonest = Math.min(this.#soonest, now - seconds * 1000);
    if (seconds < this.#windowEnd) return undefined;
    const before = this.#begin;
    this.#begin = this.#soonest;
    this.#soonest = Infinity;
    this.#windowEnd = seconds + WINDOW_SECONDS;
    const isExcused = this.#isExcused;
    this.#isExcused = false;
    if (before === undefined || isExcused || this.#begin - before < LEAST_JUMP_MS) return undefined;
    return { from: before + seconds * 1000, until: this.#begin + seconds * 1000 };
  }

  /** The next jump is known already and not told. */
  excuse(): void {
    this.#isExcused = true;
    // What arrived before it says nothing of what comes after it.
    this.#soonest = Infinity;
    this.#windowEnd = this.#seconds + WINDOW_SECONDS;
  }

  /** When something in the stream was on the air: milliseconds since 1970 UTC. */
  timeOf(seconds: number): number {
    const begin = this.#isExcused || this.#begin === undefined ? this.#soonest : this.#begin;
    return (Number.isFinite(begin) ? begin : (this.#begin ?? 0)) + seconds * 1000;
  }
}
