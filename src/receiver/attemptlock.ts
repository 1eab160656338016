/**
 * From the rough place of an attempt to the centre, timing and clock that all its sendings have in common.
 */
import { LONG_DOTS } from '../frames/index.js';
import type { Baseband } from '../dsp/index.js';
import { bitOutputs, type BitTiming } from '../modem/internal.js';
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SIGNS } from './phasingsequence.js';
import type { BandParameters, Repetition } from './bandparameters.js';
import { integrateTones, type Lock, type Tones } from './synchronise.js';

/** An attempt as it lies in its baseband. */
export interface AttemptLock {
  /** Of the oldest sending. */
  readonly lock: Lock;
  /** How far the known bits of each sending agree in their phases, in deviations of random bits; the oldest first. */
  readonly agreements: readonly number[];
  /** The same of all sendings that agree, together. */
  readonly agreement: number;
  /** Signal energy of a bit over the noise energy in each dimension, added up over the sendings that agree; about. */
  readonly energy: number;
}

/** Bits known in a row over which the phase is taken to hold. */
interface Block {
  /** From the first bit of the phasing. */
  readonly first: number;
  /** +1 for B, −1 for Y. */
  readonly signs: Int8Array;
}

/** A block, and how far the phase of the tone sent has run from its beginning to each of its bits. */
interface TurnedBlock extends Block {
  /** How many of its bits are B. */
  readonly ups: number;
  readonly cos: Float64Array;
  readonly sin: Float64Array;
}

const BLOCK_BITS = PAIR_BITS;

/** Bits of a block in which each of the tones is sent, about. */
const TONE_BITS = BLOCK_BITS / 2;

/** The blocks of the phasing, and of as many dots before it. */
function blocksOf(dots: number): readonly Block[] {
  const blocks: Block[] = [];
  for (let first = -dots; first < 0; first += BLOCK_BITS) {
    blocks.push({ first, signs: Int8Array.from({ length: BLOCK_BITS }, (_, bit) => (bit % 2 ? -1 : 1)) });
  }
  for (let first = 0; first < PHASING_BITS; first += BLOCK_BITS) {
    const signs = PHASING_SIGNS.subarray(first, first + BLOCK_BITS);
    // Behind the sixth DX phasing character information stands in DX.
    if (signs.includes(0))
      blocks.push({ first: first + BITS_PER_SYMBOL, signs: signs.subarray(BITS_PER_SYMBOL) });
    else blocks.push({ first, signs });
  }
  return blocks;
}

/** What the known bits of a sending say at every fine correction of the centre. */
class Agreement {
  private readonly upper = { re: new Float64Array(BLOCK_BITS), im: new Float64Array(BLOCK_BITS) };
  private readonly lower = { re: new Float64Array(BLOCK_BITS), im: new Float64Array(BLOCK_BITS) };
  private readonly cos: Float64Array[];
  private readonly sin: Float64Array[];
  private readonly blocks: readonly TurnedBlock[];

  /** @param corrections - of the centre, hertz */
  constructor(
    private readonly parameters: BandParameters,
    private readonly inverted: boolean,
    blocks: readonly Block[],
    corrections: readonly number[],
  ) {
    this.blocks = blocks.map((block) => this.turn(block));
    const turns = (of: (angle: number) => number) =>
      corrections.map((hz) =>
        Float64Array.from({ length: BLOCK_BITS }, (_, bit) =>
          of((-2 * Math.PI * hz * bit) / parameters.modulation.baud),
        ),
      );
    this.cos = turns(Math.cos);
    this.sin = turns(Math.sin);
  }

  private turn({ first, signs }: Block): TurnedBlock {
    const { shiftHz, baud } = this.parameters.modulation;
    const perBit = ((this.inverted ? -1 : 1) * Math.PI * shiftHz) / baud;
    const phases = new Float64Array(signs.length);
    for (let bit = 1; bit < signs.length; bit++) phases[bit] = phases[bit - 1] + signs[bit - 1] * perBit;
    const ups = signs.reduce((count, one) => count + (one > 0 ? 1 : 0), 0);
    return { first, signs, ups, cos: phases.map(Math.cos), sin: phases.map(Math.sin) };
  }

  /**
   * For each correction the power of the sums over blocks, each tone by itself, above what the same energy in random
   * phases gives, and how many sums there are.
   */
  measure(tones: Tones, rate: number, timing: BitTiming): { excess: Float64Array; sums: number } {
    const turn = ((this.inverted ? -1 : 1) * Math.PI * this.parameters.modulation.shiftHz) / rate;
    const power = new Float64Array(this.cos.length);
    const { upper, lower } = this;
    let energy = 0;
    let bits = 0;
    let sums = 0;
    for (const { first, signs, ups, cos, sin } of this.blocks) {
      const own = { start: timing.start + first * timing.samplesPerBit, samplesPerBit: timing.samplesPerBit };
      let isWhole = true;
      for (let bit = 0; bit < signs.length && isWhole; bit++)
        isWhole = bitOutputs(tones, own, bit, turn, upper, lower);
      if (!isWhole) continue;
      for (let bit = 0; bit < signs.length; bit++) {
        energy += upper.re[bit] ** 2 + upper.im[bit] ** 2 + lower.re[bit] ** 2 + lower.im[bit] ** 2;
        const tone = signs[bit] > 0 ? upper : lower;
        const re = tone.re[bit] * cos[bit] + tone.im[bit] * sin[bit];
        tone.im[bit] = tone.im[bit] * cos[bit] - tone.re[bit] * sin[bit];
        tone.re[bit] = re;
      }
      bits += signs.length;
      sums += 2;
      for (let i = 0; i < power.length; i++) {
        const cos = this.cos[i];
        const sin = this.sin[i];
        let [upRe, upIm, downRe, downIm] = [0, 0, 0, 0];
        for (let bit = 0; bit < signs.length; bit++) {
          if (signs[bit] > 0) {
            upRe += upper.re[bit] * cos[bit] - upper.im[bit] * sin[bit];
            upIm += upper.re[bit] * sin[bit] + upper.im[bit] * cos[bit];
          } else {
            downRe += lower.re[bit] * cos[bit] - lower.im[bit] * sin[bit];
            downIm += lower.re[bit] * sin[bit] + lower.im[bit] * cos[bit];
          }
        }
        power[i] +=
          (upRe * upRe + upIm * upIm) / ups + (downRe * downRe + downIm * downIm) / (signs.length - ups);
      }
    }
    const mean = energy / Math.max(1, 2 * bits);
    return { excess: mean > 0 ? power.map((value) => value / mean - sums) : power.fill(0), sums };
  }
}

const range = (reach: number, step: number) =>
  Array.from({ length: 2 * Math.round(reach / step) + 1 }, (_, i) => (i - Math.round(reach / step)) * step);

/** What is tried, in hertz at 100 Bd, in bits and in parts per million. */
interface Reach {
  readonly centres: readonly number[];
  /** Of each centre. */
  readonly corrections: readonly number[];
  readonly timings: readonly number[];
  readonly clocks: readonly number[];
}

const ANYWHERE: Reach = {
  centres: range(16, 8),
  corrections: range(4, 1),
  timings: range(0.36, 0.12),
  clocks: [0],
};
const ALL_CLOCKS: Reach = {
  centres: [0],
  corrections: range(1, 0.5),
  timings: range(0.12, 0.06),
  clocks: range(150, 50),
};
const FINE: Reach = {
  centres: [0],
  corrections: range(0.5, 0.25),
  timings: range(0.04, 0.04),
  clocks: range(25, 25),
};

const NEAR: Reach = { centres: [0], corrections: range(1, 1), timings: range(0.24, 0.08), clocks: [0] };
const HERE: Reach = { centres: [0], corrections: [0], timings: [0], clocks: [0] };

/** What a sending must reach by itself, anywhere and where it is expected, in deviations: noise has up to 5 and 3. */
const LEAST_ALONE = 6.5;
const LEAST_NEAR = 4.5;

/** A sending whose known bits agree less than this is left out of the sum, in deviations. */
const LEAST_AGREEMENT = 1.5;

/** What the search for a lock came to. */
interface Best {
  readonly score: number;
  readonly lock: Lock;
  /** Of each sending: what its sums have more than random phases give, in deviations and in the mean of one sum. */
  readonly agreements: readonly number[];
  readonly excesses: readonly number[];
}

/**
 * The lock within reach of another with which the known bits of all sendings agree most.
 *
 * @param from - of the anchor
 * @param sendings - bits from the anchor's phasing to that of each sending, the anchor's 0 among them
 * @returns of the anchor
 */
function search(
  baseband: Baseband,
  parameters: BandParameters,
  from: Lock,
  sendings: readonly number[],
  blocks: readonly Block[],
  reach: Reach,
): Best {
  const scale = parameters.modulation.baud / 100;
  const hertz = reach.corrections.map((hz) => hz * scale);
  const agreement = new Agreement(parameters, from.inverted, blocks, hertz);
  const middle = PHASING_BITS / 2;
  const { samplesPerBit: nominal } = from.timing;
  const pivot = from.timing.start + middle * nominal;
  let best: Best = { score: -Infinity, lock: from, agreements: [], excesses: [] };
  let before: Tones | undefined;
  for (const centre of reach.centres) {
    const centreHz = from.centreHz + centre * scale;
    const tones = integrateTones(baseband, parameters, { ...from, centreHz }, { into: before });
    before = tones;
    for (const ppm of reach.clocks) {
      const samplesPerBit = nominal * (1 - ppm * 1e-6);
      for (const timing of reach.timings) {
        const start = pivot + timing * nominal - middle * samplesPerBit;
        const lock = { ...from, centreHz, timing: { start, samplesPerBit } };
        const each = sendings.map((bits) =>
          agreement.measure(tones, baseband.rate, { start: start + bits * samplesPerBit, samplesPerBit }),
        );
        hertz.forEach((correction, i) => {
          const score = each.reduce((sum, { excess }) => sum + excess[i], 0);
          if (score <= best.score) return;
          best = {
            score,
            lock: { ...lock, centreHz: centreHz + correction },
            agreements: each.map(({ excess, sums }) => excess[i] / Math.sqrt(Math.max(1, sums))),
            excesses: each.map(({ excess, sums }) => excess[i] / Math.max(1, sums)),
          };
        });
      }
    }
  }
  return best;
}

/** How far the known bits of one sending agree in their phases; what those tones say that should not be sent counts against it. */
function lockOne(baseband: Baseband, parameters: BandParameters, rough: Lock, reach: Reach) {
  const blocks = blocksOf(0);
  const { lock, agreements } = search(baseband, parameters, rough, [0], blocks, reach);
  const swapped = blocks.map(({ first, signs }) => ({ first, signs: signs.map((sign) => -sign) }));
  const contrary = search(baseband, parameters, lock, [0], swapped, HERE);
  // Carriers stand in both tones.
  return { lock, agreement: agreements[0] - Math.max(0, contrary.agreements[0]) };
}

/**
 * Locks one sending by its phasing, if there is one.
 *
 * @param rough - within 20 Hz at 100 Bd of the centre and 0.4 bits of the timing
 */
export function lockSending(baseband: Baseband, parameters: BandParameters, rough: Lock): Lock | undefined {
  const { lock, agreement } = lockOne(baseband, parameters, rough, ANYWHERE);
  return agreement < LEAST_ALONE ? undefined : lock;
}

/** Whether the phasing of a sending stands where the lock of another has it. */
export function isSending(baseband: Baseband, parameters: BandParameters, expected: Lock): boolean {
  return lockOne(baseband, parameters, expected, NEAR).agreement >= LEAST_NEAR;
}

/**
 * Locks all sendings of an attempt at once.
 *
 * @param baseband - all of them
 * @param anchored - of one of them, by itself
 * @param count - sendings looked at; bits outside the baseband say nothing
 * @param anchor - how many sendings lie before that one
 */
export function lockAttempt(
  baseband: Baseband,
  parameters: BandParameters,
  anchored: Lock,
  repetition: Repetition,
  count: number,
  anchor: number,
): AttemptLock {
  const blocks = blocksOf(repetition.dots >= LONG_DOTS ? LONG_DOTS : 0);
  const sendings = Array.from({ length: count }, (_, sending) => (sending - anchor) * repetition.bits);
  const coarse = search(baseband, parameters, anchored, sendings, blocks, ALL_CLOCKS);
  const { lock, agreements, excesses } = search(baseband, parameters, coarse.lock, sendings, blocks, FINE);
  const agreeing = agreements.filter((one) => one >= LEAST_AGREEMENT);
  const agreement = agreeing.reduce((sum, one) => sum + one, 0) / Math.sqrt(Math.max(1, agreeing.length));
  // A sum over n bits of signal-to-noise ratio γ each has 1 + nγ times the noise, of which the mean is 1 + γ / 2.
  const energy = excesses
    .filter((_, sending) => agreements[sending] >= LEAST_AGREEMENT)
    .reduce((sum, excess) => sum + excess / Math.max(1, TONE_BITS - excess / 2), 0);
  const { start, samplesPerBit } = lock.timing;
  const oldest = { start: start + sendings[0] * samplesPerBit, samplesPerBit };
  return { lock: { ...lock, timing: oldest }, agreements, agreement, energy };
}
