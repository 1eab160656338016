/**
 * One steady tone in white noise: the maximum-likelihood estimate of frequency, amplitude and phase (Rife and Boorstyn,
 * "Single-tone parameter estimation from discrete-time observations", 1974; from memory).
 */
import { Rotor } from '../dsp/index.js';
import { inverse, times } from './linear.js';

/** A tone found. */
export interface Tone {
  readonly frequencyHz: number;
  /** Peak. */
  readonly amplitude: number;
  /** Radians at the first sample, of a sine. */
  readonly phase: number;
  /** Standard uncertainty of the frequency, hertz, and of the amplitude, at unit variance of the noise. */
  readonly frequencyError: number;
  readonly amplitudeError: number;
  /** Mean square of what the tone leaves of the samples. */
  readonly residue: number;
}

const MOST_STEPS = 20;
/** Samples of the tone that are worked out at a time. */
const BLOCK = 1024;

/**
 * Fits a tone.
 *
 * @param roughHz - within half of one over the length of the samples
 * @returns undefined where the samples do not hold a tone there
 */
export function fitTone(samples: ArrayLike<number>, sampleRate: number, roughHz: number): Tone | undefined {
  const count = samples.length;
  const middle = (count - 1) / 2;
  let step = (2 * Math.PI * roughHz) / sampleRate;
  let [sine, cosine] = [0, 0];
  const reach = (2 * Math.PI) / count;
  const start = step;
  const cosines = new Float64Array(BLOCK);
  const sines = new Float64Array(BLOCK);
  for (let round = 0; round < MOST_STEPS; round++) {
    // Sums over the samples of products of the slopes by sine part, cosine part and frequency, and of slope and error.
    let [ss, sc, sf, cc, cf, ff] = [0, 0, 0, 0, 0, 0];
    let [toS, toC, toF] = [0, 0, 0];
    let squares = 0;
    const turns = step / (2 * Math.PI);
    const rotor = new Rotor(1, turns, 0, (-turns * middle) % 1);
    for (let from = 0; from < count; from += BLOCK) {
      const size = Math.min(BLOCK, count - from);
      rotor.fill(cosines, sines, size);
      for (let i = 0; i < size; i++) {
        const n = from + i;
        const sin = sines[i];
        const cos = cosines[i];
        const slope = (n - middle) * (sine * cos - cosine * sin);
        const error = samples[n] - sine * sin - cosine * cos;
        squares += error * error;
        toS += sin * error;
        toC += cos * error;
        toF += slope * error;
        ss += sin * sin;
        sc += sin * cos;
        sf += sin * slope;
        cc += cos * cos;
        cf += cos * slope;
        ff += slope * slope;
      }
    }
    const gradient = Float64Array.of(toS, toC, toF);
    const information = Float64Array.of(ss, sc, sf, sc, cc, cf, sf, cf, ff);
    // At first the amplitudes are 0, and the samples tell nothing of the frequency.
    if (round === 0) information[8] = 1;
    const covariance = inverse(information, 3);
    if (!covariance) return undefined;
    const [toSine, toCosine, toStep] = times(covariance, 3, gradient);
    sine += toSine;
    cosine += toCosine;
    if (round > 0) step += Math.max(-reach / 2, Math.min(reach / 2, toStep));
    if (Math.abs(step - start) > 2 * reach) return undefined;
    if (round > 1 && Math.abs(toStep) < 1e-6 * reach) {
      const toHz = sampleRate / (2 * Math.PI);
      return {
        frequencyHz: step * toHz,
        amplitude: Math.hypot(sine, cosine),
        phase: Math.atan2(cosine, sine) - step * middle,
        frequencyError: Math.sqrt(covariance[8]) * toHz,
        amplitudeError: Math.sqrt(2 / count),
        residue: squares / count,
      };
    }
  }
  return undefined;
}
