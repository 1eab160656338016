/**
 * What each bit comes to against the tones of a model: complex amplitudes.
 */
import {
  bitExtent,
  frequencyAt,
  phaseAt,
  runningSums,
  type KeyedBits,
  type ToneParameters,
} from './tonemodel.js';

/** A complex amplitude for each bit: that of a tone of amplitude A and φ radians ahead of the model is A·exp(jφ). */
export interface BitOutputs {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Each bit against the tone that the model sends in it, the phases of segments left out. */
export function bitOutputs(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  parameters: ToneParameters,
): BitOutputs {
  const { signs, pivot } = keyed;
  const sums = runningSums(signs);
  const re = new Float64Array(signs.length);
  const im = new Float64Array(signs.length);
  for (let bit = 0; bit < signs.length; bit++) {
    const [first, end] = bitExtent(parameters, pivot, sampleRate, bit, audio.length);
    if (end - first < 2) continue;
    const start = phaseAt(parameters, keyed, sums, bit, first / sampleRate);
    const hz = frequencyAt(parameters, keyed, bit, first / sampleRate);
    [re[bit], im[bit]] = toneOutput(audio, first, end, start, (2 * Math.PI * hz) / sampleRate);
  }
  return { re, im };
}

/** Samples against a tone of a phase at the first of them: the A·cos φ and A·sin φ that fit them best. */
export function toneOutput(
  audio: Float32Array,
  first: number,
  end: number,
  start: number,
  step: number,
): [number, number] {
  const [turnRe, turnIm] = [Math.cos(step), Math.sin(step)];
  let [cos, sin] = [Math.cos(start), Math.sin(start)];
  let [re, im, squares, crossed] = [0, 0, 0, 0];
  for (let n = first; n < end; n++) {
    re += audio[n] * sin;
    im += audio[n] * cos;
    squares += sin * sin;
    crossed += sin * cos;
    const turned = cos * turnRe - sin * turnIm;
    sin = sin * turnRe + cos * turnIm;
    cos = turned;
  }
  // Sine and cosine are not quite orthogonal over a part of a cycle.
  const others = end - first - squares;
  const determinant = squares * others - crossed * crossed;
  return [(re * others - im * crossed) / determinant, (im * squares - re * crossed) / determinant];
}
