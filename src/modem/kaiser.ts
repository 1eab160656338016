/**
 * Windowed-sinc low-pass filters: the Kaiser design (J. F. Kaiser 1974; Oppenheim and Schafer,
 * Discrete-Time Signal Processing, §7.6).
 */

function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

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
 * @param attenuation - of the stop band in dB, 21–100
 */
export function kaiserLowPass(cutoff: number, transition: number, attenuation: number): LowPass {
  const beta =
    attenuation > 50
      ? 0.1102 * (attenuation - 8.7)
      : 0.5842 * (attenuation - 21) ** 0.4 + 0.07886 * (attenuation - 21);
  const reach = (attenuation - 7.95) / (2.285 * 2 * Math.PI * transition) / 2;
  const scale = 1 / besselI0(beta);
  return {
    reach,
    at(time) {
      const position = time / reach;
      if (Math.abs(position) >= 1) return 0;
      const window = besselI0(beta * Math.sqrt(1 - position * position)) * scale;
      const x = 2 * Math.PI * cutoff * time;
      return 2 * cutoff * (x === 0 ? 1 : Math.sin(x) / x) * window;
    },
  };
}
