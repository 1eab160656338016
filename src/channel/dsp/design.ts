/**
 * Design of linear-phase filters by the Kaiser window (Kaiser 1974; formulas as in Oppenheim and Schafer,
 * "Discrete-Time Signal Processing", §7.5; from memory).
 */

/** Modified Bessel function of the first kind and order zero, by its power series. */
function besselI0(x: number): number {
  const quarter = (x * x) / 4;
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= quarter / (k * k);
    sum += term;
  }
  return sum;
}

/**
 * The Kaiser window that holds ripple down to `attenuationDb` (above 50 dB), as a function of the place within
 * it: 0 the middle, ±1 the edges.
 */
export function kaiserWindow(attenuationDb: number): (place: number) => number {
  const beta = 0.1102 * (attenuationDb - 8.7);
  const scale = 1 / besselI0(beta);
  return (place) => besselI0(beta * Math.sqrt(Math.max(0, 1 - place * place))) * scale;
}

/** Taps on each side of the middle that a transition of `width` (as a fraction of the sample rate) takes. */
function kaiserHalfLength(attenuationDb: number, width: number): number {
  return Math.ceil((attenuationDb - 8) / (2.285 * 2 * Math.PI * width) / 2);
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
  const half = kaiserHalfLength(attenuationDb, transition);
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
  const pairs = Math.ceil(kaiserHalfLength(attenuationDb, 2 * edge) / 2);
  const window = kaiserWindow(attenuationDb);
  return Float64Array.from({ length: pairs }, (_, i) => {
    const k = 2 * i + 1;
    return (2 / (Math.PI * k)) * window(k / (2 * pairs));
  });
}
