/**
 * The energy of both tones in each bit of a received call, and what the bits say by it: matched filters over one bit.
 */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';

/** Where the bits of a call lie in a recording. */
export interface BitGrid {
  /** Seconds from the first sample of the recording to bit 0. */
  readonly start: number;
  /** Bits per second as received. */
  readonly bitRate: number;
  /** Frequency of the tone of B, hertz. */
  readonly bHz: number;
  /** Frequency of the tone of Y, hertz. */
  readonly yHz: number;
}

/** Both tones, bit by bit. */
export interface ToneEnergies {
  /** Power of the tone of B in each bit: 1 for a sine of amplitude 1 through the whole bit. */
  readonly b: Float32Array;
  /** Power of the tone of Y. */
  readonly y: Float32Array;
  /** The stronger one: 1 for Y, 0 for B. */
  readonly bits: Uint8Array;
}

function tonePower(samples: Float32Array, from: number, to: number, radians: number): number {
  let re = 0;
  let im = 0;
  for (let n = from; n < to; n++) {
    const sample = samples[n] || 0;
    re += sample * Math.cos(radians * n);
    im += sample * Math.sin(radians * n);
  }
  return (4 * (re * re + im * im)) / Math.max(1, to - from) ** 2;
}

/**
 * Measures both tones in a run of bits.
 *
 * @param samples - full scale ±1; what lies outside counts as silence
 * @param sampleRate - samples per second
 * @param firstBit - number of the first bit, may be negative
 * @param count - how many bits, 0 to 100 000
 * @throws DotphaseError when an argument is out of range
 */
export function toneEnergies(
  samples: Float32Array,
  sampleRate: number,
  grid: BitGrid,
  firstBit: number,
  count: number,
): ToneEnergies {
  requireNumber('sampleRate', sampleRate, 1000, 192_000, 'Hz');
  requireNumber('grid.bitRate', grid.bitRate, 1, sampleRate / 2, 'bit/s');
  requireInteger('count', count, 0, 100_000);
  if (!Number.isInteger(firstBit)) throw new DotphaseError('firstBit', firstBit, 'the number of a bit');
  const turn = (hz: number) => (2 * Math.PI * hz) / sampleRate;
  const sampleOf = (bit: number) => Math.round((grid.start + bit / grid.bitRate) * sampleRate);
  const b = new Float32Array(count);
  const y = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const from = sampleOf(firstBit + i);
    const to = sampleOf(firstBit + i + 1);
    b[i] = tonePower(samples, from, to, turn(grid.bHz));
    y[i] = tonePower(samples, from, to, turn(grid.yHz));
  }
  return { b, y, bits: Uint8Array.from(b, (power, i) => (y[i] > power ? 1 : 0)) };
}
