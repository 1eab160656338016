/**
 * The normal equations of a least-squares fit of keyed tones to audio: six parameters that all bits share, and the
 * phase of each segment, which is eliminated (Schur's complement).
 */
import { inverse, times, type Matrix } from './linear.js';
import {
  TONE_PARAMETERS as SHARED,
  bitExtent,
  frequencyAt,
  phaseAt,
  runningSums,
  sumAt,
  type KeyedBits,
  type ToneParameters,
} from './tonemodel.js';

/** Of the shared parameters those that move the phase; the others are the amplitudes. */
const PHASE_PARAMETERS = [0, 1, 2, 3, 6];
/** Parameters that may be held: the instant and the length of a bit, and the drift. */
export const TIMING: readonly number[] = [2, 3];
export const DRIFT = 6;
/** The amplitude of the higher tone; that of the lower is the next. */
export const UPPER = 4;

/** What a step of the fit tells. */
export interface Step {
  /** Changes of the shared parameters, in the order of {@link ToneParameters}. */
  readonly shared: Float64Array;
  /** Changes of the phases of the segments, radians. */
  readonly phases: Float64Array;
  /**
   * The inverse of Fisher's information at unit variance of the noise in each sample: times that variance, the
   * covariance of the shared parameters.
   */
  readonly covariance: Matrix;
  /** Likewise the variance of each segment's phase. */
  readonly phaseVariances: Float64Array;
  /** Mean square of what the model left of the samples before the step. */
  readonly meanSquare: number;
}

/** Which segment a bit lies in. */
export function segmentOf(segments: readonly number[], bit: number): number {
  let segment = 0;
  while (segment + 1 < segments.length && segments[segment + 1] <= bit) segment++;
  return segment;
}

/**
 * One step of Gauss and Newton.
 *
 * @param range - first bit that counts, and the one behind the last
 * @param held - parameters that stay where they are
 * @returns undefined where the bits do not tell all parameters
 */
export function gaussNewtonStep(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  parameters: ToneParameters,
  phases: Float64Array,
  range: readonly [number, number],
  held: readonly number[],
): Step | undefined {
  const { signs, pivot, reference, segments } = keyed;
  const { shiftHz, instant, bitSeconds, upper, lower } = parameters;
  const sums = runningSums(signs);
  const pivotSum = sumAt(sums, signs, pivot);
  const information = new Float64Array(SHARED * SHARED);
  const gradient = new Float64Array(SHARED);
  const count = segments.length;
  const cross = new Float64Array(SHARED * count);
  const phaseInformation = new Float64Array(count);
  const phaseGradient = new Float64Array(count);

  let squares = 0;
  let samples = 0;
  let segment = segmentOf(segments, range[0]);
  // Within a bit each slope of the phase is a straight line over the samples: value at the first, and rise a sample.
  const at = new Float64Array(SHARED);
  const rise = new Float64Array(SHARED);
  const free = PHASE_PARAMETERS.filter((parameter) => !held.includes(parameter));
  for (let bit = range[0]; bit < range[1]; bit++) {
    if (segment + 1 < count && segments[segment + 1] <= bit) segment++;
    const [first, end] = bitExtent(parameters, pivot, sampleRate, bit, audio.length);
    if (first >= end) continue;
    const sign = signs[bit];
    const amplitude = sign > 0 ? upper : lower;
    const tone = sign > 0 ? UPPER : UPPER + 1;
    const time = first / sampleRate;
    const position = pivot + (time - instant) / bitSeconds;
    const turned = sums[bit] + sign * (position - bit) - pivotSum;
    at[0] = 2 * Math.PI * (time - reference);
    rise[0] = (2 * Math.PI) / sampleRate;
    at[1] = Math.PI * bitSeconds * turned;
    rise[1] = (Math.PI * sign) / sampleRate;
    at[2] = -Math.PI * shiftHz * sign;
    at[3] = Math.PI * shiftHz * (turned - sign * (position - pivot));
    at[DRIFT] = Math.PI * (time - reference) ** 2;
    rise[DRIFT] = (2 * Math.PI * (time - reference)) / sampleRate;
    const start = phases[segment] + phaseAt(parameters, keyed, sums, bit, time);
    const step = (2 * Math.PI * frequencyAt(parameters, keyed, bit, time)) / sampleRate;
    const [turnRe, turnIm] = [Math.cos(step), Math.sin(step)];
    let [cos, sin] = [Math.cos(start), Math.sin(start)];
    // Sums over the bit of cos², sin·cos, sin² and of both times the error, with powers of the sample's number.
    let [cc, ccn, ccnn, ce, cen, sc, scn, ss, se] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    for (let n = 0; n < end - first; n++) {
      const error = audio[first + n] - amplitude * sin;
      const square = cos * cos;
      const product = sin * cos;
      const slope = cos * error;
      cc += square;
      ccn += square * n;
      ccnn += square * n * n;
      ce += slope;
      cen += slope * n;
      sc += product;
      scn += product * n;
      ss += sin * sin;
      se += sin * error;
      squares += error * error;
      const turnedCos = cos * turnRe - sin * turnIm;
      sin = sin * turnRe + cos * turnIm;
      cos = turnedCos;
    }
    samples += end - first;
    const power = amplitude * amplitude;
    for (const i of free) {
      for (const j of free) {
        if (j > i) break;
        information[i * SHARED + j] +=
          power * (at[i] * at[j] * cc + (at[i] * rise[j] + at[j] * rise[i]) * ccn + rise[i] * rise[j] * ccnn);
      }
      information[Math.max(tone, i) * SHARED + Math.min(tone, i)] += amplitude * (at[i] * sc + rise[i] * scn);
      gradient[i] += amplitude * (at[i] * ce + rise[i] * cen);
      cross[i * count + segment] += power * (at[i] * cc + rise[i] * ccn);
    }
    information[tone * SHARED + tone] += ss;
    gradient[tone] += se;
    cross[tone * count + segment] += amplitude * sc;
    phaseInformation[segment] += power * cc;
    phaseGradient[segment] += amplitude * ce;
  }

  for (let i = 0; i < SHARED; i++) {
    for (let j = 0; j <= i; j++) {
      for (let s = 0; s < count; s++) {
        if (phaseInformation[s] === 0) continue;
        information[i * SHARED + j] -= (cross[i * count + s] * cross[j * count + s]) / phaseInformation[s];
      }
      information[j * SHARED + i] = information[i * SHARED + j];
    }
    for (let s = 0; s < count; s++) {
      if (phaseInformation[s] !== 0)
        gradient[i] -= (cross[i * count + s] * phaseGradient[s]) / phaseInformation[s];
    }
  }
  for (const parameter of held) information[parameter * SHARED + parameter] = 1;
  const covariance = inverse(information, SHARED);
  if (!covariance) return undefined;
  const shared = times(covariance, SHARED, gradient);
  const stepPhases = new Float64Array(count);
  const phaseVariances = new Float64Array(count).fill(Infinity);
  for (let s = 0; s < count; s++) {
    if (phaseInformation[s] === 0) continue;
    const column = Float64Array.from(
      { length: SHARED },
      (_, i) => cross[i * count + s] / phaseInformation[s],
    );
    stepPhases[s] = phaseGradient[s] / phaseInformation[s];
    for (let i = 0; i < SHARED; i++) stepPhases[s] -= column[i] * shared[i];
    const moved = times(covariance, SHARED, column);
    phaseVariances[s] = 1 / phaseInformation[s];
    for (let i = 0; i < SHARED; i++) phaseVariances[s] += column[i] * moved[i];
  }
  return { shared, phases: stepPhases, covariance, phaseVariances, meanSquare: squares / samples };
}
