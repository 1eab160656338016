/**
 * Phase and amplitude of each bit about the fitted tones: continuity at the transitions, droop, rise and fall.
 */
import { bitOutputs, toneOutput } from './bitoutputs.js';
import { phaseSteps } from './coarse.js';
import type { Figure } from './figure.js';
import type { Fit } from './fit.js';
import { bitSample } from './tonemodel.js';

/** How the phase runs on where the tone changes. */
export interface PhaseContinuity {
  /** The largest step of phase from one bit to the next, degrees, without its sign. */
  readonly largestStep: Figure;
  /** The root mean square of the steps at the transitions, degrees, what the noise makes of it taken away. */
  readonly rmsStep: Figure;
  /** Each transition: seconds of the audio, and the step there, degrees. */
  readonly steps: readonly { readonly time: number; readonly degrees: number }[];
}

const DEGREES = 180 / Math.PI;

/** @param variance - of the noise in a sample */
export function phaseContinuity(
  audio: Float32Array,
  sampleRate: number,
  fit: Fit,
  variance: number,
): PhaseContinuity {
  const { parameters, keyed, range } = fit;
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  const all = phaseSteps(re, im);
  const amplitude = (parameters.upper + parameters.lower) / 2;
  // A bit of N samples tells its phase to a variance of 2σ²/(N·A²); a step is the difference of two.
  const deviation = (DEGREES * Math.sqrt((4 * variance) / (parameters.bitSeconds * sampleRate))) / amplitude;
  const bits = Array.from({ length: Math.max(0, range[1] - range[0] - 1) }, (_, i) => range[0] + i);
  const steps = bits
    .filter((bit) => keyed.signs[bit] !== keyed.signs[bit + 1])
    .map((bit) => ({
      time: bitSample(parameters, keyed.pivot, sampleRate, bit + 1) / sampleRate,
      degrees: all[bit] * DEGREES,
    }));
  const squares = steps.reduce((sum, { degrees }) => sum + degrees ** 2, 0) / Math.max(1, steps.length);
  const rms = Math.sqrt(Math.max(0, squares - deviation ** 2));
  const squareError = deviation ** 2 * Math.sqrt(2 / Math.max(1, steps.length));
  return {
    largestStep: {
      value: bits.reduce((most, bit) => Math.max(most, Math.abs(all[bit]) * DEGREES), 0),
      uncertainty: deviation,
    },
    rmsStep: { value: rms, uncertainty: squareError / (2 * Math.max(rms, Math.sqrt(squareError))) },
    steps,
  };
}

/** How the level runs over a call. */
export interface LevelRun {
  /** Change of the level from the first bit to the last by a straight line, dB; negative where it falls. */
  readonly droop: Figure;
  /** Each bit: seconds of the audio, amplitude, and whether it is the higher tone. */
  readonly bits: readonly { readonly time: number; readonly amplitude: number; readonly isUpper: boolean }[];
}

/** @param variance - of the noise in a sample */
export function levelRun(audio: Float32Array, sampleRate: number, fit: Fit, variance: number): LevelRun {
  const { parameters, keyed, range } = fit;
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  const count = range[1] - range[0];
  const middle = range[0] + (count - 1) / 2;
  const samplesPerBit = parameters.bitSeconds * sampleRate;
  let [weighted, weight, total, sum] = [0, 0, 0, 0];
  const relative = (bit: number) =>
    Math.hypot(re[bit], im[bit]) / (keyed.signs[bit] > 0 ? parameters.upper : parameters.lower);
  for (let bit = range[0]; bit < range[1]; bit++) sum += relative(bit);
  for (let bit = range[0]; bit < range[1]; bit++) {
    weighted += (relative(bit) - sum / count) * (bit - middle);
    weight += (bit - middle) ** 2;
    total++;
  }
  const amplitude = (parameters.upper + parameters.lower) / 2;
  const deviation = Math.sqrt((2 * variance) / samplesPerBit) / amplitude;
  const toDb = (20 / Math.LN10) * total;
  return {
    droop: { value: (weighted / weight) * toDb, uncertainty: (deviation / Math.sqrt(weight)) * toDb },
    bits: Array.from({ length: count }, (_, i) => {
      const bit = range[0] + i;
      return {
        time: bitSample(parameters, keyed.pivot, sampleRate, bit + 0.5) / sampleRate,
        amplitude: Math.hypot(re[bit], im[bit]),
        isUpper: keyed.signs[bit] > 0,
      };
    }),
  };
}

/** Cycles of the lower tone that an envelope needs at least to be told from the tone itself. */
const LEAST_CYCLES = 3;
/** Bits around the end of a call that are looked at. */
const AROUND_BITS = 3;
/** A straight rise seen through a window of one length: share of it from 10 to 90 %. */
const TEN_TO_NINETY = 0.8;

/**
 * Milliseconds in which the amplitude rises from 10 to 90 % before the first bit, or falls back behind the last.
 *
 * @param bit - the first bit, or the last
 * @returns undefined where the audio does not reach far enough
 */
export function rampTime(
  audio: Float32Array,
  sampleRate: number,
  fit: Fit,
  variance: number,
  bit: number,
  isRise: boolean,
): Figure | undefined {
  const { parameters, keyed } = fit;
  const hz = parameters.centreHz + (keyed.signs[bit] * parameters.shiftHz) / 2;
  const full = keyed.signs[bit] > 0 ? parameters.upper : parameters.lower;
  const window = Math.ceil(sampleRate * Math.max(parameters.bitSeconds / 4, LEAST_CYCLES / hz));
  if (window / sampleRate > parameters.bitSeconds / 2) return undefined;
  const edge = bitSample(parameters, keyed.pivot, sampleRate, isRise ? bit : bit + 1);
  const reach = AROUND_BITS * parameters.bitSeconds * sampleRate;
  const direction = isRise ? 1 : -1;
  // From outside the call to where its first or last bit is whole.
  const [from, to] = [edge - direction * reach, edge + (direction * parameters.bitSeconds * sampleRate) / 2];
  if (Math.min(from, to) < window || Math.max(from, to) + window > audio.length) return undefined;
  const step = (2 * Math.PI * hz) / sampleRate;
  const envelope = (middle: number) => {
    const first = Math.round(middle - window / 2);
    return Math.hypot(...toneOutput(audio, first, first + window, 0, step)) / full;
  };
  const spacing = Math.max(1, Math.floor(window / 16));
  let tenth: number | undefined;
  let before = envelope(from);
  for (let at = from + direction * spacing; direction * (to - at) > 0; at += direction * spacing) {
    const now = envelope(at);
    const crossing = (level: number) => at - direction * spacing * ((now - level) / (now - before));
    // Noise may cross a tenth before the rise: the last time counts.
    if (before < 0.1 && now >= 0.1) tenth = crossing(0.1);
    if (tenth !== undefined && before < 0.9 && now >= 0.9) {
      const seen = Math.abs(crossing(0.9) - tenth) / sampleRate;
      const smear = (TEN_TO_NINETY * window) / sampleRate;
      const own = Math.sqrt(Math.max(0, seen ** 2 - smear ** 2));
      const noise = (Math.sqrt((4 * variance) / window) / full / TEN_TO_NINETY) * seen;
      return { value: 1000 * own, uncertainty: 1000 * Math.hypot(noise, smear / 4) };
    }
    before = now;
  }
  return undefined;
}

/** The frequency about a transition: bits from it, and hertz from the centre. */
export type EyeTrace = readonly (readonly [bits: number, hz: number])[];

const EYE_TRACES = 40;
/** Instants from one bit before a transition to one behind it. */
const EYE_POINTS = 17;
/** Bits over which the phase is taken at each instant. */
const EYE_WINDOW = 0.25;

/** Some of the transitions, the frequency being the slope of the phase over an eighth of a bit. */
export function transitionEye(audio: Float32Array, sampleRate: number, fit: Fit): EyeTrace[] {
  const { parameters, keyed, range } = fit;
  const { centreHz, bitSeconds } = parameters;
  if (EYE_WINDOW * bitSeconds * centreHz < LEAST_CYCLES) return [];
  const changes = Array.from(
    { length: Math.max(0, range[1] - range[0] - 3) },
    (_, i) => range[0] + 1 + i,
  ).filter((bit) => keyed.signs[bit] !== keyed.signs[bit + 1]);
  const every = Math.max(1, Math.floor(changes.length / EYE_TRACES));
  const length = Math.round(EYE_WINDOW * bitSeconds * sampleRate);
  const step = (2 * Math.PI * centreHz) / sampleRate;
  const phaseAbout = (sample: number) => {
    const first = Math.round(sample - length / 2);
    return Math.atan2(
      ...(toneOutput(audio, first, first + length, step * first, step).reverse() as [number, number]),
    );
  };
  const apart = 2 / (EYE_POINTS - 1);
  return changes
    .filter((_, i) => i % every === 0)
    .slice(0, EYE_TRACES)
    .map((bit) =>
      Array.from({ length: EYE_POINTS }, (_, i) => {
        const at = -1 + i * apart;
        const place = (bits: number) => bitSample(parameters, keyed.pivot, sampleRate, bit + 1 + bits);
        const [from, to] = [at - apart / 2, at + apart / 2].map((bits) => Math.round(place(bits)));
        const turn = phaseAbout(to) - phaseAbout(from);
        const turned = turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
        return [at, (turned * sampleRate) / (2 * Math.PI * Math.max(1, to - from))] as const;
      }),
    );
}
