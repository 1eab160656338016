/**
 * The clock of a stream, found by a reference in it.
 */
import { joinSamples } from '../dsp/index.js';
import { DotphaseError } from '../errors.js';
import { clockFromReference } from './clock.js';
import type { Figure } from './figure.js';

/** What is looked for, and where. */
export interface ClockFinderOptions {
  /** Samples per second. */
  readonly sampleRate: number;
  /** True frequency of a steady tone, or below 20 Hz the rate of pulses. */
  readonly referenceHz: number;
  /** Whether it is to be found while the stream goes on: after 10 s, and then each time after twice as many. */
  readonly isEndless: boolean;
}

/** Looks for the reference in the first two minutes of a stream. */
export interface ClockFinder {
  /** Parts per million by which the clock runs fast, once it is known. */
  readonly clock: Figure | undefined;
  /** Whether all has come that is looked at. */
  readonly isOver: boolean;
  /** Takes the next samples, any number. */
  push(samples: Float32Array): void;
  /**
   * The clock by all that came.
   *
   * @throws DotphaseError where the reference is not in it
   */
  end(): Figure;
}

const LONGEST_SECONDS = 120;
const FIRST_LOOK_SECONDS = 10;

/** Opens a finder. */
export function createClockFinder({ sampleRate, referenceHz, isEndless }: ClockFinderOptions): ClockFinder {
  const parts: Float32Array[] = [];
  let kept = 0;
  let nextLook = FIRST_LOOK_SECONDS;
  let clock: Figure | undefined;
  const isOver = () => kept >= LONGEST_SECONDS * sampleRate;
  const find = () => clockFromReference(joinSamples(parts), sampleRate, referenceHz);
  return {
    get clock() {
      return clock;
    },
    get isOver() {
      return isOver();
    },
    push(samples) {
      if (clock || isOver()) return;
      parts.push(samples.slice());
      kept += samples.length;
      if (!isEndless || kept < nextLook * sampleRate) return;
      nextLook *= 2;
      try {
        clock = find();
      } catch (error) {
        if (!(error instanceof DotphaseError)) throw error;
      }
    },
    end() {
      clock ??= find();
      return clock;
    },
  };
}
