/**
 * The maximum-likelihood fit of keyed tones to audio in white noise: least squares over the samples, the bits being
 * known. Its covariance is the Cramér–Rao bound at the noise measured; `docs/pages/measuring.md` derives it.
 */
import { bitOutputs } from './bitoutputs.js';
import { coarseFit } from './coarse.js';
import type { Matrix } from './linear.js';
import { searched, strayOf } from './lock.js';
import { DRIFT, TIMING, gaussNewtonStep, segmentOf, type Step } from './normalequations.js';
import {
  TONE_PARAMETERS,
  bitExtent,
  phaseAt,
  runningSums,
  type KeyedBits,
  type ToneParameters,
} from './tonemodel.js';

/** A fitted signal. */
export interface Fit {
  readonly parameters: ToneParameters;
  readonly keyed: KeyedBits;
  /** First bit that was fitted, and the one behind the last. */
  readonly range: readonly [number, number];
  /** Phase of each segment, radians. */
  readonly phases: Float64Array;
  /** Covariance of the parameters at unit variance of the noise in each sample. */
  readonly covariance: Matrix;
  readonly phaseVariances: Float64Array;
  /** Whether the phase begins anew at every transition; then the timing is that of the start and not fitted. */
  readonly isBroken: boolean;
  /** Whether the centre was let drift; otherwise it does not, for all that can be told. */
  readonly isDrifting: boolean;
  /** The likeliest drift, hertz a second, its variance at unit variance of the noise, and both compared. */
  readonly drift: { readonly value: number; readonly variance: number; readonly deviations: number };
}

/** Bits that the first fit spans about the pivot; each further one spans twice as many. */
const FIRST_SPAN = 80;
const MOST_STEPS = 12;
/** A step that moves no parameter by more than this many of its standard deviations is the last. */
const SETTLED = 0.01;
/** Bits that are searched for where to begin. */
const SEARCHED_SPAN = 160;
/** Radians, root mean square, by which the phase may stray from the model. */
const MOST_STRAY = 0.25;
/** A drift of so many standard deviations is one. */
const SURE_DRIFT = 5;
/** Bits after each of which a wandering phase begins anew. */
const ANEW_BITS = 20;

function moved(parameters: ToneParameters, { shared }: Step): ToneParameters {
  return {
    centreHz: parameters.centreHz + shared[0],
    shiftHz: parameters.shiftHz + shared[1],
    instant: parameters.instant + shared[2],
    bitSeconds: parameters.bitSeconds + shared[3],
    upper: parameters.upper + shared[4],
    lower: parameters.lower + shared[5],
    driftHzPerSecond: parameters.driftHzPerSecond + shared[DRIFT],
  };
}

/** The phase of each segment that fits the bits in it, by themselves. */
function startingPhases(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  parameters: ToneParameters,
  [from, to]: readonly [number, number],
): Float64Array {
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  const sums = keyed.segments.map(() => [0, 0]);
  for (let bit = from; bit < to; bit++) {
    const sum = sums[segmentOf(keyed.segments, bit)];
    sum[0] += re[bit];
    sum[1] += im[bit];
  }
  return Float64Array.from(sums, ([x, y]) => Math.atan2(y, x));
}

/** The model's samples in the fitted bits, 0 elsewhere. */
export function modelled(fit: Fit, sampleRate: number, length: number): Float64Array {
  const { parameters, keyed, range, phases } = fit;
  const sums = runningSums(keyed.signs);
  const samples = new Float64Array(length);
  for (let bit = range[0]; bit < range[1]; bit++) {
    const [first, end] = bitExtent(parameters, keyed.pivot, sampleRate, bit, length);
    const phase = phases[segmentOf(keyed.segments, bit)];
    const amplitude = keyed.signs[bit] > 0 ? parameters.upper : parameters.lower;
    for (let n = first; n < end; n++)
      samples[n] = amplitude * Math.sin(phase + phaseAt(parameters, keyed, sums, bit, n / sampleRate));
  }
  return samples;
}

/** A fit that grows from the middle of the bits, each time over twice as many. */
function grown(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  start: ToneParameters,
  range: readonly [number, number],
  isBroken: boolean,
  isDrifting: boolean,
): Fit | undefined {
  const timing = isBroken ? TIMING : [];
  const held = isDrifting ? timing : [...timing, DRIFT];
  let parameters = start;
  const all = range[1] - range[0];
  for (let span = Math.min(FIRST_SPAN, all); ; span = Math.min(all, 2 * span)) {
    const part = aboutMiddle(range, keyed.pivot, span);
    let phases = startingPhases(audio, sampleRate, keyed, parameters, part);
    let step: Step | undefined;
    for (let i = 0; i < MOST_STEPS; i++) {
      step = gaussNewtonStep(audio, sampleRate, keyed, parameters, phases, part, held);
      if (!step) break;
      if (!isPlausible(parameters, step)) return undefined;
      parameters = moved(parameters, step);
      const turned = step.phases;
      phases = phases.map((phase, s) => phase + turned[s]);
      if (isSettled(step)) break;
    }
    if (span < all) continue;
    if (!step) return undefined;
    if (strayOf(audio, sampleRate, keyed, parameters, phases, range) > MOST_STRAY) return undefined;
    const { covariance, phaseVariances } = step;
    const free = gaussNewtonStep(audio, sampleRate, keyed, parameters, phases, range, timing);
    if (!free) return undefined;
    const drift = {
      value: parameters.driftHzPerSecond + free.shared[DRIFT],
      variance: free.covariance[DRIFT * TONE_PARAMETERS + DRIFT],
      deviations: Math.abs(parameters.driftHzPerSecond + free.shared[DRIFT]) / deviationOf(free, DRIFT),
    };
    return { parameters, keyed, range, phases, covariance, phaseVariances, isBroken, isDrifting, drift };
  }
}

/** So many bits about the pivot, within the range. */
function aboutMiddle([from, to]: readonly [number, number], pivot: number, span: number): [number, number] {
  const middle = Math.max(from + span / 2, Math.min(to - span / 2, pivot));
  return [Math.max(from, Math.floor(middle - span / 2)), Math.min(to, Math.ceil(middle + span / 2))];
}

/**
 * Fits the tones. Where their phase wanders, as that of a call over a path that fades or of an oscillator that drifts,
 * it is let begin anew every few bits.
 *
 * @param rough - within a few hertz at 100 Bd and a tenth of a bit
 * @param range - first bit that counts, and the one behind the last
 * @returns undefined where the fit does not settle or the bits do not tell all parameters
 */
export function fitTones(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  rough: ToneParameters,
  range: readonly [number, number],
): Fit | undefined {
  const coarse = coarseFit(audio, sampleRate, keyed, rough, range);
  const { isBroken } = coarse;
  const { upper, lower } = coarse.parameters;
  const withSegments = (segments: readonly number[]) => {
    const segmented = { ...keyed, segments };
    const span = aboutMiddle(range, keyed.pivot, Math.min(SEARCHED_SPAN, range[1] - range[0]));
    const starts = [coarse.parameters, { ...rough, upper, lower }];
    const found = starts
      .map((start) => searched(audio, sampleRate, segmented, start, span))
      .sort((a, b) => b.power - a.power);
    const fits = (isDrifting: boolean) => {
      for (const { parameters } of found) {
        const fit = grown(audio, sampleRate, segmented, parameters, range, isBroken, isDrifting);
        if (fit) return fit;
      }
      return undefined;
    };
    const steady = fits(false);
    return steady && steady.drift.deviations < SURE_DRIFT ? steady : (fits(true) ?? steady);
  };
  const whole = withSegments(coarse.segments);
  if (whole || isBroken) return whole;
  const anew = Array.from({ length: Math.ceil(keyed.signs.length / ANEW_BITS) }, (_, i) => i * ANEW_BITS);
  return withSegments([...new Set([...coarse.segments, ...anew])].sort((a, b) => a - b));
}

/** Whether a step keeps the parameters in their neighbourhood. */
function isPlausible({ shiftHz, bitSeconds }: ToneParameters, { shared }: Step): boolean {
  return (
    shared.every(Number.isFinite) &&
    Math.abs(shared[1]) < shiftHz / 4 &&
    Math.abs(shared[2]) < bitSeconds / 2 &&
    Math.abs(shared[3]) < bitSeconds / 50
  );
}

function isSettled(step: Step): boolean {
  const { shared } = step;
  return shared.every((change, i) => Math.abs(change) <= SETTLED * deviationOf(step, i));
}

/** Standard deviation of a parameter at the noise that the model leaves. */
const deviationOf = ({ covariance, meanSquare }: Step, parameter: number) =>
  Math.sqrt(meanSquare * covariance[parameter * TONE_PARAMETERS + parameter]);
