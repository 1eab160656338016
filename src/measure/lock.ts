/**
 * Whether a model follows the phase of a call: where to begin so that it does, and how far it has lost it.
 */
import { bitOutputs } from './bitoutputs.js';
import { segmentOf } from './normalequations.js';
import { runningSums, type KeyedBits, type ToneParameters } from './tonemodel.js';

/** Where the first span is searched for the tones: in bit rates the centre, in shifts the shift, to both sides. */
const CENTRE_REACH = 0.05;
const SHIFT_REACH = 0.1;
const SHIFT_STEPS = 9;
/** Turns over the first span from one centre that is tried to the next. */
const CENTRE_TURNS = 0.25;
/** Bits whose phase is looked at together for how far the model has lost it. */
const PHASE_BITS = 20;

/** The centre and shift about a start that hold most of the power of some bits: a fit from there does not slip a cycle. */
export function searched(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  start: ToneParameters,
  [from, to]: readonly [number, number],
): { readonly parameters: ToneParameters; readonly power: number } {
  const { signs, pivot, segments } = keyed;
  const outputs = bitOutputs(audio, sampleRate, keyed, start);
  const sums = runningSums(signs);
  const segmentEnds = [...segments.filter((bit) => bit > from && bit < to), to];
  const bits = to - from;
  const centreStep = CENTRE_TURNS / bits;
  const centres = Math.ceil(CENTRE_REACH / centreStep);
  const shifts = (SHIFT_STEPS - 1) / 2;
  const [re, im] = [new Float64Array(bits), new Float64Array(bits)];
  /** Turns each bit on by so much. */
  const turn = (turnsOf: (bit: number) => number) => {
    for (let k = 0; k < bits; k++) {
      const angle = 2 * Math.PI * turnsOf(from + k);
      const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
      const x = re[k] * cos + im[k] * sin;
      im[k] = im[k] * cos - re[k] * sin;
      re[k] = x;
    }
  };
  /** Power of each segment by itself, since its phase is free. */
  const power = () => {
    let total = 0;
    let k = 0;
    for (const end of segmentEnds) {
      let [x, y] = [0, 0];
      for (; k < end - from; k++) {
        x += re[k];
        y += im[k];
      }
      total += x * x + y * y;
    }
    return total;
  };
  const [stepCos, stepSin] = [Math.cos, Math.sin].map((of) =>
    Float64Array.from({ length: bits }, (_, k) => of(2 * Math.PI * centreStep * (from + k + 0.5 - pivot))),
  );
  let best = { centre: 0, shift: 0, power: -Infinity };
  for (let s = -shifts; s <= shifts; s++) {
    re.set(outputs.re.subarray(from, to));
    im.set(outputs.im.subarray(from, to));
    const shift = (s / shifts) * SHIFT_REACH * start.shiftHz * start.bitSeconds;
    turn((bit) => (shift / 2) * (sums[bit] + signs[bit] / 2) - centres * centreStep * (bit + 0.5 - pivot));
    for (let c = -centres; c <= centres; c++) {
      const found = power();
      if (found > best.power) best = { centre: c * centreStep, shift, power: found };
      for (let k = 0; k < bits; k++) {
        const x = re[k] * stepCos[k] + im[k] * stepSin[k];
        im[k] = im[k] * stepCos[k] - re[k] * stepSin[k];
        re[k] = x;
      }
    }
  }
  const { bitSeconds } = start;
  return {
    parameters: {
      ...start,
      centreHz: start.centreHz + best.centre / bitSeconds,
      shiftHz: start.shiftHz + best.shift / bitSeconds,
    },
    power: best.power,
  };
}

/** How far the phase strays from the model, radians, root mean square; noise hardly moves the mean of so many bits. */
export function strayOf(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  parameters: ToneParameters,
  phases: Float64Array,
  [from, to]: readonly [number, number],
): number {
  const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
  let [along, count] = [0, 0];
  for (let begin = from; begin < to; begin += PHASE_BITS) {
    let [x, y] = [0, 0];
    for (let bit = begin; bit < Math.min(to, begin + PHASE_BITS); bit++) {
      const phase = phases[segmentOf(keyed.segments, bit)];
      const [cos, sin] = [Math.cos(phase), Math.sin(phase)];
      x += re[bit] * cos + im[bit] * sin;
      y += im[bit] * cos - re[bit] * sin;
    }
    along += x / Math.hypot(x, y);
    count++;
  }
  return Math.sqrt(Math.max(0, -2 * Math.log(Math.max(1e-9, along / count))));
}
