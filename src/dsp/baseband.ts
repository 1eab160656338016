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
  const taps = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => filter.at(i - reach));
  let mixedRe = new Float64Array(0);
  let mixedIm = new Float64Array(0);
  let cos = new Float64Array(0);
  let sin = new Float64Array(0);

  function mix(audio: Float32Array, centreHz: number): void {
    const padded = audio.length + 2 * reach;
    if (mixedRe.length < padded)
      [mixedRe, mixedIm, cos, sin] = Array.from({ length: 4 }, () => new Float64Array(2 * padded));
    mixedRe.fill(0, audio.length + reach, padded);
    mixedIm.fill(0, audio.length + reach, padded);
    new Rotor(sampleRate, -centreHz).fill(cos, sin, audio.length);
    for (let n = 0; n < audio.length; n++) {
      mixedRe[n + reach] = audio[n] * cos[n];
      mixedIm[n + reach] = audio[n] * sin[n];
    }
  }

  return {
    reach,
    apply(audio, centreHz, known) {
      mix(audio, centreHz);
      const count = Math.ceil(audio.length / decimation);
      const re = new Float32Array(count);
      const im = new Float32Array(count);
      const first = Math.min(known?.count ?? 0, count);
      if (known) {
        re.set(known.baseband.re.subarray(0, first));
        im.set(known.baseband.im.subarray(0, first));
      }
      for (let out = first; out < count; out++) {
        let sumRe = 0;
        let sumIm = 0;
        for (let tap = 0, at = out * decimation; tap < taps.length; tap++, at++) {
          sumRe += taps[tap] * mixedRe[at];
          sumIm += taps[tap] * mixedIm[at];
        }
        re[out] = sumRe;
        im[out] = sumIm;
      }
      return { re, im, rate: sampleRate / decimation, centreHz };
    },
  };
}
