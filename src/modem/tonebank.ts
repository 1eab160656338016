/**
 * Sliding tone powers: how much power each of a row of tones has in a window of one bit, three times a bit.
 */
import FFT from 'fft.js';

/** Windows a bit: the timing error of the nearest one is at most a sixth of a bit. */
export const WINDOWS_PER_BIT = 3;

/** Which tones to watch. */
export interface ToneBankOptions {
  /** Samples a bit, a multiple of six. */
  bitSamples: number;
  /** The tones lie at multiples of sampleRate / `period`. */
  period: number;
  /** The multiple of each tone. */
  tones: readonly number[];
}

/** Takes thirds of bits. */
export interface ToneBank {
  /** Samples a step takes: a third of a bit. */
  readonly hop: number;
  /**
   * Takes `count` steps from `samples[at]` on and writes the powers of the windows that end with each of them, one
   * after the other, to `powers[to]` and on.
   */
  steps(samples: Float32Array, at: number, count: number, powers: Float32Array, to: number): void;
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
  // Longer than a period by a step, so that no step reaches over the end.
  const length = period + hop;
  // Double precision spares a conversion at every product (measured).
  const cos = new Float64Array(tones.length * length);
  const sin = new Float64Array(tones.length * length);
  let input = new Float64Array(0);
  tones.forEach((multiple, tone) => {
    for (let n = 0; n < length; n++) {
      const angle = (2 * Math.PI * ((multiple * n) % period)) / period;
      cos[tone * length + n] = Math.cos(angle);
      sin[tone * length + n] = Math.sin(angle);
    }
  });
  /** Each tone's sums over the last third of a bit and over the one before, real and imaginary. */
  const last = Array.from(tones, () => new Float64Array(4));
  let instant = 0;

  function stepsOfTone(tone: number, count: number, powers: Float32Array, to: number): void {
    let [re1, im1, re2, im2] = last[tone];
    const start = tone * length;
    let now = instant;
    let from = 0;
    let out = to + tone;
    for (let step = 0; step < count; step++) {
      let reEven = 0;
      let imEven = 0;
      let reOdd = 0;
      let imOdd = 0;
      // Four sums side by side: faster than two (measured).
      for (let n = from, index = start + now; n < from + hop; n += 2, index += 2) {
        reEven += input[n] * cos[index];
        imEven += input[n] * sin[index];
        reOdd += input[n + 1] * cos[index + 1];
        imOdd += input[n + 1] * sin[index + 1];
      }
      const re = reEven + reOdd;
      const im = imEven + imOdd;
      const wholeRe = re + re1 + re2;
      const wholeIm = im + im1 + im2;
      powers[out] = wholeRe * wholeRe + wholeIm * wholeIm;
      re2 = re1;
      im2 = im1;
      re1 = re;
      im1 = im;
      now += hop;
      if (now >= period) now -= period;
      from += hop;
      out += tones.length;
    }
    last[tone].set([re1, im1, re2, im2]);
  }

  return {
    hop,
    steps(samples, at, count, powers, to) {
      if (input.length < count * hop) input = new Float64Array(count * hop);
      input.set(samples.subarray(at, at + count * hop));
      for (let tone = 0; tone < tones.length; tone++) stepsOfTone(tone, count, powers, to);
      instant = (instant + count * hop) % period;
    },
  };
}

/** The bank by a transform of each window, padded with zeros to `period`. */
export function createTransformBank({ bitSamples, period, tones }: ToneBankOptions): ToneBank {
  const hop = bitSamples / WINDOWS_PER_BIT;
  const fft = new FFT(period);
  const window = new Float32Array(period);
  const spectrum = fft.createComplexArray() as number[];
  function step(samples: Float32Array, at: number, powers: Float32Array, to: number): void {
    window.copyWithin(0, hop, bitSamples);
    for (let n = 0; n < hop; n++) window[bitSamples - hop + n] = samples[at + n];
    fft.realTransform(spectrum, window);
    for (let tone = 0; tone < tones.length; tone++) {
      const re = spectrum[2 * tones[tone]];
      const im = spectrum[2 * tones[tone] + 1];
      powers[to + tone] = re * re + im * im;
    }
  }

  return {
    hop,
    steps(samples, at, count, powers, to) {
      for (let n = 0; n < count; n++) step(samples, at + n * hop, powers, to + n * tones.length);
    },
  };
}
