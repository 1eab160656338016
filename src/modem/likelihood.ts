/**
 * Tone energies to likelihoods: noncoherent FSK in white noise whose level, and the signal's, are estimated as
 * they change (fading, level steps, bursts).
 *
 * With signal energy A and noise energy N, the energy E of the tone sent has the density
 * exp(−(E + A) / N) I₀(2 √(A E) / N) / N, that of the other tone exp(−E / N) / N (Proakis, Digital Communications,
 * noncoherent detection of orthogonal signals).
 */
import { logBesselI0 } from './bessel.js';

/** What the likelihoods of a run of bits come from. */
export interface BitObservations {
  /** Energy of the upper tone in each bit; negative where the bit was not received. */
  readonly upper: Float64Array;
  /** Energy of the lower tone in each bit. */
  readonly lower: Float64Array;
  /** For each bit +1 where the upper tone is known to be sent, −1 the lower one, 0 where it is not known. */
  readonly known: Int8Array;
}

/** Log-likelihood ratios of a run of bits and the levels behind them. */
export interface BitLikelihoods {
  /** ln p(upper sent) − ln p(lower sent) for each bit; 0 where it was not received. */
  readonly ratios: Float64Array;
  /** Estimated signal energy of each tone and noise energy, bit by bit. */
  readonly upperSignal: Float64Array;
  readonly lowerSignal: Float64Array;
  readonly noise: Float64Array;
}

/** How the levels are followed, in bits. */
export interface LikelihoodOptions {
  /** Time constant of the signal level, bits. */
  signalMemory?: number;
  /** Time constant of the noise level, bits. */
  noiseMemory?: number;
  /** How many bits' worth of weight the mean of both tones has in the level of each. */
  sharing?: number;
  /** Rounds of estimating levels and likelihoods in turn. */
  rounds?: number;
}

/** No single bit is trusted further than this, in nats: a click can imitate any bit. */
const MOST_TRUST = 7;

/** Sums of `values` around each element with weights exp(−|distance| / memory). */
function smooth(values: Float64Array, memory: number, out: Float64Array): void {
  const decay = Math.exp(-1 / memory);
  let run = 0;
  for (let i = 0; i < values.length; i++) {
    run = run * decay + values[i];
    out[i] = run;
  }
  run = 0;
  for (let i = values.length - 1; i >= 0; i--) {
    out[i] += run * decay;
    run = run * decay + values[i];
  }
}

/** A ratio that no burst can drive beyond {@link MOST_TRUST}: a mixture with an uninformative outlier. */
function temper(ratio: number): number {
  const outlier = Math.exp(-MOST_TRUST);
  return ratio > 0
    ? Math.log((1 + outlier) / (Math.exp(-ratio) + outlier))
    : -Math.log((1 + outlier) / (Math.exp(ratio) + outlier));
}

/** The likelihoods of a run of bits, levels unknown. */
export function bitLikelihoods(observed: BitObservations, options: LikelihoodOptions = {}): BitLikelihoods {
  const { signalMemory = 25, noiseMemory = 60, sharing = 4, rounds = 4 } = options;
  const count = observed.upper.length;
  const array = () => new Float64Array(count);
  const [ratios, upperSignal, lowerSignal, noise] = [array(), array(), array(), array()];
  const [upperWeight, lowerWeight, upperPower, lowerPower, otherPower, weight] = [
    array(),
    array(),
    array(),
    array(),
    array(),
    array(),
  ];
  const [sumUpper, sumLower, countUpper, countLower, sumOther, countAll] = [
    array(),
    array(),
    array(),
    array(),
    array(),
    array(),
  ];

  for (let round = 0; round <= rounds; round++) {
    for (let i = 0; i < count; i++) {
      const [upper, lower] = [observed.upper[i], observed.lower[i]];
      const present = upper >= 0 && lower >= 0;
      const known = observed.known[i];
      let pUpper = known > 0 ? 1 : known < 0 ? 0 : 0.5;
      if (known === 0)
        pUpper = round === 0 ? upper / (upper + lower + 1e-300) : 1 / (1 + Math.exp(-ratios[i]));
      if (!present) {
        weight[i] = upperWeight[i] = lowerWeight[i] = upperPower[i] = lowerPower[i] = otherPower[i] = 0;
        continue;
      }
      weight[i] = 1;
      upperWeight[i] = pUpper;
      lowerWeight[i] = 1 - pUpper;
      upperPower[i] = pUpper * upper;
      lowerPower[i] = (1 - pUpper) * lower;
      otherPower[i] = pUpper * lower + (1 - pUpper) * upper;
    }
    smooth(weight, noiseMemory, countAll);
    smooth(otherPower, noiseMemory, sumOther);
    smooth(upperWeight, signalMemory, countUpper);
    smooth(lowerWeight, signalMemory, countLower);
    smooth(upperPower, signalMemory, sumUpper);
    smooth(lowerPower, signalMemory, sumLower);

    for (let i = 0; i < count; i++) {
      if (weight[i] === 0) {
        ratios[i] = 0;
        continue;
      }
      const level = sumOther[i] / countAll[i] + 1e-30;
      const mean = (sumUpper[i] + sumLower[i]) / (countUpper[i] + countLower[i]);
      const floor = 0.05 * level;
      const upperLevel = Math.max(floor, (sumUpper[i] + sharing * mean) / (countUpper[i] + sharing) - level);
      const lowerLevel = Math.max(floor, (sumLower[i] + sharing * mean) / (countLower[i] + sharing) - level);
      noise[i] = level;
      upperSignal[i] = upperLevel;
      lowerSignal[i] = lowerLevel;
      const upper = logBesselI0((2 * Math.sqrt(upperLevel * observed.upper[i])) / level) - upperLevel / level;
      const lower = logBesselI0((2 * Math.sqrt(lowerLevel * observed.lower[i])) / level) - lowerLevel / level;
      ratios[i] = temper(upper - lower);
    }
  }
  return { ratios, upperSignal, lowerSignal, noise };
}
