/**
 * The gains of fading paths by themselves, for signals that are complex already: ITU-R F.1487 Annex 3 (from memory).
 */
import { Random } from '../dsp/index.js';
import { FADING_CONDITIONS, type FadingConditionName } from './stages/conditions.js';
import { FadingTap } from './stages/tap.js';

/** A path that a signal comes by. */
export interface FadingGains {
  /** How much later the signal comes than by the first path, seconds. */
  readonly delaySeconds: number;
  /** Writes the path's next `count` gains, real and imaginary parts; the mean squares of all paths add up to 1. */
  fill(re: Float64Array, im: Float64Array, count: number): void;
}

/**
 * The paths of a named condition, two of equal mean power.
 *
 * @param sampleRate - gains a second, hertz
 * @param seed - an integer from 0; the same one gives the same gains
 */
export function createFadingPaths(
  condition: FadingConditionName,
  sampleRate: number,
  seed: number,
): FadingGains[] {
  const { delayMs, spreadHz } = FADING_CONDITIONS[condition];
  return [0, delayMs].map((delay, path) => {
    const tap = new FadingTap(spreadHz, sampleRate, new Random(seed, `fading path ${path}`));
    return {
      delaySeconds: delay / 1000,
      fill(re, im, count) {
        tap.fill(re, im, count);
        for (let n = 0; n < count; n++) {
          re[n] *= Math.SQRT1_2;
          im[n] *= Math.SQRT1_2;
        }
      },
    };
  });
}
