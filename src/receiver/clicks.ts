/**
 * The clicks of an FM receiver below its threshold. The noise there turns the carrier's phase by a whole turn at times:
 * impulses in the frequency that the discriminator gives, steps and low-frequency noise after de-emphasis. Turning
 * the de-emphasis back makes them impulses again, which are cut off.
 */

/** What is larger than this many times the mean magnitude is cut off. */
const MOST = 2;

/** The difference of neighbouring samples, none far above their mean magnitude. */
export function cutClicks(audio: Float32Array): Float32Array {
  const differences = audio.map((sample, n) => (n > 0 ? sample - audio[n - 1] : 0));
  const mean = differences.reduce((sum, value) => sum + Math.abs(value), 0) / differences.length;
  const most = MOST * mean;
  return differences.map((value) => Math.max(-most, Math.min(most, value)));
}
