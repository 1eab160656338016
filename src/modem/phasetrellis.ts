/**
 * Likelihoods of bits from the phase that runs on through them.
 *
 * FSK with continuous phase turns the carrier by ±π·h a bit (h = shift / bit rate), so that each bit's phase says
 * something of the bits before it. The phase of the upper tone and the difference of the lower tone's to it are the
 * hidden state of a Markov chain on a grid; both wander slowly, as fading and residual mistuning make them. The
 * forward–backward algorithm (Bahl, Cocke, Jelinek and Raviv 1974) gives each bit's likelihood. In white noise this
 * comes near to coherent reception; where the phase does not hold, it falls back towards noncoherent reception.
 *
 * Neighbouring bits share what the phase says: two swapped bits leave the phase as it was, so that their likelihoods,
 * each by itself, would count one doubt twice. Whole words are therefore weighed along their own paths.
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
  readonly modulationIndex: number;
  /** Grid points of the upper tone's phase. */
  readonly phases: number;
  /** Grid points of the difference between the tones; divides `phases`. */
  readonly differences: number;
  /** Probability a bit that the phase moves one grid point, each way. */
  readonly phaseStepProbability: number;
  /** Likewise of the difference, once a word. */
  readonly differenceStepProbability: number;
  /** Probability a bit that the phase begins anew anywhere, as it does in a deep fade. */
  readonly phaseResetProbability: number;
  /** Bits in a word; words begin at bit 0. */
  readonly wordBits: number;
}

/** Likelihoods by the phase that runs through the bits. */
export interface PhaseTrack {
  /** ln p(upper sent) − ln p(lower sent) for each bit. */
  readonly ratios: Float64Array;
  /**
   * ln of how much likelier each word makes the outputs than random bits do, all other words being free.
   *
   * @param word - index of the word
   * @param words - the words to weigh, first bit least significant, 1 for the lower tone
   */
  weighWords(word: number, words: ArrayLike<number>): Float64Array;
}

/** No word is told to be less likely than random bits than this: ln. */
const LEAST_WORD = -40;

/** Likelihoods of each bit's outputs for each phase of the tone sent, scaled to at most about 1 in each bit. */
function emissions(observed: PhaseObservations, phases: number) {
  const count = observed.known.length;
  const upper = new Float64Array(count * phases).fill(1);
  const lower = new Float64Array(count * phases).fill(1);
  const angles = Array.from({ length: phases }, (_, p) => (2 * Math.PI * p) / phases);
  const cos = Float64Array.from(angles, Math.cos);
  const sin = Float64Array.from(angles, Math.sin);
  for (let bit = 0; bit < count; bit++) {
    if (observed.present[bit] === 0) continue;
    const at = bit * phases;
    const noise = observed.noise[bit];
    const known = observed.known[bit];
    const upperGain = (2 * Math.sqrt(observed.upperSignal[bit])) / noise;
    const lowerGain = (2 * Math.sqrt(observed.lowerSignal[bit])) / noise;
    const upperBias = -observed.upperSignal[bit] / noise;
    const lowerBias = -observed.lowerSignal[bit] / noise;
    // No signal at all has ln likelihood 0.
    let most = 0;
    for (let p = 0; p < phases; p++) {
      upper[at + p] =
        upperBias + upperGain * (observed.upper.re[bit] * cos[p] + observed.upper.im[bit] * sin[p]);
      lower[at + p] =
        lowerBias + lowerGain * (observed.lower.re[bit] * cos[p] + observed.lower.im[bit] * sin[p]);
      most = Math.max(most, upper[at + p], lower[at + p]);
    }
    for (let p = 0; p < phases; p++) {
      upper[at + p] = known < 0 ? 0 : Math.exp(upper[at + p] - most) + DROPOUT_SHARE;
      lower[at + p] = known > 0 ? 0 : Math.exp(lower[at + p] - most) + DROPOUT_SHARE;
    }
  }
  return { upper, lower };
}

/** The likelihoods of all bits and words of a run. */
export function trackPhase(observed: PhaseObservations, model: PhaseModel): PhaseTrack {
  const {
    phases,
    differences,
    phaseStepProbability,
    differenceStepProbability,
    phaseResetProbability,
    wordBits,
  } = model;
  const count = observed.known.length;
  const states = phases * differences;
  const { upper, lower } = emissions(observed, phases);
  const turn = ((Math.round((phases * model.modulationIndex) / 2) % phases) + phases) % phases;
  const ahead = Uint16Array.from({ length: phases }, (_, p) => (p + turn) % phases);
  const behind = Uint16Array.from({ length: phases }, (_, p) => (p + phases - turn) % phases);
  const scratch = new Float64Array(states);
  const row = new Float64Array(phases);

  /** Lets the phase wander and begin anew: the same forwards and backwards, for the step is symmetric. */
  function wander(values: Float64Array): void {
    let total = 0;
    for (let s = 0; s < states; s++) total += values[s];
    const anew = (phaseResetProbability * total) / states;
    const stay = (1 - phaseResetProbability) * (1 - 2 * phaseStepProbability);
    const move = (1 - phaseResetProbability) * phaseStepProbability;
    for (let base = 0; base < states; base += phases) {
      for (let p = 0; p < phases; p++) row[p] = values[base + p];
      values[base] = stay * row[0] + move * (row[phases - 1] + row[1]) + anew;
      for (let p = 1; p < phases - 1; p++) {
        values[base + p] = stay * row[p] + move * (row[p - 1] + row[p + 1]) + anew;
      }
      values[base + phases - 1] = stay * row[phases - 1] + move * (row[phases - 2] + row[0]) + anew;
    }
  }

  /** Lets the difference wander, between words. */
  function wanderDifference(values: Float64Array): void {
    if (differences === 1) return;
    scratch.set(values);
    for (let d = 0; d < differences; d++) {
      const before = ((d + differences - 1) % differences) * phases;
      const after = ((d + 1) % differences) * phases;
      for (let p = 0; p < phases; p++) {
        values[d * phases + p] =
          (1 - 2 * differenceStepProbability) * scratch[d * phases + p] +
          differenceStepProbability * (scratch[before + p] + scratch[after + p]);
      }
    }
  }

  /** One bit forwards from `from[at]` on: adds what the upper tone leads to where `up`, the lower where `down`. */
  function forwards(
    from: Float64Array,
    at: number,
    bit: number,
    up: boolean,
    down: boolean,
    to: Float64Array,
  ): void {
    to.fill(0);
    const now = bit * phases;
    for (let d = 0; d < differences; d++) {
      const base = d * phases;
      let p2 = (d * phases) / differences;
      for (let p = 0; p < phases; p++) {
        const mass = from[at + base + p];
        if (up) to[base + ahead[p]] += mass * upper[now + p];
        if (down) to[base + behind[p]] += mass * lower[now + p2];
        if (++p2 === phases) p2 = 0;
      }
    }
    wander(to);
  }

  function normalise(values: Float64Array, total: number): void {
    let sum = 0;
    for (let s = 0; s < states; s++) sum += values[s];
    for (let s = 0; s < states; s++) values[s] *= total / sum;
  }

  // Element b of `forward` is the state before bit b; of `backward`, what follows bit b − 1 says of the state after it.
  const forward = new Float64Array((count + 1) * states);
  const backward = new Float64Array((count + 1) * states);
  const current = new Float64Array(states).fill(1 / states);
  forward.set(current);
  for (let bit = 0; bit < count; bit++) {
    forwards(forward, bit * states, bit, true, true, current);
    if ((bit + 1) % wordBits === 0) wanderDifference(current);
    normalise(current, 1);
    forward.set(current, (bit + 1) * states);
  }

  const ratios = new Float64Array(count);
  current.fill(1);
  for (let bit = count - 1; bit >= 0; bit--) {
    if ((bit + 1) % wordBits === 0) wanderDifference(current);
    backward.set(current, (bit + 1) * states);
    wander(current);
    const spread = current.slice();
    const now = bit * phases;
    let upperTotal = 0;
    let lowerTotal = 0;
    for (let d = 0; d < differences; d++) {
      const base = d * phases;
      let p2 = (d * phases) / differences;
      for (let p = 0; p < phases; p++) {
        const up = upper[now + p] * spread[base + ahead[p]];
        const down = lower[now + p2] * spread[base + behind[p]];
        const mass = forward[bit * states + base + p];
        upperTotal += mass * up;
        lowerTotal += mass * down;
        current[base + p] = up + down;
        if (++p2 === phases) p2 = 0;
      }
    }
    if (observed.present[bit] !== 0) ratios[bit] = Math.log((upperTotal + 1e-300) / (lowerTotal + 1e-300));
    normalise(current, states);
  }

  /** One bit backwards from `from`, what follows it: adds what the upper tone leads to where `up`, the lower where not. */
  function backwards(from: Float64Array, bit: number, up: boolean, to: Float64Array): void {
    scratch.set(from);
    wander(scratch);
    const now = bit * phases;
    for (let d = 0; d < differences; d++) {
      const base = d * phases;
      let p2 = (d * phases) / differences;
      for (let p = 0; p < phases; p++) {
        to[base + p] = up
          ? upper[now + p] * scratch[base + ahead[p]]
          : lower[now + p2] * scratch[base + behind[p]];
        if (++p2 === phases) p2 = 0;
      }
    }
  }

  // A word is weighed where its two halves meet: all beginnings forwards, all ends backwards, then a product for each word.
  const half = Math.floor(wordBits / 2);
  const beginnings = Array.from({ length: 1 << half }, () => new Float64Array(states));
  const ends = Array.from({ length: 1 << (wordBits - half) }, () => new Float64Array(states));
  const [free, next] = [new Float64Array(states), new Float64Array(states)];

  function product(a: Float64Array, b: Float64Array): number {
    let sum = 0;
    for (let s = 0; s < states; s++) sum += a[s] * b[s];
    return sum;
  }

  function weighWords(word: number, words: ArrayLike<number>): Float64Array {
    const first = word * wordBits;
    const results = new Float64Array(words.length);
    if (first < 0 || first + wordBits > count) return results;
    const last = first + wordBits;
    const behind = backward.subarray(last * states, (last + 1) * states);

    free.set(forward.subarray(first * states, (first + 1) * states));
    for (let bit = first; bit < last; bit++) {
      forwards(free, 0, bit, true, true, next);
      free.set(next);
    }
    const random = product(free, behind) / 2 ** wordBits;

    // Element i of `beginnings` is the state behind bits that spell i, first bit least significant.
    beginnings[0].set(forward.subarray(first * states, (first + 1) * states));
    for (let depth = 0; depth < half; depth++) {
      for (let i = (1 << depth) - 1; i >= 0; i--) {
        forwards(beginnings[i], 0, first + depth, false, true, beginnings[i | (1 << depth)]);
        forwards(beginnings[i], 0, first + depth, true, false, next);
        beginnings[i].set(next);
      }
    }
    // Element i of `ends` is what the bits that spell i, and all behind the word, say of the state before them.
    ends[0].set(behind);
    for (let depth = wordBits - 1; depth >= half; depth--) {
      const step = 1 << (depth - half);
      for (let i = 0; i < ends.length; i += 2 * step) {
        backwards(ends[i], depth + first, false, ends[i + step]);
        backwards(ends[i], depth + first, true, ends[i]);
      }
    }
    for (let index = 0; index < words.length; index++) {
      const mass = product(beginnings[words[index] & ((1 << half) - 1)], ends[words[index] >> half]);
      results[index] = Math.max(LEAST_WORD, Math.log(mass / random));
    }
    return results;
  }

  return { ratios, weighWords };
}
