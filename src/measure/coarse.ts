/**
 * From a rough lock to a start that a least-squares fit converges from, and the bits at which the phase jumps: out of
 * the steps of phase from bit to bit, the odd ones left out.
 */
import { median } from '../dsp/index.js';
import { bitOutputs } from './bitoutputs.js';
import type { KeyedBits, ToneParameters } from './tonemodel.js';

/** Steps this far from what the others tell are jumps, radians; and this many times their spread. */
const LEAST_JUMP = 0.35;
const JUMP_SPREADS = 6;
/** Where more than this share of the transitions jumps, all are taken to: the tones are keyed without continuous phase. */
const MOST_JUMPS = 0.25;
const ROUNDS = 3;

/** The standard deviation that a Gaussian of the same median magnitude has. */
const spread = (values: readonly number[]) => 1.4826 * median(values.map(Math.abs));

const wrapped = (angle: number) => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));

/** The step of phase from each bit to the next, radians within ±π. */
export function phaseSteps(re: Float64Array, im: Float64Array): number[] {
  return Array.from({ length: Math.max(0, re.length - 1) }, (_, k) =>
    Math.atan2(im[k + 1] * re[k] - re[k + 1] * im[k], re[k + 1] * re[k] + im[k + 1] * im[k]),
  );
}

/** A mean that outliers do not draw: of those within three spreads of the median. */
function trimmedMean(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const middle = median(values);
  const near = 3 * spread(values.map((value) => value - middle)) + 1e-9;
  const kept = values.filter((value) => Math.abs(value - middle) <= near);
  return kept.reduce((sum, value) => sum + value, 0) / kept.length;
}

/** A better start and where the phase jumps. */
export interface Coarse {
  readonly parameters: ToneParameters;
  readonly segments: number[];
  /** Whether the phase begins anew at every transition, so that it tells nothing of the timing. */
  readonly isBroken: boolean;
}

/** @param range - first bit that counts, and the one behind the last */
export function coarseFit(
  audio: Float32Array,
  sampleRate: number,
  keyed: KeyedBits,
  rough: ToneParameters,
  range: readonly [number, number],
): Coarse {
  const { signs } = keyed;
  let parameters = rough;
  let segments: number[] = [0];
  let isBroken = false;
  for (let round = 0; round < ROUNDS; round++) {
    const { re, im } = bitOutputs(audio, sampleRate, keyed, parameters);
    const steps = phaseSteps(re, im);
    const within = (bit: number) => bit >= range[0] && bit + 1 < range[1];
    const pick = (isWanted: (a: number, b: number) => boolean) =>
      steps.filter((_, bit) => within(bit) && isWanted(signs[bit], signs[bit + 1]));
    const high = trimmedMean(pick((a, b) => a > 0 && b > 0));
    const low = trimmedMean(pick((a, b) => a < 0 && b < 0));
    const residue = (bit: number) =>
      wrapped(steps[bit] - (high + low) / 2 - ((signs[bit] + signs[bit + 1]) * (high - low)) / 4);
    const steady = [...steps.keys()].filter((bit) => within(bit) && signs[bit] === signs[bit + 1]);
    const changes = [...steps.keys()].filter((bit) => within(bit) && signs[bit] !== signs[bit + 1]);
    // An error of the timing turns the phase one way where the tone rises and the other where it falls.
    const late = trimmedMean(changes.map((bit) => residue(bit) * signs[bit + 1]));
    const threshold = Math.max(LEAST_JUMP, JUMP_SPREADS * spread(steady.map(residue)));
    const isJump = (bit: number) =>
      Math.abs(residue(bit) - (signs[bit] === signs[bit + 1] ? 0 : late * signs[bit + 1])) > threshold;
    const jumps = [...steps.keys()].filter((bit) => within(bit) && isJump(bit));
    isBroken = changes.filter(isJump).length > MOST_JUMPS * changes.length;
    const breaks = isBroken ? [...new Set([...changes, ...jumps])].sort((a, b) => a - b) : jumps;
    segments = [0, ...breaks.map((bit) => bit + 1)];
    const { bitSeconds, shiftHz } = parameters;
    const amplitude = (sign: number) =>
      trimmedMean(
        [...signs.keys()]
          .filter((bit) => within(bit) && signs[bit] === sign)
          .map((bit) => Math.hypot(re[bit], im[bit])),
      );
    parameters = {
      ...parameters,
      centreHz: parameters.centreHz + (high + low) / 2 / (2 * Math.PI * bitSeconds),
      shiftHz: shiftHz + (high - low) / 2 / (Math.PI * bitSeconds),
      instant: parameters.instant - (isBroken ? 0 : late / (2 * Math.PI * shiftHz)),
      upper: amplitude(1),
      lower: amplitude(-1),
    };
  }
  return { parameters, segments, isBroken };
}
