/**
 * From a rough match to exact centre, timing and clock.
 */
import {
  bitEnergy,
  integrateTone,
  type Baseband,
  type BitTiming,
  type ToneIntegral,
} from '../modem/index.js';
import { PHASING_BITS, PHASING_SIGNS } from './pattern.js';
import type { BandPlan } from './plan.js';

/** How a call lies in its baseband. */
export interface Lock {
  /** Hertz midway between the tones. */
  readonly centreHz: number;
  readonly inverted: boolean;
  readonly timing: BitTiming;
}

/** The running sums of both tones, B first, as the lock has them. */
export function integrateTones(
  baseband: Baseband,
  plan: BandPlan,
  lock: Lock,
  length?: number,
): [ToneIntegral, ToneIntegral] {
  const half = (lock.inverted ? -1 : 1) * (plan.modulation.shiftHz / 2);
  return [
    integrateTone(baseband, lock.centreHz + half, length),
    integrateTone(baseband, lock.centreHz - half, length),
  ];
}

/** How well the known bits of the phasing agree: amplitudes of the tones that should be sent, less the others. */
function phasingAgreement([b, y]: readonly [ToneIntegral, ToneIntegral], timing: BitTiming): number {
  let sum = 0;
  for (let bit = 0; bit < PHASING_BITS; bit++) {
    const sign = PHASING_SIGNS[bit];
    if (sign === 0) continue;
    const upper = bitEnergy(b, timing, bit);
    if (upper >= 0) sum += sign * (Math.sqrt(upper) - Math.sqrt(Math.max(0, bitEnergy(y, timing, bit))));
  }
  return sum;
}

/** How clearly each bit is one tone or the other, whatever it says. */
function clarity([b, y]: readonly [ToneIntegral, ToneIntegral], timing: BitTiming, bits: number): number {
  let sum = 0;
  for (let bit = 0; bit < bits; bit++)
    sum += Math.max(bitEnergy(b, timing, bit), bitEnergy(y, timing, bit), 0);
  return sum;
}

/** Where a parabola through three equally spaced values has its top, in steps from the middle one, within ±0.5. */
function parabolaTop(left: number, middle: number, right: number): number {
  const curvature = left - 2 * middle + right;
  return curvature < 0 ? Math.max(-0.5, Math.min(0.5, (left - right) / (2 * curvature))) : 0;
}

const COARSE_OFFSETS = 4;
const COARSE_TIMINGS = 4;

/**
 * Centre and timing from the phasing.
 *
 * @returns the lock, and its strength in units of amplitude
 * @param rough - within ±`spacingHz` / 2 of the centre and a third of a bit of the timing
 */
export function lockPhasing(
  baseband: Baseband,
  plan: BandPlan,
  rough: Lock,
  spacingHz: number,
): { lock: Lock; strength: number } {
  const { samplesPerBit } = rough.timing;
  const offsetStep = (0.65 * spacingHz) / COARSE_OFFSETS;
  const timingStep = 0.36 / COARSE_TIMINGS;
  const length = Math.min(
    baseband.re.length,
    Math.ceil(rough.timing.start + (PHASING_BITS + 2) * samplesPerBit),
  );
  const lockAt = (offset: number, shift: number): Lock => ({
    ...rough,
    centreHz: rough.centreHz + offset * offsetStep,
    timing: { start: rough.timing.start + shift * timingStep * samplesPerBit, samplesPerBit },
  });
  const rows: number[][] = [];
  for (let offset = -COARSE_OFFSETS; offset <= COARSE_OFFSETS; offset++) {
    const tones = integrateTones(baseband, plan, lockAt(offset, 0), length);
    const row: number[] = [];
    for (let shift = -COARSE_TIMINGS; shift <= COARSE_TIMINGS; shift++) {
      row.push(phasingAgreement(tones, lockAt(offset, shift).timing));
    }
    rows.push(row);
  }
  let [bestOffset, bestShift] = [0, 0];
  rows.forEach((row, i) => {
    row.forEach((score, j) => {
      if (score > rows[bestOffset][bestShift]) [bestOffset, bestShift] = [i, j];
    });
  });
  const score = (i: number, j: number) =>
    rows[Math.max(0, Math.min(rows.length - 1, i))][Math.max(0, Math.min(rows[0].length - 1, j))];
  const middle = score(bestOffset, bestShift);
  const offsetTop = parabolaTop(score(bestOffset - 1, bestShift), middle, score(bestOffset + 1, bestShift));
  const timingTop = parabolaTop(score(bestOffset, bestShift - 1), middle, score(bestOffset, bestShift + 1));
  const lock = lockAt(bestOffset - COARSE_OFFSETS + offsetTop, bestShift - COARSE_TIMINGS + timingTop);
  return { lock, strength: middle };
}

/** Clock errors tried, in parts per million. */
const CLOCK_ERRORS = [-300, -200, -100, 0, 100, 200, 300];
/** Corrections of the timing tried with each, in bits. */
const TIMING_CORRECTIONS = [-0.06, 0, 0.06];

/**
 * The clock from all bits received so far, without knowing them. The phasing fixes the timing in its own middle,
 * so a clock error turns the timing about that instant.
 */
export function lockClock(baseband: Baseband, plan: BandPlan, lock: Lock, bits: number): Lock {
  const nominal = baseband.rate / plan.modulation.baud;
  const tones = integrateTones(baseband, plan, lock);
  const pivot = lock.timing.start + (PHASING_BITS / 2) * nominal;
  let best = lock.timing;
  let bestScore = -Infinity;
  for (const error of CLOCK_ERRORS) {
    const samplesPerBit = nominal * (1 - error * 1e-6);
    for (const correction of TIMING_CORRECTIONS) {
      const start = pivot - (PHASING_BITS / 2) * samplesPerBit + correction * samplesPerBit;
      const score = clarity(tones, { start, samplesPerBit }, bits);
      if (score > bestScore) [best, bestScore] = [{ start, samplesPerBit }, score];
    }
  }
  return { ...lock, timing: best };
}
