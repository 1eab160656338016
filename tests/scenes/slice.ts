/** Slices of spectrum with calls in them. */
import { Random } from '../../src/dsp/index.js';
import { frameCall, type FramedCharacters } from '../../src/frames/index.js';
import { MODULATIONS } from '../../src/modem/index.js';

/** Which slice. */
export interface SliceOptions {
  readonly sampleRate: number;
  readonly tunedHz: number;
  readonly seconds: number;
}

/** A call in it. */
export interface SliceCall {
  readonly symbols: FramedCharacters;
  /** Assigned frequency. */
  readonly hz: number;
  /** Seconds to its first dot. */
  readonly at: number;
  /** Of its carrier, full scale 1. */
  readonly amplitude: number;
  /** On VHF the tones modulate the phase of a carrier at `hz` by 2 rad. */
  readonly band?: 'mf-hf' | 'vhf';
}

/** Complex samples. */
export interface Slice {
  readonly i: Float32Array;
  readonly q: Float32Array;
}

/** Calls and complex white noise of the given power density, full scale squared in 3 kHz, dB. */
export function createSlice(
  { sampleRate, tunedHz, seconds }: SliceOptions,
  calls: readonly SliceCall[],
  noiseDb: number,
  seed: number,
): Slice {
  const length = Math.round(seconds * sampleRate);
  const random = new Random(seed, 'slice');
  // Complex noise of power density N₀ has N₀·rate, half of it in each part.
  const deviation = Math.sqrt((10 ** (noiseDb / 10) / 3000) * sampleRate * 0.5);
  const i = Float32Array.from({ length }, () => deviation * random.gaussian());
  const q = Float32Array.from({ length }, () => deviation * random.gaussian());
  for (const { symbols, hz, at, amplitude, band = 'mf-hf' } of calls) {
    const { baud, shiftHz, centreHz } = MODULATIONS[band];
    const { bits } = frameCall(symbols, { band });
    const first = Math.round(at * sampleRate);
    let tone = 0;
    for (let n = 0; first + n < length; n++) {
      const bit = Math.floor((n * baud) / sampleRate);
      if (bit >= bits.length) break;
      const deviationHz = (bits[bit] === 1 ? -1 : 1) * (shiftHz / 2);
      tone += (2 * Math.PI * (band === 'vhf' ? centreHz + deviationHz : deviationHz)) / sampleRate;
      const turned = 2 * Math.PI * ((((hz - tunedHz) / sampleRate) * (first + n)) % 1);
      const phase = turned + (band === 'vhf' ? 2 * Math.sin(tone) : tone);
      i[first + n] += amplitude * Math.cos(phase);
      q[first + n] += amplitude * Math.sin(phase);
    }
  }
  return { i, q };
}
