/**
 * Two tones keyed with continuous phase by known bits (ITU-R M.493 Annex 1 §1.3, from memory: F1B or J2B), and how the
 * signal moves with each of its parameters. `docs/pages/measuring.md` derives the formulas.
 */

/** What the fitted signal is described by. Times are seconds from the first sample of the audio. */
export interface ToneParameters {
  /** Hertz midway between the tones. */
  readonly centreHz: number;
  /** Hertz from the lower tone to the higher. */
  readonly shiftHz: number;
  /** The instant of the bit position {@link KeyedBits.pivot}. */
  readonly instant: number;
  /** Seconds a bit. */
  readonly bitSeconds: number;
  /** Peak amplitude of the higher tone. */
  readonly upper: number;
  /** Peak amplitude of the lower tone. */
  readonly lower: number;
  /** Hertz a second by which the centre rises; that of the call is at {@link KeyedBits.reference}. */
  readonly driftHzPerSecond: number;
}

/** How many parameters {@link ToneParameters} holds. */
export const TONE_PARAMETERS = 7;

/** The bits that key the tones. */
export interface KeyedBits {
  /** For each bit +1 for the higher tone, −1 for the lower. */
  readonly signs: Int8Array;
  /** Bit position, fractions allowed, whose instant is a parameter: the middle of the bits, so that it hardly hangs on the rate. */
  readonly pivot: number;
  /** Seconds at which the phase of the centre is counted from. */
  readonly reference: number;
  /** Bits at which the phase begins anew, ascending; the first is 0. */
  readonly segments: readonly number[];
}

/** The sum of the signs before each bit, that is half the turns of phase in units of shift × bit. */
export function runningSums(signs: Int8Array): Int32Array {
  const sums = new Int32Array(signs.length + 1);
  for (let bit = 0; bit < signs.length; bit++) sums[bit + 1] = sums[bit] + signs[bit];
  return sums;
}

/** The sum of the signs up to a bit position. */
export function sumAt(sums: Int32Array, signs: Int8Array, position: number): number {
  const bit = Math.max(0, Math.min(signs.length - 1, Math.floor(position)));
  return sums[bit] + signs[bit] * (position - bit);
}

/** Where a bit begins, in samples. */
export function bitSample(
  { instant, bitSeconds }: ToneParameters,
  pivot: number,
  sampleRate: number,
  bit: number,
): number {
  return (instant + (bit - pivot) * bitSeconds) * sampleRate;
}

/** The first sample of a bit, within the audio. */
function firstSample(
  parameters: ToneParameters,
  pivot: number,
  sampleRate: number,
  bit: number,
  length: number,
): number {
  return Math.max(0, Math.min(length, Math.ceil(bitSample(parameters, pivot, sampleRate, bit) - 1e-9)));
}

/** A bit's samples: the first and the one behind the last, within the audio. */
export function bitExtent(
  parameters: ToneParameters,
  pivot: number,
  sampleRate: number,
  bit: number,
  length: number,
): [number, number] {
  return [
    firstSample(parameters, pivot, sampleRate, bit, length),
    firstSample(parameters, pivot, sampleRate, bit + 1, length),
  ];
}

/** Frequency of the model at an instant in a bit, hertz. */
export function frequencyAt(
  { centreHz, shiftHz, driftHzPerSecond }: ToneParameters,
  keyed: KeyedBits,
  bit: number,
  time: number,
): number {
  return centreHz + (keyed.signs[bit] * shiftHz) / 2 + driftHzPerSecond * (time - keyed.reference);
}

/** The phase of the model at an instant in a bit, radians, that of its segment left out. */
export function phaseAt(
  { centreHz, shiftHz, instant, bitSeconds, driftHzPerSecond }: ToneParameters,
  keyed: KeyedBits,
  sums: Int32Array,
  bit: number,
  time: number,
): number {
  const position = keyed.pivot + (time - instant) / bitSeconds;
  const turned = sums[bit] + keyed.signs[bit] * (position - bit) - sumAt(sums, keyed.signs, keyed.pivot);
  const since = time - keyed.reference;
  return Math.PI * ((2 * centreHz + driftHzPerSecond * since) * since + shiftHz * bitSeconds * turned);
}
