/**
 * One attempt to read the call that starts at a match: synchronise, weigh every bit, decide the whole call.
 */
import { PHASING_DX_COUNT, PHASING_RX, readSequence, type SequenceReading } from '../frames/index.js';
import {
  bitLikelihoods,
  bitOutput,
  estimateLevels,
  temperRatio,
  trackPhase,
  upperProbability,
  type Baseband,
} from '../modem/index.js';
import { BITS_PER_SYMBOL, SYMBOL_COUNT, SYMBOL_WORDS } from '../symbols/index.js';
import type { CharacterEvidence } from './decide.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SIGNS } from './pattern.js';
import type { BandPlan } from './plan.js';
import { integrateTones, lockClock, type Lock } from './synchronise.js';

/** What the bits of one sending say. */
export interface Observation {
  /** Evidence of each information character. */
  readonly evidence: CharacterEvidence;
  /** The textbook reading of the hard bits. */
  readonly reading: SequenceReading;
}

/** Bits of a sequence that has `characters` information characters, from its phasing on. */
export function sequenceBits(characters: number): number {
  return (PHASING_DX_COUNT + characters) * PAIR_BITS;
}

const LN2 = Math.LN2;

/** ln p(bit) against a random bit, from ln of the ratio for that bit against the other. */
function against(ratio: number): number {
  return ratio > 0 ? LN2 - Math.log1p(Math.exp(-ratio)) : LN2 + ratio - Math.log1p(Math.exp(ratio));
}

/** Adds the evidence of one sending of a character: its ten bits from `first` on. */
function addSending(ratios: Float64Array, first: number, values: Float64Array, at: number): void {
  if (first < 0 || first + BITS_PER_SYMBOL > ratios.length) return;
  const b = new Float64Array(BITS_PER_SYMBOL);
  const y = new Float64Array(BITS_PER_SYMBOL);
  for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) {
    const ratio = ratios[first + bit];
    if (ratio === 0) continue;
    b[bit] = against(ratio);
    y[bit] = against(-ratio);
  }
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    const word = SYMBOL_WORDS[symbol];
    let sum = 0;
    for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) sum += (word >> bit) & 1 ? y[bit] : b[bit];
    values[at + symbol] += sum;
  }
}

/** The evidence of each information character: both its sendings added. */
function characterEvidence(ratios: Float64Array, characters: number): CharacterEvidence {
  const first = new Float64Array(characters * SYMBOL_COUNT);
  for (let character = 0; character < characters; character++) {
    addSending(ratios, (character + PHASING_DX_COUNT) * PAIR_BITS, first, character * SYMBOL_COUNT);
  }
  const values = first.slice();
  for (let character = 0; character < characters; character++) {
    const at = character * SYMBOL_COUNT;
    addSending(ratios, (character + PHASING_RX.length) * PAIR_BITS + BITS_PER_SYMBOL, values, at);
  }
  return { values, first, count: characters };
}

/** Converts energy a bit over noise density to the ratio in 3 kHz, dB. */
function snrIn3kHz(ratio: number, baud: number): number {
  return 10 * Math.log10(Math.max(ratio, 1e-6)) + 10 * Math.log10(baud / 3000);
}

/** Outputs of one tone, bit by bit. */
interface Outputs {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * What is left of the other tone's outputs when what the tone sent leaks into them is taken away: noise. Over one bit
 * two tones correlate by ρ = (exp(j2πh) − 1) / (j2πh), h the shift over the bit rate.
 */
function noiseEnergy(sent: Outputs, other: Outputs, h: number): Float64Array {
  const angle = 2 * Math.PI * h;
  const rhoRe = Math.sin(angle) / angle;
  const rhoIm = (1 - Math.cos(angle)) / angle;
  const scale = 1 / (1 - rhoRe * rhoRe - rhoIm * rhoIm);
  return sent.re.map((sentRe, bit) => {
    const sentIm = sent.im[bit];
    const re = other.re[bit] - (rhoRe * sentRe - rhoIm * sentIm);
    const im = other.im[bit] - (rhoRe * sentIm + rhoIm * sentRe);
    return (re * re + im * im) * scale;
  });
}

/** The outputs of both tones, bit by bit, and their energies. */
function measureBits(baseband: Baseband, plan: BandPlan, lock: Lock, bits: number) {
  const [b, y] = integrateTones(baseband, plan, lock);
  const array = () => new Float64Array(bits);
  const upper = { re: array(), im: array() };
  const lower = { re: array(), im: array() };
  const present = new Uint8Array(bits);
  const sign = lock.inverted ? -1 : 1;
  const turn = (sign * Math.PI * plan.modulation.shiftHz) / baseband.rate;
  for (let bit = 0; bit < bits; bit++) {
    const isWhole =
      bitOutput(b, lock.timing, bit, turn, upper) && bitOutput(y, lock.timing, bit, -turn, lower);
    present[bit] = isWhole ? 1 : 0;
  }
  const energy = ({ re, im }: Outputs) =>
    re.map((value, bit) => (present[bit] ? value * value + im[bit] * im[bit] : -1));
  const h = (sign * plan.modulation.shiftHz) / plan.modulation.baud;
  const energies = {
    upper: energy(upper),
    lower: energy(lower),
    noiseIfUpper: noiseEnergy(upper, lower, h),
    noiseIfLower: noiseEnergy(lower, upper, -h),
  };
  return { upper, lower, present, energies, h };
}

/** How the phase is taken to wander, on a grid of `phases` points. */
const WANDER = { differences: 8, phaseWander: 0.05, differenceWander: 0.005, restart: 0.04 };

/** Rounds of following the phase and estimating the levels anew. */
const PHASE_ROUNDS = 2;

/** One sending, measured; the likelihoods of its bits can be had in two ways. */
export interface Sighting {
  readonly lock: Lock;
  /** ln of how much likelier the phasing makes its bits than random ones, each bit by itself. */
  readonly phasingEvidence: number;
  /** Signal-to-noise ratio in 3 kHz, dB. */
  readonly snrDb: number;
  /** What each bit says by itself: quick, and enough for signals well above the noise. */
  alone(): Observation;
  /** What the bits say together, by the phase that runs on through them. */
  together(): Observation;
}

/**
 * Measures a sending.
 *
 * @param phased - the lock from its phasing
 * @param characters - how many information characters are wanted; those beyond the audio say nothing
 */
export function sight(baseband: Baseband, plan: BandPlan, phased: Lock, characters: number): Sighting {
  const bits = sequenceBits(characters);
  const lock = lockClock(baseband, plan, phased, bits);
  const { upper, lower, present, energies, h } = measureBits(baseband, plan, lock, bits);
  const known = new Int8Array(bits);
  known.set(PHASING_SIGNS);
  const observed = { ...energies, known };
  const first = bitLikelihoods(observed);

  let phasingEvidence = 0;
  for (let bit = 0; bit < PHASING_BITS; bit++) {
    if (PHASING_SIGNS[bit] !== 0)
      phasingEvidence += against(PHASING_SIGNS[bit] * temperRatio(first.ratios[bit]));
  }
  const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0);
  const signal = (sum(first.levels.upperSignal) + sum(first.levels.lowerSignal)) / 2;

  const observation = (ratios: Float64Array): Observation => ({
    evidence: characterEvidence(ratios.map(temperRatio), characters),
    reading: readSequence(
      Uint8Array.from(ratios, (ratio) => (ratio < 0 ? 1 : 0)),
      0,
    ),
  });
  return {
    lock,
    phasingEvidence,
    snrDb: snrIn3kHz(signal / (sum(first.levels.noise) + 1e-30), plan.modulation.baud),
    alone: () => observation(first.ratios),
    together() {
      const model = { index: h, phases: plan.phases, ...WANDER };
      let { ratios, levels } = first;
      for (let round = 0; round < PHASE_ROUNDS; round++) {
        if (round > 0) levels = estimateLevels(observed, upperProbability(ratios));
        ({ ratios } = trackPhase({ upper, lower, ...levels, known, present }, model));
      }
      return observation(ratios);
    },
  };
}
