/**
 * Tone energies to likelihoods: noncoherent FSK in white noise whose level, and the signal's, are estimated as
 * they change (fading, level steps, bursts).
 *
 * With signal energy A and noise energy N, the energy E of the tone sent has the density
 * exp(−(E + A) / N) I₀(2 √(A E) / N) / N, that of the other tone exp(−E / N) / N (Proakis, Digital Communications,
 * noncoherent detection of orthogonal signals).
 */
import { scaledBesselI0 } from '../dsp/index.js';

/** What the likelihoods of a run of bits come from. */
export interface BitObservations {
  /** Energy of the upper tone in each bit; negative where the bit was not received. */
  readonly upper: Float64Array;
  /** Energy of the lower tone in each bit. */
  readonly lower: Float64Array;
  /**
   * Noise energy in each bit if the upper tone was sent, and if the lower one was; default: the other tone's energy,
   * which is right for orthogonal tones.
   */
  readonly noiseIfUpper?: Float64Array;
  /** See {@link BitObservations.noiseIfUpper}. */
  readonly noiseIfLower?: Float64Array;
  /** For each bit +1 where the upper tone is known to be sent, −1 the lower one, 0 where it is not known. */
  readonly known: Int8Array;
}

/** Estimated signal energy of each tone and noise energy, bit by bit; all 0 where a bit was not received. */
export interface Levels {
  readonly upperSignal: Float64Array;
  readonly lowerSignal: Float64Array;
  readonly noise: Float64Array;
}

/** Log-likelihood ratios of a run of bits and the levels behind them. */
export interface BitLikelihoods {
  /** ln p(upper sent) − ln p(lower sent) for each bit; 0 where it was not received. */
  readonly ratios: Float64Array;
  readonly levels: Levels;
}

/** Time constants with which the levels of signal and noise are followed, bits. */
const SIGNAL_MEMORY = 20;
const NOISE_MEMORY = 60;

/** How many bits' worth of weight the mean of both tones has in the level of each. */
const SHARING = 4;

/** No single bit is trusted further than this, in nats: a click can imitate any bit. */
const MOST_TRUST = 7;

/** Share of bits in which neither tone arrives, as in a fade, a gap or before the signal begins. */
export const DROPOUT_SHARE = Math.exp(-MOST_TRUST);

/** A tone is never taken to be weaker than this share of the noise. */
const LEAST_SIGNAL = 0.05;

/** Rounds of estimating levels and likelihoods in turn, at most. */
const ROUNDS = 4;

/** Where no bit's probability moves further than this, another round changes nothing: clear signals take two. */
const LEAST_MOVE = 1e-12;

/** Writes sums of `values` around each element, with weights exp(−|distance| / memory). */
function smooth(values: Float64Array, memory: number, out: Float64Array): Float64Array {
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
  return out;
}

/** A ratio that no burst can drive beyond a fixed trust: a mixture with an uninformative outlier. */
export function robustLlr(ratio: number): number {
  const magnitude = Math.log((1 + DROPOUT_SHARE) / (Math.exp(-Math.abs(ratio)) + DROPOUT_SHARE));
  return ratio < 0 ? -magnitude : magnitude;
}

/** Where levels are worked out: to take new memory each time costs more than that (measured). */
let work = new Float64Array(0);

/** Whether a bit was received at all. */
function isPresent(observed: BitObservations, bit: number): boolean {
  return observed.upper[bit] >= 0 && observed.lower[bit] >= 0;
}

/**
 * The levels, given how likely each bit is the upper tone.
 *
 * @param upperProbability - for each bit, 0–1; ignored where the bit is known
 */
export function estimateLevels(observed: BitObservations, upperProbability: Float64Array): Levels {
  const { noiseIfUpper = observed.lower, noiseIfLower = observed.upper } = observed;
  const count = observed.upper.length;
  if (work.length < 12 * count) work = new Float64Array(24 * count);
  work.fill(0, 0, 12 * count);
  let used = 0;
  const array = () => work.subarray(used, (used += count));
  const [present, other, upperWeight, lowerWeight, upperPower, lowerPower] = [
    array(),
    array(),
    array(),
    array(),
    array(),
    array(),
  ];
  for (let i = 0; i < count; i++) {
    if (!isPresent(observed, i)) continue;
    const known = observed.known[i];
    const p = known > 0 ? 1 : known < 0 ? 0 : upperProbability[i];
    present[i] = 1;
    upperWeight[i] = p;
    lowerWeight[i] = 1 - p;
    upperPower[i] = p * observed.upper[i];
    lowerPower[i] = (1 - p) * observed.lower[i];
    other[i] = p * noiseIfUpper[i] + (1 - p) * noiseIfLower[i];
  }
  const bits = smooth(present, NOISE_MEMORY, array());
  const noisePower = smooth(other, NOISE_MEMORY, array());
  const upperBits = smooth(upperWeight, SIGNAL_MEMORY, array());
  const lowerBits = smooth(lowerWeight, SIGNAL_MEMORY, array());
  const upperSum = smooth(upperPower, SIGNAL_MEMORY, array());
  const lowerSum = smooth(lowerPower, SIGNAL_MEMORY, array());

  const [upperSignal, lowerSignal, noise] = [0, 1, 2].map(() => new Float64Array(count));
  for (let i = 0; i < count; i++) {
    if (present[i] === 0) continue;
    const level = noisePower[i] / bits[i] + 1e-30;
    const mean = (upperSum[i] + lowerSum[i]) / (upperBits[i] + lowerBits[i]);
    const floor = LEAST_SIGNAL * level;
    noise[i] = level;
    upperSignal[i] = Math.max(floor, (upperSum[i] + SHARING * mean) / (upperBits[i] + SHARING) - level);
    lowerSignal[i] = Math.max(floor, (lowerSum[i] + SHARING * mean) / (lowerBits[i] + SHARING) - level);
  }
  return { upperSignal, lowerSignal, noise };
}

/** ln of a likelihood against noise alone, where there may be no signal after all. */
function withDropout(logLikelihood: number): number {
  return logLikelihood > MOST_TRUST ? logLikelihood : Math.log(Math.exp(logLikelihood) + DROPOUT_SHARE);
}

/** Up to this exponent likelihoods are worked out themselves, beyond it their logarithms. */
const MOST_EXPONENT = 600;

/** The likelihoods when the phase of each bit is unknown by itself. */
export function noncoherentRatios(observed: BitObservations, levels: Levels): Float64Array {
  const ratios = new Float64Array(observed.upper.length);
  for (let i = 0; i < ratios.length; i++) {
    const noise = levels.noise[i];
    if (noise === 0) continue;
    const upper = (2 * Math.sqrt(levels.upperSignal[i] * observed.upper[i])) / noise;
    const lower = (2 * Math.sqrt(levels.lowerSignal[i] * observed.lower[i])) / noise;
    const upperExponent = upper - levels.upperSignal[i] / noise;
    const lowerExponent = lower - levels.lowerSignal[i] / noise;
    const upperScaled = scaledBesselI0(upper);
    const lowerScaled = scaledBesselI0(lower);
    ratios[i] =
      Math.max(upperExponent, lowerExponent) > MOST_EXPONENT
        ? withDropout(upperExponent + Math.log(upperScaled)) -
          withDropout(lowerExponent + Math.log(lowerScaled))
        : Math.log(
            (upperScaled * Math.exp(upperExponent) + DROPOUT_SHARE) /
              (lowerScaled * Math.exp(lowerExponent) + DROPOUT_SHARE),
          );
  }
  return ratios;
}

/** The probability of the upper tone from its log-likelihood ratio. */
export function upperProbability(ratios: Float64Array): Float64Array {
  return ratios.map((ratio) => 1 / (1 + Math.exp(-ratio)));
}

/** Noncoherent likelihoods of a run of bits, levels unknown. */
export function bitLikelihoods(observed: BitObservations): BitLikelihoods {
  const { upper, lower } = observed;
  let levels = estimateLevels(
    observed,
    upper.map((energy, i) => energy / (energy + lower[i] + 1e-300)),
  );
  let ratios = noncoherentRatios(observed, levels);
  let before: Float64Array | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const probability = upperProbability(ratios);
    if (before?.every((value, i) => Math.abs(probability[i] - value) < LEAST_MOVE)) break;
    levels = estimateLevels(observed, probability);
    ratios = noncoherentRatios(observed, levels);
    before = probability;
  }
  return { ratios, levels };
}
