/**
 * From a rough match to exact centre, timing and clock.
 */
import { PHASING_DX_COUNT } from '../frames/index.js';
import { type Baseband } from '../dsp/index.js';
import {
  bitEnergy,
  bitOutputs,
  integrateTone,
  timingMetric,
  type BitTiming,
  type ToneIntegral,
} from '../modem/internal.js';
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import { PHASING_BITS, PHASING_SIGNS } from './phasingsequence.js';
import type { BandParameters } from './bandparameters.js';

/** How a call lies in its baseband. */
export interface Lock {
  /** Hertz midway between the tones. */
  readonly centreHz: number;
  readonly inverted: boolean;
  readonly timing: BitTiming;
}

/** The running sums of both tones, B first, as a lock has them. */
export type Tones = readonly [ToneIntegral, ToneIntegral];

/** The beginning of running sums that a shorter baseband of the same audio gave: so many samples of it hold. */
export interface KnownTones {
  readonly tones: Tones;
  readonly count: number;
}

/** What of a baseband is integrated, and what with. */
interface Integration {
  /** Samples; default: all. */
  readonly length?: number;
  readonly known?: KnownTones | undefined;
  /** Tones of the same length that are needed no more. */
  readonly into?: Tones | undefined;
}

export function integrateTones(
  baseband: Baseband,
  parameters: BandParameters,
  lock: Lock,
  { length, known, into }: Integration = {},
): Tones {
  const half = (lock.inverted ? -1 : 1) * (parameters.modulation.shiftHz / 2);
  const integrate = (toneHz: number, tone: 0 | 1) => {
    const before = known && { integral: known.tones[tone], count: known.count };
    return integrateTone(baseband, toneHz, length, before, into?.[tone]);
  };
  return [integrate(lock.centreHz + half, 0), integrate(lock.centreHz - half, 1)];
}

/**
 * How well the known bits of the phasing agree: amplitude of the tone that should be sent less that of the other, the
 * mean over the B bits and that over the Y bits counting alike, so that unequal counts do not bias the centre.
 */
function phasingAgreement([b, y]: Tones, timing: BitTiming): number {
  let [sumB, countB, sumY, countY] = [0, 0, 0, 0];
  for (let bit = 0; bit < PHASING_BITS; bit++) {
    const sign = PHASING_SIGNS[bit];
    if (sign === 0) continue;
    const upper = bitEnergy(b, timing, bit);
    if (upper < 0) continue;
    const agreement = sign * (Math.sqrt(upper) - Math.sqrt(Math.max(0, bitEnergy(y, timing, bit))));
    if (sign > 0) {
      sumB += agreement;
      countB++;
    } else {
      sumY += agreement;
      countY++;
    }
  }
  return sumB / Math.max(1, countB) + sumY / Math.max(1, countY);
}

/** The strength of a sending from its phasing, in units of amplitude: the same that {@link lockPhasing} gives. */
export function phasingStrength(baseband: Baseband, parameters: BandParameters, lock: Lock): number {
  return phasingAgreement(integrateTones(baseband, parameters, lock), lock.timing);
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
  parameters: BandParameters,
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
  let before: Tones | undefined;
  for (let offset = -COARSE_OFFSETS; offset <= COARSE_OFFSETS; offset++) {
    const tones = integrateTones(baseband, parameters, lockAt(offset, 0), { length, into: before });
    before = tones;
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

/** Bits of the phasing that follow each other without an unknown one between. */
const UNBROKEN_BITS = 2 * PHASING_DX_COUNT * BITS_PER_SYMBOL;
/** The phase is taken to hold for so many of them. */
const STEADY_BITS = 30;
/** Corrections of the centre tried, in hertz at 100 Bd: ±8 in steps of 0.25. */
const CENTRE_CORRECTIONS = Array.from({ length: 65 }, (_, i) => 0.25 * (i - 32));
/** How far each correction turns the phase within {@link STEADY_BITS}: the same at every bit rate. */
const CENTRE_TURNS = CENTRE_CORRECTIONS.map((hz) => {
  const each = (of: (angle: number) => number) =>
    Float64Array.from({ length: STEADY_BITS }, (_, bit) => of((2 * Math.PI * hz * bit) / 100));
  return { cos: each(Math.cos), sin: each(Math.sin) };
});

/** The centre from the phase that runs on through the known bits, for each tone by itself. */
export function lockCentre(baseband: Baseband, parameters: BandParameters, lock: Lock): Lock {
  const { baud, shiftHz } = parameters.modulation;
  const tones = integrateTones(baseband, parameters, lock);
  const sign = lock.inverted ? -1 : 1;
  const turn = (sign * Math.PI * shiftHz) / baseband.rate;
  const outputs = () => ({ re: new Float64Array(UNBROKEN_BITS), im: new Float64Array(UNBROKEN_BITS) });
  const [upper, lower, sent] = [outputs(), outputs(), outputs()];
  let phase = 0;
  for (let bit = 0; bit < UNBROKEN_BITS; bit++) {
    bitOutputs(tones, lock.timing, bit, turn, upper, lower);
    const tone = PHASING_SIGNS[bit] > 0 ? upper : lower;
    const [cos, sin] = [Math.cos(phase), Math.sin(phase)];
    sent.re[bit] = tone.re[bit] * cos + tone.im[bit] * sin;
    sent.im[bit] = tone.im[bit] * cos - tone.re[bit] * sin;
    phase += (PHASING_SIGNS[bit] * sign * Math.PI * shiftHz) / baud;
  }
  const agreements = CENTRE_TURNS.map(({ cos, sin }) => {
    let total = 0;
    for (let block = 0; block < UNBROKEN_BITS; block += STEADY_BITS) {
      let [upperRe, upperIm, lowerRe, lowerIm] = [0, 0, 0, 0];
      for (let i = 0; i < STEADY_BITS; i++) {
        const bit = block + i;
        const re = sent.re[bit] * cos[i] + sent.im[bit] * sin[i];
        const im = sent.im[bit] * cos[i] - sent.re[bit] * sin[i];
        if (PHASING_SIGNS[bit] > 0) {
          upperRe += re;
          upperIm += im;
        } else {
          lowerRe += re;
          lowerIm += im;
        }
      }
      total += upperRe ** 2 + upperIm ** 2 + lowerRe ** 2 + lowerIm ** 2;
    }
    return total;
  });
  const best = CENTRE_CORRECTIONS[agreements.indexOf(Math.max(...agreements))] * (baud / 100);
  return { ...lock, centreHz: lock.centreHz + best };
}

/** Clock errors tried, in parts per million. */
const CLOCK_ERRORS = [-300, -200, -100, 0, 100, 200, 300];
/** Corrections of the timing tried with each, in bits. */
const TIMING_CORRECTIONS = [-0.06, 0, 0.06];

/**
 * The clock from all bits received so far, without knowing them. The phasing fixes the timing in its own middle,
 * so a clock error turns the timing about that instant.
 */
export function lockClock(
  tones: Tones,
  { rate }: Baseband,
  parameters: BandParameters,
  lock: Lock,
  bits: number,
): Lock {
  const nominal = rate / parameters.modulation.baud;
  const pivot = lock.timing.start + (PHASING_BITS / 2) * nominal;
  let best = lock.timing;
  let bestScore = -Infinity;
  for (const error of CLOCK_ERRORS) {
    const samplesPerBit = nominal * (1 - error * 1e-6);
    for (const correction of TIMING_CORRECTIONS) {
      const start = pivot - (PHASING_BITS / 2) * samplesPerBit + correction * samplesPerBit;
      const score = timingMetric(tones, { start, samplesPerBit }, bits);
      if (score > bestScore) [best, bestScore] = [{ start, samplesPerBit }, score];
    }
  }
  return { ...lock, timing: best };
}
