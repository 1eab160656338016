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
  const response = Float64Array.from({ length: reach + 1 }, (_, i) => filter.at(i));
  /** The response turned to a centre, so that the audio itself need not be: the half of it behind its middle. */
  const cosTaps = new Float64Array(reach + 1);
  const sinTaps = new Float64Array(reach + 1);
  let padded = new Float64Array(0);
  let cos = new Float64Array(0);
  let sin = new Float64Array(0);

  function turnTo(centreHz: number): void {
    const step = (2 * Math.PI * centreHz) / sampleRate;
    response.forEach((value, tap) => {
      cosTaps[tap] = value * Math.cos(step * tap);
      sinTaps[tap] = value * Math.sin(step * tap);
    });
  }

  /** Lays out the audio from `reach` samples before a place on, with silence around it. */
  function pad(audio: Float32Array, place: number): void {
    const from = place - reach;
    const length = audio.length + reach - from;
    if (padded.length < length) padded = new Float64Array(2 * length);
    const before = Math.max(0, -from);
    padded.fill(0, 0, before);
    padded.set(audio.subarray(Math.max(0, from)), before);
    padded.fill(0, length - reach, length);
  }

  /** The turn of the centre back to 0 Hz at each complex sample from one on, a multiple of the rotor's stride. */
  function turnBack(centreHz: number, first: number, count: number): void {
    if (cos.length < count) [cos, sin] = [0, 1].map(() => new Float64Array(2 * count));
    new Rotor(sampleRate / decimation, -centreHz, 0, 0, first).fill(cos, sin, count);
  }

  return {
    reach,
    apply(audio, centreHz, known) {
      const count = Math.ceil(audio.length / decimation);
      const first = Math.min(known?.count ?? 0, count);
      const re = new Float32Array(count);
      const im = new Float32Array(count);
      if (known) {
        re.set(known.baseband.re.subarray(0, first));
        im.set(known.baseband.im.subarray(0, first));
      }
      turnTo(centreHz);
      pad(audio, first * decimation);
      const turned = Rotor.STRIDE * Math.floor(first / Rotor.STRIDE);
      turnBack(centreHz, turned, count - turned);
      for (let n = first; n < count; n++) {
        const middle = (n - first) * decimation + reach;
        let sumRe = cosTaps[0] * padded[middle];
        let sumIm = 0;
        for (let tap = 1; tap <= reach; tap++) {
          const before = padded[middle - tap];
          const after = padded[middle + tap];
          sumRe += cosTaps[tap] * (after + before);
          sumIm += sinTaps[tap] * (before - after);
        }
        const turnRe = cos[n - turned];
        const turnIm = sin[n - turned];
        re[n] = sumRe * turnRe - sumIm * turnIm;
        im[n] = sumRe * turnIm + sumIm * turnRe;
      }
      return { re, im, rate: sampleRate / decimation, centreHz };
    },
  };
}
