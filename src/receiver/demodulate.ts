/**
 * One attempt to read the call that starts at a match: synchronise, weigh every bit, decide the whole call.
 */
import {
  PHASING_DX_COUNT,
  PHASING_RX,
  RX_DELAY_PAIRS,
  readSequence,
  type CharacterReading,
  type SequenceReading,
} from '../frames/index.js';
import { countPhasing, readCharacter } from '../frames/internal.js';
import { type Baseband } from '../dsp/index.js';
import { type Levels } from '../modem/index.js';
import {
  bitLikelihoods,
  bitOutputs,
  estimateLevels,
  robustLlr,
  trackPhase,
  upperProbability,
  type ToneOutputs,
} from '../modem/internal.js';
import { BITS_PER_SYMBOL, SYMBOL_COUNT, SYMBOL_WORDS } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import { newSymbolArray } from './symbolarrays.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SIGNS } from './phasingsequence.js';
import type { BandParameters } from './bandparameters.js';
import { measureSnr } from './snr.js';
import { integrateTones, lockClock, type Lock, type Tones } from './synchronise.js';

/** What the bits of one sending say. */
export interface Observation {
  /** Evidence of each information character. */
  readonly logLikelihoods: CharacterLogLikelihoods;
  /** The textbook reading of the hard bits. */
  readonly reading: SequenceReading;
  /** What each information character reads as by itself, however far the textbook reading goes. */
  readonly characters: readonly CharacterReading[];
}

/** Bits of a sequence that has `characters` information characters, from its phasing on. */
export function sequenceBits(characters: number): number {
  return (PHASING_DX_COUNT + characters) * PAIR_BITS;
}

const LN2 = Math.LN2;

/** Half the bits of a symbol. */
const HALF_WORD = BITS_PER_SYMBOL / 2;

/** ln p(bit) against a random bit, from ln of the ratio for that bit against the other. */
function against(ratio: number): number {
  return ratio > 0 ? LN2 - Math.log1p(Math.exp(-ratio)) : LN2 + ratio - Math.log1p(Math.exp(ratio));
}

/** Likelihoods of the half words that five bits may be, each bit by itself, against random bits. */
function weighHalf(ratios: Float64Array, first: number): Float64Array {
  const values = new Float64Array(1 << HALF_WORD).fill(1);
  for (let bit = 0; bit < HALF_WORD; bit++) {
    const odds = Math.exp(ratios[first + bit]);
    const [b, y] = [(2 * odds) / (1 + odds), 2 / (1 + odds)];
    for (let word = 0; word < values.length; word++) values[word] *= (word >> bit) & 1 ? y : b;
  }
  return values;
}

/** The likelihood of each symbol against random bits by one sending of it, each bit by itself. */
function weighSlot(ratios: Float64Array, slot: number): Float64Array {
  const first = slot * BITS_PER_SYMBOL;
  const begin = weighHalf(ratios, first);
  const end = weighHalf(ratios, first + HALF_WORD);
  const values = newSymbolArray();
  for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) {
    const word = SYMBOL_WORDS[symbol];
    values[symbol] = begin[word & ((1 << HALF_WORD) - 1)] * end[word >> HALF_WORD];
  }
  return values;
}

/** A burst may replace a whole sending of a character by anything: how often. */
const BURST_SHARE = 0.03;

/** ln of the likelihood of a character where a burst may have replaced it. */
const withBursts = (likelihood: number) => Math.log((1 - BURST_SHARE) * likelihood + BURST_SHARE);

/** The slots in which a character is sent. */
const dxSlot = (character: number) => 2 * (character + PHASING_DX_COUNT);
const slotsOf = (character: number): [number, number] => [
  dxSlot(character),
  2 * (character + PHASING_RX.length) + 1,
];

/** How many of a character's bits were received in both its sendings. */
function countReceived(present: Uint8Array, character: number): number {
  let count = 0;
  for (const slot of slotsOf(character)) {
    const end = Math.min(present.length, (slot + 1) * BITS_PER_SYMBOL);
    for (let bit = slot * BITS_PER_SYMBOL; bit < end; bit++) count += present[bit];
  }
  return count;
}

/**
 * The evidence of each information character: both its sendings added, each of which a burst may have replaced.
 *
 * @param weighWord - the likelihood of each symbol against random bits by what came in a slot
 */
function characterLogLikelihoods(
  weighWord: (slot: number) => Float64Array,
  characters: number,
  present: Uint8Array,
): CharacterLogLikelihoods {
  const first = new Float64Array(characters * SYMBOL_COUNT);
  const add = (slot: number, to: Float64Array, character: number) => {
    const likelihoods = weighWord(slot);
    const at = character * SYMBOL_COUNT;
    for (let symbol = 0; symbol < SYMBOL_COUNT; symbol++) to[at + symbol] += withBursts(likelihoods[symbol]);
  };
  for (let character = 0; character < characters; character++) add(dxSlot(character), first, character);
  const values = first.slice();
  const repeated = characters - RX_DELAY_PAIRS;
  for (let character = 0; character < repeated; character++) add(slotsOf(character)[1], values, character);
  const received = Float64Array.from({ length: characters }, (_, i) => countReceived(present, i));
  return { values, first, received, count: characters };
}

/**
 * What is left of the other tone's outputs when what the tone sent leaks into them is taken away: noise. Over one bit
 * two tones correlate by ρ = (exp(j2πh) − 1) / (j2πh), h the shift over the bit rate.
 */
function noiseEnergy(sent: ToneOutputs, other: ToneOutputs, h: number): Float64Array {
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

/** Share of the phasing's energy a bit below which a bit holds digital silence and what the filters made of it. */
const SILENCE = 1e-7;

/** Marks as not received the bits in which the source was silent: a gap of zeros in a recording, or its end. */
function removeSilence(present: Uint8Array, power: Float64Array): void {
  const meanOf = (bits: number) => {
    let [sum, received] = [0, 0];
    for (let bit = 0; bit < bits; bit++) {
      if (present[bit] === 0) continue;
      sum += power[bit];
      received++;
    }
    return sum / Math.max(1, received);
  };
  // All of it where nothing of the phasing was received.
  const mean = meanOf(Math.min(PHASING_BITS, power.length)) || meanOf(power.length);
  power.forEach((energy, bit) => {
    if (energy <= SILENCE * mean) present[bit] = 0;
  });
}

/** The outputs of both tones, bit by bit, and their energies. */
function measureBits(tones: Tones, baseband: Baseband, parameters: BandParameters, lock: Lock, bits: number) {
  const array = () => new Float64Array(bits);
  const upper = { re: array(), im: array() };
  const lower = { re: array(), im: array() };
  const present = new Uint8Array(bits);
  const sign = lock.inverted ? -1 : 1;
  const turn = (sign * Math.PI * parameters.modulation.shiftHz) / baseband.rate;
  for (let bit = 0; bit < bits; bit++) {
    present[bit] = bitOutputs(tones, lock.timing, bit, turn, upper, lower) ? 1 : 0;
  }
  removeSilence(
    present,
    upper.re.map((re, bit) => re ** 2 + upper.im[bit] ** 2 + lower.re[bit] ** 2 + lower.im[bit] ** 2),
  );
  const energy = ({ re, im }: ToneOutputs) =>
    re.map((value, bit) => (present[bit] ? value * value + im[bit] * im[bit] : -1));
  const h = (sign * parameters.modulation.shiftHz) / parameters.modulation.baud;
  const energies = {
    upper: energy(upper),
    lower: energy(lower),
    noiseIfUpper: noiseEnergy(upper, lower, h),
    noiseIfLower: noiseEnergy(lower, upper, -h),
  };
  return { upper, lower, present, energies, h };
}

/** How the phase is taken to wander. */
const PHASE_MODEL = {
  phaseStepProbability: 0.02,
  differenceStepProbability: 0.05,
  phaseResetProbability: 0.04,
  wordBits: BITS_PER_SYMBOL,
};

/** Rounds of following the phase and estimating the levels anew. */
const PHASE_ROUNDS = 2;

/** One sending, measured; the likelihoods of its bits can be had in two ways. */
export interface Burst {
  readonly lock: Lock;
  /** Whether the phasing is there: all of it together, or the three characters that the standard asks for. */
  readonly isPhased: boolean;
  /** ln of how much likelier the phasing makes its bits than random ones, each bit by itself; 0 where it is damaged. */
  readonly phasingEvidence: number;
  /**
   * Probability that the phasing begins where the lock has it, and not some characters before or behind that: DX has one
   * character six times, so that it fits elsewhere too. Worked out when asked for.
   */
  placement(): number;
  /** Signal-to-noise ratio in 3 kHz, dB, once it is known which bits were sent: +1 for B, −1 for Y, 0 unknown. */
  snrDb(sent: Int8Array): number;
  /**
   * ln of how much likelier than random bits an end of sequence is in the four slots in which a call of some length has
   * it, each bit by itself: the most for any of the lengths, in information characters, beyond `from`.
   */
  endEvidence(from: number): number;
  /** What each bit says by itself: quick, and enough for signals well above the noise. */
  noncoherent(): Observation;
  /** What the bits say together, by the phase that runs on through them. */
  phaseTrellis(): Observation;
}

/** How much likelier (ln) than random bits the phasing as a whole must be. */
const LEAST_PHASING_EVIDENCE = 5;

/** Where the phasing may begin instead: pairs of slots before the lock (negative) and behind it. */
const OTHER_PLACES = [-7, -6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5];

/** Where the phasing does not show as a whole, it mostly begins elsewhere: measured by `npm run bench -- calibration`. */
const UNSHOWN_PLACEMENT = 0.25;

/** ln of how much likelier than random bits the phasing is that begins so many bits behind the first. */
function weighPhasingFrom(ratios: Float64Array, from: number): number {
  return PHASING_SIGNS.reduce((sum, sign, i) => {
    const bit = from + i;
    const isOutside = sign === 0 || bit < 0 || bit >= ratios.length;
    return isOutside ? sum : sum + against(sign * robustLlr(ratios[bit]));
  }, 0);
}

/** See {@link Burst.placement}. */
function placementOf(ratios: Float64Array, evidence: number): number {
  const others = OTHER_PLACES.map((pairs) => weighPhasingFrom(ratios, pairs * PAIR_BITS));
  return 1 / (1 + others.reduce((sum, other) => sum + Math.exp(other - evidence), 0));
}

/** The likelier value of each bit; a slot that was not wholly received is all B, which no character is. */
function hardBits(ratios: Float64Array, present: Uint8Array): Uint8Array {
  const bits = Uint8Array.from(ratios, (ratio) => (ratio < 0 ? 1 : 0));
  for (let at = 0; at < bits.length; at += BITS_PER_SYMBOL) {
    if (present.subarray(at, at + BITS_PER_SYMBOL).includes(0)) bits.fill(0, at, at + BITS_PER_SYMBOL);
  }
  return bits;
}

/**
 * Measures a sending.
 *
 * @param phased - the lock from its phasing
 * @param characters - how many information characters are wanted; those beyond the audio say nothing
 * @param tones - of the baseband, as the lock has them, where they are at hand
 */
export function measure(
  baseband: Baseband,
  parameters: BandParameters,
  phased: Lock,
  characters: number,
  tones = integrateTones(baseband, parameters, phased),
): Burst {
  const lock = lockClock(tones, baseband, parameters, phased, sequenceBits(characters));
  return measureLocked(baseband, parameters, lock, characters, false, tones);
}

/**
 * Measures a sending whose timing and clock are known.
 *
 * @param isPlaced - whether other sendings prove that the phasing stands where the lock has it, however weak it is
 * @param tones - of the baseband, as the lock has them
 */
export function measureLocked(
  baseband: Baseband,
  parameters: BandParameters,
  lock: Lock,
  characters: number,
  isPlaced: boolean,
  tones: Tones,
): Burst {
  const bits = sequenceBits(characters);
  const { upper, lower, present, energies, h } = measureBits(tones, baseband, parameters, lock, bits);
  const known = new Int8Array(bits);
  known.set(PHASING_SIGNS);
  const observed = { ...energies, known };
  let first = bitLikelihoods(observed);
  let phasingEvidence = weighPhasingFrom(first.ratios, 0);
  let isPhased = isPlaced || phasingEvidence >= LEAST_PHASING_EVIDENCE;
  if (!isPhased) {
    // Damaged, or no phasing at all: the standard asks for three characters of it, and the rest is not known then.
    known.fill(0);
    first = bitLikelihoods(observed);
    phasingEvidence = 0;
    isPhased = countPhasing(hardBits(first.ratios, present), 0).achieved;
  }
  const observation = (ratios: Float64Array, weigh: (slot: number) => Float64Array): Observation => {
    const hard = hardBits(ratios, present);
    return {
      logLikelihoods: characterLogLikelihoods(weigh, characters, present),
      reading: readSequence(hard, 0),
      characters: Array.from({ length: characters }, (_, i) => readCharacter(hard, 0, i)),
    };
  };
  return {
    lock,
    isPhased,
    phasingEvidence,
    placement() {
      if (isPlaced) return 1;
      return phasingEvidence === 0 ? UNSHOWN_PLACEMENT : placementOf(first.ratios, phasingEvidence);
    },
    snrDb: (sent) =>
      measureSnr(
        baseband,
        parameters,
        lock,
        sent.map((sign, bit) => (present[bit] ? sign : 0)),
      ),
    endEvidence(from) {
      const ratios = first.ratios.map(robustLlr);
      let most = -Infinity;
      for (let length = from + 1; length <= characters; length++) {
        const slots = [...slotsOf(length - 4), dxSlot(length - 2), dxSlot(length - 1)];
        const weights = slots.map((slot) => weighSlot(ratios, slot));
        for (const { symbol } of END_OF_SEQUENCE_CODES.words) {
          const sum = weights.reduce((total, likelihoods) => total + withBursts(likelihoods[symbol]), 0);
          most = Math.max(most, sum);
        }
      }
      return most;
    },
    noncoherent() {
      const ratios = first.ratios.map(robustLlr);
      return observation(ratios, (slot) => weighSlot(ratios, slot));
    },
    phaseTrellis() {
      const model = {
        modulationIndex: h,
        phases: parameters.phases,
        differences: parameters.differences,
        ...PHASE_MODEL,
      };
      const follow = (levels: Levels) => trackPhase({ upper, lower, ...levels, known, present }, model);
      let track = follow(first.levels);
      for (let round = 1; round < PHASE_ROUNDS; round++) {
        track = follow(estimateLevels(observed, upperProbability(track.ratios)));
      }
      return observation(track.ratios, (slot) => track.weighWords(slot, SYMBOL_WORDS).map(Math.exp));
    },
  };
}
