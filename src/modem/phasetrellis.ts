/**
 * Likelihoods of bits from the phase that runs on through them.
 *
 * FSK with continuous phase turns the carrier by ±π·h a bit (h = shift / bit rate), so that each bit's phase says
 * something of the bits before it. The phase of the upper tone and the difference of the lower tone's to it are the
 * hidden state of a Markov chain on a grid; both wander slowly, as fading and residual mistuning make them. The
 * forward–backward algorithm (Bahl, Cocke, Jelinek and Raviv 1974) gives each bit's likelihood. In white noise this
 * comes near to coherent reception; where the phase does not hold, it falls back towards noncoherent reception.
 */

import { DROPOUT_SHARE } from './likelihood.js';

/** Matched-filter outputs of one tone, bit by bit, with the tone's phase counted from the start of each bit. */
export interface ToneOutputs {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** What the trellis works on. */
export interface PhaseObservations {
  readonly upper: ToneOutputs;
  readonly lower: ToneOutputs;
  /** Signal energy of each tone and noise energy, bit by bit, in the units of the squared outputs. */
  readonly upperSignal: Float64Array;
  readonly lowerSignal: Float64Array;
  readonly noise: Float64Array;
  /** +1 where the upper tone is known to be sent, −1 the lower, 0 unknown. */
  readonly known: Int8Array;
  /** 1 where the bit was received. */
  readonly present: Uint8Array;
}

/** The grid and how fast the phases wander on it. */
export interface PhaseModel {
  /** Shift over bit rate, negative where the upper tone stands for Y; `phases`·h/2 must be whole. */
  readonly index: number;
  /** Grid points of the upper tone's phase. */
  readonly phases: number;
  /** Grid points of the difference between the tones; divides `phases`. */
  readonly differences: number;
  /** Probability a bit that the phase moves one grid point, each way. */
  readonly phaseWander: number;
  /** Likewise of the difference. */
  readonly differenceWander: number;
  /** Probability a bit that phase and difference begin anew anywhere, as they do in a deep fade. */
  readonly restart: number;
}

/** Log-likelihood ratios, and how well the model explains the outputs. */
export interface PhaseLikelihoods {
  /** ln p(upper sent) − ln p(lower sent) for each bit. */
  readonly ratios: Float64Array;
  /** ln of the likelihood of all outputs, up to a constant of the observations. */
  readonly evidence: number;
}

/** Moves a little probability one point each way along one circular axis of the grid. */
function wander(
  from: Float64Array,
  to: Float64Array,
  outer: number,
  points: number,
  stride: number,
  move: number,
): void {
  const stay = 1 - 2 * move;
  for (let row = 0; row < outer; row++) {
    const base = stride === 1 ? row * points : row;
    for (let point = 0; point < points; point++) {
      const before = base + (point === 0 ? points - 1 : point - 1) * stride;
      const after = base + (point === points - 1 ? 0 : point + 1) * stride;
      const here = base + point * stride;
      to[here] = stay * from[here] + move * (from[before] + from[after]);
    }
  }
}

/** The likelihoods of all bits of a run. */
export function trackPhase(observed: PhaseObservations, model: PhaseModel): PhaseLikelihoods {
  const { phases, differences, phaseWander, differenceWander, restart } = model;
  const count = observed.known.length;
  const states = phases * differences;
  const turn = ((Math.round((phases * model.index) / 2) % phases) + phases) % phases;
  const differenceStep = phases / differences;
  const cos = Float64Array.from({ length: phases }, (_, p) => Math.cos((2 * Math.PI * p) / phases));
  const sin = Float64Array.from({ length: phases }, (_, p) => Math.sin((2 * Math.PI * p) / phases));

  // Emissions: likelihood of each bit's outputs for each phase of the tone sent, scaled bit by bit.
  const upper = new Float64Array(count * phases);
  const lower = new Float64Array(count * phases);
  let evidence = 0;
  for (let bit = 0; bit < count; bit++) {
    const at = bit * phases;
    if (observed.present[bit] === 0) {
      upper.fill(1, at, at + phases);
      lower.fill(1, at, at + phases);
      continue;
    }
    const noise = observed.noise[bit];
    const known = observed.known[bit];
    const upperGain = (2 * Math.sqrt(observed.upperSignal[bit])) / noise;
    const lowerGain = (2 * Math.sqrt(observed.lowerSignal[bit])) / noise;
    const upperBias = -observed.upperSignal[bit] / noise;
    const lowerBias = -observed.lowerSignal[bit] / noise;
    let most = -Infinity;
    for (let p = 0; p < phases; p++) {
      const a = upperBias + upperGain * (observed.upper.re[bit] * cos[p] + observed.upper.im[bit] * sin[p]);
      const b = lowerBias + lowerGain * (observed.lower.re[bit] * cos[p] + observed.lower.im[bit] * sin[p]);
      upper[at + p] = a;
      lower[at + p] = b;
      if (known >= 0 && a > most) most = a;
      if (known <= 0 && b > most) most = b;
    }
    most = Math.max(most, 0);
    const dropout = DROPOUT_SHARE * Math.exp(-most);
    for (let p = 0; p < phases; p++) {
      upper[at + p] = known < 0 ? 0 : Math.exp(upper[at + p] - most) + dropout;
      lower[at + p] = known > 0 ? 0 : Math.exp(lower[at + p] - most) + dropout;
    }
    evidence += most;
  }

  const forward = new Float64Array((count + 1) * states);
  const moved = new Float64Array(states);
  const spread = new Float64Array(states);
  forward.fill(1 / states, 0, states);
  for (let bit = 0; bit < count; bit++) {
    const now = bit * states;
    moved.fill(0);
    for (let d = 0; d < differences; d++) {
      const row = d * phases;
      const shift = d * differenceStep;
      for (let p = 0; p < phases; p++) {
        const mass = forward[now + row + p];
        moved[row + ((p + turn) % phases)] += mass * upper[bit * phases + p];
        moved[row + ((p + phases - turn) % phases)] += mass * lower[bit * phases + ((p + shift) % phases)];
      }
    }
    wander(moved, spread, differences, phases, 1, phaseWander);
    wander(spread, moved, phases, differences, phases, differenceWander);
    let total = 0;
    for (let s = 0; s < states; s++) total += moved[s];
    evidence += Math.log(total);
    const scale = (1 - restart) / total;
    for (let s = 0; s < states; s++) forward[now + states + s] = moved[s] * scale + restart / states;
  }

  const ratios = new Float64Array(count);
  let backward = new Float64Array(states).fill(1);
  for (let bit = count - 1; bit >= 0; bit--) {
    const now = bit * states;
    wander(backward, spread, phases, differences, phases, differenceWander);
    wander(spread, moved, differences, phases, 1, phaseWander);
    // Scaled so that its mean is 1: what a restart expects.
    for (let s = 0; s < states; s++) moved[s] = (1 - restart) * moved[s] + restart;
    const before = new Float64Array(states);
    let upperTotal = 0;
    let lowerTotal = 0;
    for (let d = 0; d < differences; d++) {
      const row = d * phases;
      const shift = d * differenceStep;
      for (let p = 0; p < phases; p++) {
        const mass = forward[now + row + p];
        const up = upper[bit * phases + p] * moved[row + ((p + turn) % phases)];
        const down =
          lower[bit * phases + ((p + shift) % phases)] * moved[row + ((p + phases - turn) % phases)];
        upperTotal += mass * up;
        lowerTotal += mass * down;
        before[row + p] = up + down;
      }
    }
    if (observed.present[bit] !== 0) ratios[bit] = Math.log((upperTotal + 1e-300) / (lowerTotal + 1e-300));
    let total = 0;
    for (let s = 0; s < states; s++) total += before[s];
    for (let s = 0; s < states; s++) before[s] *= states / total;
    backward = before;
  }
  return { ratios, evidence };
}
