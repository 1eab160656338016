/**
 * The maximum-likelihood fit of keyed tones to audio in white noise: least squares over the samples, the bits being
 * known. Its covariance is the Cramér–Rao bound at the noise measured; `docs/measuring.md` derives it.
 */
import { bitOutputs } from './bitoutputs.js';
import { coarseFit } from './coarse.js';
import type { Matrix } from './linear.js';
import { gaussNewtonStep, segmentOf, type Step } from './normalequations.js';
import { bitExtent, phaseAt, runningSums, type KeyedBits, type ToneParameters } from './tonemodel.js';

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
}

/** Bits that the first fit spans about the pivot; each further one spans twice as many. */
const FIRST_SPAN = 80;
const MOST_STEPS = 12;
/** A step that moves no parameter by more than this many of its standard deviations is the last. */
const SETTLED = 0.01;

function moved(parameters: ToneParameters, { shared }: Step): ToneParameters {
  return {
    centreHz: parameters.centreHz + shared[0],
    shiftHz: parameters.shiftHz + shared[1],
    instant: parameters.instant + shared[2],
    bitSeconds: parameters.bitSeconds + shared[3],
    upper: parameters.upper + shared[4],
    lower: parameters.lower + shared[5],
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

/**
 * Fits the tones.
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
  const segmented = { ...keyed, segments: coarse.segments };
  let { parameters } = coarse;
  const all = range[1] - range[0];
  let span = Math.min(FIRST_SPAN, all);
  for (;;) {
    const middle = Math.max(range[0] + span / 2, Math.min(range[1] - span / 2, keyed.pivot));
    const part: [number, number] = [Math.floor(middle - span / 2), Math.ceil(middle + span / 2)];
    part[0] = Math.max(range[0], part[0]);
    part[1] = Math.min(range[1], part[1]);
    const isLast = span >= all;
    let phases = startingPhases(audio, sampleRate, segmented, parameters, part);
    let step: Step | undefined;
    for (let i = 0; i < MOST_STEPS; i++) {
      step = gaussNewtonStep(audio, sampleRate, segmented, parameters, phases, part, coarse.isBroken);
      if (!step) break;
      if (!isPlausible(parameters, step)) return undefined;
      parameters = moved(parameters, step);
      const turned = step.phases;
      phases = phases.map((phase, s) => phase + turned[s]);
      if (isSettled(step)) break;
    }
    if (isLast) {
      if (!step) return undefined;
      const { covariance, phaseVariances } = step;
      return {
        parameters,
        keyed: segmented,
        range,
        phases,
        covariance,
        phaseVariances,
        isBroken: coarse.isBroken,
      };
    }
    span = Math.min(all, 2 * span);
  }
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

function isSettled({ shared, covariance, meanSquare }: Step): boolean {
  const size = shared.length;
  return shared.every(
    (step, i) => Math.abs(step) <= SETTLED * Math.sqrt(meanSquare * covariance[i * size + i]),
  );
}
