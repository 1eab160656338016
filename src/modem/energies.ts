/**
 * The energy of each tone in each bit: the matched filters of noncoherent FSK at any timing.
 */
import { Rotor, type Baseband } from '../dsp/index.js';

/** Running sums of a baseband turned by one tone, so that the energy over any interval takes two look-ups. */
export interface ToneIntegral {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** The beginning of running sums that is known already, because a shorter baseband of the same audio gave it. */
export interface KnownIntegral {
  readonly integral: ToneIntegral;
  /** Samples of the baseband that hold for the longer one too. */
  readonly count: number;
}

/** Where the carrier of a block stands while it is worked with. */
const BLOCK = 16 * Rotor.STRIDE;
const cos = new Float64Array(BLOCK);
const sin = new Float64Array(BLOCK);

/**
 * Integrates a tone over samples 0 to `length` of a baseband; element n sums the samples before n.
 *
 * @param into - an integral of the same length that is needed no more: to take new memory costs more than to integrate
 */
export function integrateTone(
  baseband: Baseband,
  toneHz: number,
  length = baseband.re.length,
  known?: KnownIntegral,
  into?: ToneIntegral,
): ToneIntegral {
  const { re, im } = into ?? { re: new Float64Array(length + 1), im: new Float64Array(length + 1) };
  const first = known ? Rotor.STRIDE * Math.floor(Math.min(known.count, length) / Rotor.STRIDE) : 0;
  if (known) {
    re.set(known.integral.re.subarray(0, first + 1));
    im.set(known.integral.im.subarray(0, first + 1));
  }
  const rotor = new Rotor(baseband.rate, baseband.centreHz - toneHz, 0, 0, first);
  let sumRe = re[first];
  let sumIm = im[first];
  for (let from = first; from < length; from += BLOCK) {
    const count = Math.min(BLOCK, length - from);
    rotor.fill(cos, sin, count);
    for (let i = 0; i < count; i++) {
      const n = from + i;
      sumRe += baseband.re[n] * cos[i] - baseband.im[n] * sin[i];
      sumIm += baseband.re[n] * sin[i] + baseband.im[n] * cos[i];
      re[n + 1] = sumRe;
      im[n + 1] = sumIm;
    }
  }
  return { re, im };
}

/** Where bits lie in a baseband. */
export interface BitTiming {
  /** Baseband samples from its beginning to the first bit; may be negative. */
  readonly start: number;
  /** Baseband samples a bit. */
  readonly samplesPerBit: number;
}

/** The running sum between two samples less that between two others, straight lines between the samples. */
function between(sums: Float64Array, a: number, afterA: number, b: number, afterB: number): number {
  return (1 - afterB) * sums[b] + afterB * sums[b + 1] - (1 - afterA) * sums[a] - afterA * sums[a + 1];
}

/** Matched-filter outputs of a tone, bit by bit. */
export interface ToneOutputs {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * The matched-filter outputs of both tones over one bit, scaled so that their squared magnitudes are the bit's
 * energies, their phases counted from the start of the bit.
 *
 * @param turnPerSample - radians that the phase of the upper tone runs ahead of the centre's in a sample; the lower
 *   tone's falls behind as much
 * @returns false where the bit is not wholly within the baseband
 */
export function bitOutputs(
  [upper, lower]: readonly [ToneIntegral, ToneIntegral],
  timing: BitTiming,
  bit: number,
  turnPerSample: number,
  outUpper: ToneOutputs,
  outLower: ToneOutputs,
): boolean {
  const from = timing.start + bit * timing.samplesPerBit + 0.5;
  const to = from + timing.samplesPerBit;
  if (from < 0 || to >= upper.re.length - 1) return false;
  const a = Math.floor(from);
  const b = Math.floor(to);
  const afterA = from - a;
  const afterB = to - b;
  const scale = 1 / Math.sqrt(timing.samplesPerBit);
  const angle = turnPerSample * (from - 0.5);
  const cos = Math.cos(angle) * scale;
  const sin = Math.sin(angle) * scale;
  let re = between(upper.re, a, afterA, b, afterB);
  let im = between(upper.im, a, afterA, b, afterB);
  outUpper.re[bit] = re * cos - im * sin;
  outUpper.im[bit] = re * sin + im * cos;
  re = between(lower.re, a, afterA, b, afterB);
  im = between(lower.im, a, afterA, b, afterB);
  outLower.re[bit] = re * cos + im * sin;
  outLower.im[bit] = im * cos - re * sin;
  return true;
}

/**
 * The energy of a tone over one bit, per sample of the bit, so that white noise gives the same mean at every
 * timing; −1 where the bit is not wholly within the baseband.
 */
export function bitEnergy(tone: ToneIntegral, timing: BitTiming, bit: number): number {
  const from = timing.start + bit * timing.samplesPerBit + 0.5;
  const to = from + timing.samplesPerBit;
  if (from < 0 || to >= tone.re.length - 1) return -1;
  const a = Math.floor(from);
  const b = Math.floor(to);
  const re = between(tone.re, a, from - a, b, to - b);
  const im = between(tone.im, a, from - a, b, to - b);
  return (re * re + im * im) / timing.samplesPerBit;
}

/**
 * How clearly the first `bits` bits are one tone or the other, whatever they say: the energy of the stronger tone in
 * each, added up. Largest where the timing is right.
 */
export function timingMetric(
  [upper, lower]: readonly [ToneIntegral, ToneIntegral],
  { start, samplesPerBit }: BitTiming,
  bits: number,
): number {
  const end = upper.re.length - 1;
  let sum = 0;
  for (let bit = 0; bit < bits; bit++) {
    const from = start + bit * samplesPerBit + 0.5;
    const to = from + samplesPerBit;
    if (from < 0 || to >= end) continue;
    const a = Math.floor(from);
    const b = Math.floor(to);
    const afterA = from - a;
    const afterB = to - b;
    const upperRe = between(upper.re, a, afterA, b, afterB);
    const upperIm = between(upper.im, a, afterA, b, afterB);
    const lowerRe = between(lower.re, a, afterA, b, afterB);
    const lowerIm = between(lower.im, a, afterA, b, afterB);
    sum += Math.max(upperRe * upperRe + upperIm * upperIm, lowerRe * lowerRe + lowerIm * lowerIm);
  }
  return sum / samplesPerBit;
}
