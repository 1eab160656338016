/**
 * Sliding tone powers: how much power each of a row of tones has in a window of one bit, three times a bit.
 */
import FFT from 'fft.js';

/** Windows a bit: the timing error of the nearest one is at most a sixth of a bit. */
export const WINDOWS_PER_BIT = 3;

/** Which tones to watch. */
export interface ToneBankOptions {
  /** Samples a bit, a multiple of three. */
  bitSamples: number;
  /** The tones lie at multiples of sampleRate / `period`. */
  period: number;
  /** The multiple of each tone. */
  tones: readonly number[];
}

/** Takes a third of a bit at a time. */
export interface ToneBank {
  /** Samples a step takes. */
  readonly hop: number;
  /** Takes the next `hop` samples from `samples[at]` on and writes the powers of the window that ends with them to `powers[to]` and on. */
  step(samples: Float32Array, at: number, powers: Float32Array, to: number): void;
}

/** Up to this many tones, summing them one by one is faster than a transform of all (measured). */
const FEW_TONES = 24;

/** A bank of matched filters with rectangular windows; both ways of computing it give the same powers. */
export function createToneBank(options: ToneBankOptions): ToneBank {
  const powerOfTwo = (options.period & (options.period - 1)) === 0;
  return options.tones.length <= FEW_TONES || !powerOfTwo
    ? createSummingBank(options)
    : createTransformBank(options);
}

/** The bank by sums over thirds of a window, each tone by itself. */
export function createSummingBank({ bitSamples, period, tones }: ToneBankOptions): ToneBank {
  const hop = bitSamples / WINDOWS_PER_BIT;
  const count = tones.length;
  const cos = new Float32Array(count * period);
  const sin = new Float32Array(count * period);
  for (let tone = 0; tone < count; tone++) {
    for (let n = 0; n < period; n++) {
      const angle = (2 * Math.PI * ((tones[tone] * n) % period)) / period;
      cos[tone * period + n] = Math.cos(angle);
      sin[tone * period + n] = Math.sin(angle);
    }
  }
  const re = [new Float32Array(count), new Float32Array(count), new Float32Array(count)] as const;
  const im = [new Float32Array(count), new Float32Array(count), new Float32Array(count)] as const;
  let third = 0;
  let instant = 0;
  return {
    hop,
    step(samples, at, powers, to) {
      const reNow = re[third];
      const imNow = im[third];
      const first = Math.min(hop, period - instant);
      for (let tone = 0; tone < count; tone++) {
        let sumRe = 0;
        let sumIm = 0;
        let index = tone * period + instant;
        for (let n = 0; n < first; n++, index++) {
          sumRe += samples[at + n] * cos[index];
          sumIm += samples[at + n] * sin[index];
        }
        index = tone * period;
        for (let n = first; n < hop; n++, index++) {
          sumRe += samples[at + n] * cos[index];
          sumIm += samples[at + n] * sin[index];
        }
        reNow[tone] = sumRe;
        imNow[tone] = sumIm;
        const wholeRe = re[0][tone] + re[1][tone] + re[2][tone];
        const wholeIm = im[0][tone] + im[1][tone] + im[2][tone];
        powers[to + tone] = wholeRe * wholeRe + wholeIm * wholeIm;
      }
      third = (third + 1) % WINDOWS_PER_BIT;
      instant = (instant + hop) % period;
    },
  };
}

/** The bank by a transform of each window, padded with zeros to `period`. */
export function createTransformBank({ bitSamples, period, tones }: ToneBankOptions): ToneBank {
  const hop = bitSamples / WINDOWS_PER_BIT;
  const fft = new FFT(period);
  const window = new Float32Array(period);
  const spectrum = fft.createComplexArray() as number[];
  return {
    hop,
    step(samples, at, powers, to) {
      window.copyWithin(0, hop, bitSamples);
      for (let n = 0; n < hop; n++) window[bitSamples - hop + n] = samples[at + n];
      fft.realTransform(spectrum, window);
      for (let tone = 0; tone < tones.length; tone++) {
        const re = spectrum[2 * tones[tone]];
        const im = spectrum[2 * tones[tone] + 1];
        powers[to + tone] = re * re + im * im;
      }
    },
  };
}
