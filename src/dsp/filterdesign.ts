/** Design of linear-phase filters by the Kaiser window. */
import { kaiserReach, kaiserWindow } from './kaiser.js';

/** A low-pass response, as a continuous function of time in input samples. */
export interface LowPass {
  /** Half the length in input samples; the response is zero beyond. */
  readonly reach: number;
  /** The response at a time in samples; its samples at any offset add up to nearly 1. */
  at(time: number): number;
}

/**
 * A linear-phase low-pass filter by the Kaiser window.
 *
 * @param cutoff - the −6 dB edge in cycles per sample, below 0.5
 * @param transition - width from pass band to stop band in cycles per sample
 * @param attenuationDb - of the stop band, 21–100
 */
export function designLowPass(cutoff: number, transition: number, attenuationDb: number): LowPass {
  const reach = kaiserReach(attenuationDb, transition);
  const window = kaiserWindow(attenuationDb);
  return {
    reach,
    at(time) {
      if (Math.abs(time) >= reach) return 0;
      const x = 2 * Math.PI * cutoff * time;
      return 2 * cutoff * (x === 0 ? 1 : Math.sin(x) / x) * window(time / reach);
    },
  };
}

/**
 * One half of a symmetric band-pass filter, from the middle tap outwards.
 *
 * @param low - lower −6 dB edge as a fraction of the sample rate, 0 for a low-pass filter
 * @param high - upper −6 dB edge as a fraction of the sample rate
 * @param transition - width of each edge as a fraction of the sample rate
 * @param attenuationDb - outside the edges
 */
export function designBandPass(
  low: number,
  high: number,
  transition: number,
  attenuationDb: number,
): Float64Array {
  const half = Math.ceil(kaiserReach(attenuationDb, transition));
  const window = kaiserWindow(attenuationDb);
  return Float64Array.from({ length: half + 1 }, (_, k) => {
    if (k === 0) return 2 * (high - low);
    const ideal = (Math.sin(2 * Math.PI * high * k) - Math.sin(2 * Math.PI * low * k)) / (Math.PI * k);
    return ideal * window(k / (half + 1));
  });
}

/**
 * The odd taps on one side of a Hilbert transformer, at 1, 3, 5 … samples from the middle; the other side has
 * them with the opposite sign, the even ones are zero.
 *
 * @param edge - the lowest frequency passed, as a fraction of the sample rate; the highest is ½ − edge
 * @param attenuationDb - ripple
 */
export function designHilbert(edge: number, attenuationDb: number): Float64Array {
  const pairs = Math.ceil(kaiserReach(attenuationDb, 2 * edge) / 2);
  const window = kaiserWindow(attenuationDb);
  return Float64Array.from({ length: pairs }, (_, i) => {
    const k = 2 * i + 1;
    return (2 / (Math.PI * k)) * window(k / (2 * pairs));
  });
}
