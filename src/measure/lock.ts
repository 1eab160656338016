/**
 * Whether a model follows the phase of a call: where to begin so that it does, and how far it has lost it.
 */
import { bitOutputs, type BitOutputs } from './bitoutputs.js';
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

/** Power of the bits against a model that is moved by a little: of each segment by itself, since its phase is free. */
function powerOf(
  { re, im }: BitOutputs,
  { signs, pivot, segments }: KeyedBits,
  [from, to]: readonly [number, number],
  turnsPerBit: number,
  turnsPerSign: number,
): number {
  const sums = runningSums(signs);
  let [power, x, y] = [0, 0, 0];
  let segment = segmentOf(segments, from);
  for (let bit = from; bit < to; bit++) {
    if (segment + 1 < segments.length && segments[segment + 1] <= bit) {
      power += x * x + y * y;
      [x, y] = [0, 0];
      segment++;
    }
    const turns = turnsPerBit * (bit + 0.5 - pivot) + turnsPerSign * (sums[bit] + signs[bit] / 2);
    const [cos, sin] = [Math.cos(2 * Math.PI * turns), Math.sin(2 * Math.PI * turns)];
    x += re[bit] * cos + im[bit] * sin;
    y += im[bit] * cos - re[bit] * sin;
  }
  return power + x * x + y * y;
}

/** The centre and shift about a start that hold most of the power of some bits: a fit from there does not slip a cycle. */
export function searched(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  start: ToneParameters,
  range: readonly [number, number],
): { readonly parameters: ToneParameters; readonly power: number } {
  const outputs = bitOutputs(audio, sampleRate, keyed, start);
  const centreStep = CENTRE_TURNS / (range[1] - range[0]);
  const centres = Math.ceil(CENTRE_REACH / centreStep);
  const shifts = (SHIFT_STEPS - 1) / 2;
  let best = { centre: 0, shift: 0, power: -Infinity };
  for (let c = -centres; c <= centres; c++) {
    for (let s = -shifts; s <= shifts; s++) {
      const [centre, shift] = [c * centreStep, (s / shifts) * SHIFT_REACH * start.shiftHz * start.bitSeconds];
      const power = powerOf(outputs, keyed, range, centre, shift / 2);
      if (power > best.power) best = { centre, shift, power };
    }
  }
  const { centre, shift, power } = best;
  const { bitSeconds } = start;
  return {
    parameters: {
      ...start,
      centreHz: start.centreHz + centre / bitSeconds,
      shiftHz: start.shiftHz + shift / bitSeconds,
    },
    power,
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
