/**
 * A piece of audio brought down to a complex baseband around the centre of the two tones.
 */
import { designLowPass } from './filterdesign.js';
import { Rotor } from './rotor.js';

/** Complex samples around a centre frequency. */
export interface Baseband {
  readonly re: Float32Array;
  readonly im: Float32Array;
  /** Complex samples per second. */
  readonly rate: number;
  /** The frequency that lies at 0 Hz here. */
  readonly centreHz: number;
}

/** How to come down. */
export interface BasebandOptions {
  /** Samples per second of the audio. */
  sampleRate: number;
  /** Audio samples to one complex sample. */
  decimation: number;
  /** Hertz from the centre up to which the spectrum passes. */
  pass: number;
  /** Hertz from the centre from which it is stopped. */
  stop: number;
}

/** The beginning of a baseband that is known already, because a shorter piece of the same audio gave it. */
export interface KnownBaseband {
  readonly baseband: Baseband;
  /** Complex samples of it that hold for the longer piece too. */
  readonly count: number;
}

/** Brings pieces of audio down. */
export interface BasebandFilter {
  /** Audio samples before and behind its instant that a complex sample depends on. */
  readonly reach: number;
  /** The baseband of a piece; sample 0 stays the instant 0, outside the piece there is silence. */
  apply(audio: Float32Array, centreHz: number, known?: KnownBaseband): Baseband;
}

/** Prepares a filter. */
export function createBasebandFilter(options: BasebandOptions): BasebandFilter {
  const { sampleRate, decimation } = options;
  const filter = designLowPass(
    (options.pass + options.stop) / 2 / sampleRate,
    (options.stop - options.pass) / sampleRate,
    45,
  );
  const reach = Math.floor(filter.reach);
  /** From the middle of the response, which is symmetric, to its end. */
  const taps = Float64Array.from({ length: reach + 1 }, (_, i) => filter.at(i));
  let mixedRe = new Float64Array(0);
  let mixedIm = new Float64Array(0);
  let cos = new Float64Array(0);
  let sin = new Float64Array(0);

  /** Turns the audio from about a sample on, so that the centre comes to 0 Hz. */
  function mix(audio: Float32Array, centreHz: number, from: number): void {
    const padded = audio.length + 2 * reach;
    if (mixedRe.length < padded)
      [mixedRe, mixedIm, cos, sin] = Array.from({ length: 4 }, () => new Float64Array(2 * padded));
    mixedRe.fill(0, audio.length + reach, padded);
    mixedIm.fill(0, audio.length + reach, padded);
    const begin = Rotor.STRIDE * Math.floor(Math.max(0, from) / Rotor.STRIDE);
    new Rotor(sampleRate, -centreHz, 0, 0, begin).fill(cos, sin, audio.length - begin);
    for (let n = begin; n < audio.length; n++) {
      mixedRe[n + reach] = audio[n] * cos[n - begin];
      mixedIm[n + reach] = audio[n] * sin[n - begin];
    }
  }

  return {
    reach,
    apply(audio, centreHz, known) {
      const count = Math.ceil(audio.length / decimation);
      const first = Math.min(known?.count ?? 0, count);
      mix(audio, centreHz, first * decimation - reach);
      const re = new Float32Array(count);
      const im = new Float32Array(count);
      if (known) {
        re.set(known.baseband.re.subarray(0, first));
        im.set(known.baseband.im.subarray(0, first));
      }
      for (let out = first; out < count; out++) {
        const middle = out * decimation + reach;
        let sumRe = taps[0] * mixedRe[middle];
        let sumIm = taps[0] * mixedIm[middle];
        for (let tap = 1; tap <= reach; tap++) {
          sumRe += taps[tap] * (mixedRe[middle - tap] + mixedRe[middle + tap]);
          sumIm += taps[tap] * (mixedIm[middle - tap] + mixedIm[middle + tap]);
        }
        re[out] = sumRe;
        im[out] = sumIm;
      }
      return { re, im, rate: sampleRate / decimation, centreHz };
    },
  };
}
