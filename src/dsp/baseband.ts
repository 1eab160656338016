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

/** Complex samples worked out side by side: a third of the time of one after the other (measured). */
const ABREAST = 4;

export function createBasebandFilter(options: BasebandOptions): BasebandFilter {
  const { sampleRate, decimation } = options;
  const filter = designLowPass(
    (options.pass + options.stop) / 2 / sampleRate,
    (options.stop - options.pass) / sampleRate,
    45,
  );
  const reach = Math.floor(filter.reach);
  const taps = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => filter.at(i - reach));
  const tapsRe = new Float64Array(taps.length);
  const tapsIm = new Float64Array(taps.length);
  let padded = new Float64Array(0);
  let cos = new Float64Array(0);
  let sin = new Float64Array(0);

  /** The low-pass filter moved to the centre, so that only its outputs are left to be turned. */
  function tuneTo(centreHz: number): void {
    new Rotor(sampleRate, -centreHz, 0, (reach * centreHz) / sampleRate).fill(tapsRe, tapsIm, taps.length);
    for (let tap = 0; tap < taps.length; tap++) {
      tapsRe[tap] *= taps[tap];
      tapsIm[tap] *= taps[tap];
    }
  }

  return {
    reach,
    apply(audio, centreHz, known) {
      const count = Math.ceil(audio.length / decimation);
      const room = count + ABREAST;
      const length = room * decimation + 2 * reach;
      if (padded.length < length) padded = new Float64Array(2 * length);
      if (cos.length < room) [cos, sin] = [new Float64Array(2 * room), new Float64Array(2 * room)];
      padded.set(audio, reach);
      padded.fill(0, audio.length + reach, length);
      tuneTo(centreHz);
      new Rotor(sampleRate / decimation, -centreHz).fill(cos, sin, room);
      const re = new Float32Array(room);
      const im = new Float32Array(room);
      const first = Math.min(known?.count ?? 0, count);
      if (known) {
        re.set(known.baseband.re.subarray(0, first));
        im.set(known.baseband.im.subarray(0, first));
      }
      const turn = (at: number, a: number, b: number) => {
        re[at] = a * cos[at] - b * sin[at];
        im[at] = a * sin[at] + b * cos[at];
      };
      for (let out = first; out < count; out += ABREAST) {
        let [aRe, aIm, bRe, bIm, cRe, cIm, dRe, dIm] = [0, 0, 0, 0, 0, 0, 0, 0];
        for (let tap = 0, at = out * decimation; tap < taps.length; tap++, at++) {
          const tapRe = tapsRe[tap];
          const tapIm = tapsIm[tap];
          const a = padded[at];
          const b = padded[at + decimation];
          const c = padded[at + 2 * decimation];
          const d = padded[at + 3 * decimation];
          aRe += tapRe * a;
          aIm += tapIm * a;
          bRe += tapRe * b;
          bIm += tapIm * b;
          cRe += tapRe * c;
          cIm += tapIm * c;
          dRe += tapRe * d;
          dIm += tapIm * d;
        }
        turn(out, aRe, aIm);
        turn(out + 1, bRe, bIm);
        turn(out + 2, cRe, cIm);
        turn(out + 3, dRe, dIm);
      }
      const rate = sampleRate / decimation;
      return { re: re.subarray(0, count), im: im.subarray(0, count), rate, centreHz };
    },
  };
}
