/**
 * What a set sent, bit by bit: hard decisions where the audio is clear, the received characters where it is not; and
 * how many bits of dot pattern stand before the phasing (ITU-R M.493 Annex 1 §3, from memory).
 */
import { logBesselI0 } from '../dsp/index.js';
import { airSlots } from '../frames/index.js';
import { BITS_PER_SYMBOL, bitsToSymbol, symbolToBits } from '../symbols/index.js';
import { bitOutputs, toneOutput } from './bitoutputs.js';
import type { Figure } from './figure.js';
import type { Fit } from './fit.js';
import { bitExtent, bitSample } from './tonemodel.js';

/** Where a call lies in its audio, as a receiver tells it. */
export interface CallPlace {
  /** Seconds from the first sample of the audio to the first phasing character. */
  readonly start: number;
  /** Bits per second: 100 or 1200. */
  readonly baud: number;
  /** Hertz midway between the tones. */
  readonly centreHz: number;
  /** Whether the tones are swapped. */
  readonly inverted: boolean;
}

/** One slot as it was sent. */
export interface SentSlot {
  /** The character of the received call that belongs here. */
  readonly expected: number;
  /** The character that the bits sent spell; null where their check bits disagree. */
  readonly sent: number | null;
  /** Whether the audio is clear enough to tell a wrong character from noise. */
  readonly isClear: boolean;
  /** The bits sent, 1 for Y. */
  readonly bits: Uint8Array;
}

/** A bit tells against what was received only where its tones differ by this share of what they usually do. */
const CLEAR = 0.6;
/** And a slot only where its bits are so many times likelier sent than the character received: natural logarithm of a million. */
const CLEAR_EVIDENCE = 14;
/** The difference of the tones scatters at least by this share of itself. */
const LEAST_SCATTER = 0.1;

/** The bits of each slot from the first phasing character on. */
export function readSlots(
  audio: Float32Array,
  sampleRate: number,
  place: CallPlace,
  shiftHz: number,
  call: { readonly symbols: readonly number[]; readonly expansions: readonly (readonly number[])[] },
): SentSlot[] {
  const slots = airSlots(call.symbols, call.expansions);
  const half = (place.inverted ? -1 : 1) * (shiftHz / 2);
  const strength = (bit: number, hz: number) => {
    const edge = (at: number) =>
      Math.max(0, Math.min(audio.length, Math.ceil((place.start + at / place.baud) * sampleRate)));
    const [first, end] = [edge(bit), edge(bit + 1)];
    if (end - first < 2) return 0;
    return Math.hypot(...toneOutput(audio, first, end, 0, (2 * Math.PI * hz) / sampleRate));
  };
  // Positive for Y.
  const leans = Float64Array.from(
    { length: slots.length * BITS_PER_SYMBOL },
    (_, bit) => strength(bit, place.centreHz - half) - strength(bit, place.centreHz + half),
  );
  const typical = leans.reduce((sum, lean) => sum + Math.abs(lean), 0) / leans.length;
  const squares = leans.reduce((sum, lean) => sum + (Math.abs(lean) - typical) ** 2, 0) / leans.length;
  const scatter = Math.max(squares, (LEAST_SCATTER * typical) ** 2);
  return slots.map(({ symbol }, slot) => {
    const expected = symbolToBits(symbol);
    const own = leans.subarray(slot * BITS_PER_SYMBOL, (slot + 1) * BITS_PER_SYMBOL);
    const hard = Uint8Array.from(own, (lean) => (lean > 0 ? 1 : 0));
    const against = Array.from(own, Math.abs).filter((_, i) => hard[i] !== expected[i]);
    const evidence = against.reduce((sum, lean) => sum + (2 * typical * lean) / scatter, 0);
    const isClear =
      against.length === 0 || (evidence > CLEAR_EVIDENCE && against.every((lean) => lean > CLEAR * typical));
    const bits = isClear ? hard : Uint8Array.from(expected);
    return { expected: symbol, sent: bitsToSymbol(bits, 0) ?? null, isClear, bits };
  });
}

/** A bit whose tone leaves more than so many times the noise is none. */
const NOISY = 6;
/** Noise below this share of the amplitude does no harm. */
const LEAST_NOISE = 0.35;

/** More bits of dots than any set sends. */
const MOST_DOTS = 1000;

/**
 * How many bits of dot pattern stand before the first fitted bit: the count that the audio makes likeliest, B before
 * Y, and how far the others leave it in doubt.
 *
 * @param fit - of the bits from the phasing on
 * @param variance - of the noise in a sample
 * @param from - seconds before which the audio belongs to something else
 */
export function countDots(
  audio: Float32Array,
  sampleRate: number,
  fit: Fit,
  variance: number,
  from: number,
  inverted: boolean,
): Figure {
  const { parameters, keyed } = fit;
  const room = Math.floor(
    (bitSample(parameters, keyed.pivot, sampleRate, 0) - from * sampleRate) /
      (parameters.bitSeconds * sampleRate) +
      0.5,
  );
  const most = Math.max(0, Math.min(MOST_DOTS, room));
  const signs = withDots(keyed.signs, most, inverted);
  const outputs = bitOutputs(audio, sampleRate, { ...keyed, signs, pivot: keyed.pivot + most }, parameters);
  const samplesPerBit = parameters.bitSeconds * sampleRate;
  const restOf = (bit: number, found: number) => {
    const [first, end] = bitExtent(parameters, keyed.pivot + most, sampleRate, bit, audio.length);
    let squares = 0;
    for (let n = first; n < end; n++) squares += audio[n] ** 2;
    return squares / Math.max(1, end - first) - found ** 2 / 2;
  };
  const likelihoods = [0];
  for (let back = 1; back <= most; back++) {
    const bit = most - back;
    const amplitude = signs[bit] > 0 ? parameters.upper : parameters.lower;
    const found = Math.hypot(outputs.re[bit], outputs.im[bit]);
    // Louder noise, as of a receiver without squelch, holds a tone of any strength: it is none.
    const isTone = restOf(bit, found) < NOISY * (variance + (LEAST_NOISE * amplitude) ** 2);
    // A tone of any phase against noise alone (Helstrom, Statistical Theory of Signal Detection; from memory).
    const spread = (2 * variance) / samplesPerBit;
    const tone = isTone ? logBesselI0((found * amplitude) / spread) : 0;
    likelihoods.push(likelihoods[back - 1] + tone - amplitude ** 2 / (2 * spread));
  }
  const best = Math.max(...likelihoods);
  const weights = likelihoods.map((value) => Math.exp(value - best));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const value = likelihoods.indexOf(best);
  const square = weights.reduce((sum, weight, count) => sum + weight * (count - value) ** 2, 0) / total;
  return { value, uncertainty: square < 1e-6 ? 0 : Math.sqrt(square) };
}

/** The signs with so many bits of dot pattern before them: +1 for the higher tone. */
export function withDots(signs: Int8Array, dots: number, inverted: boolean): Int8Array {
  const whole = new Int8Array(dots + signs.length);
  const b = inverted ? -1 : 1;
  // The pattern ends on Y.
  for (let bit = 0; bit < dots; bit++) whole[bit] = (dots - bit) % 2 === 0 ? b : -b;
  whole.set(signs, dots);
  return whole;
}
