/**
 * Sliding tone powers: how much power each of a row of tones has in a window of one bit, three times a bit.
 */
import FFT from 'fft.js';
import { DotphaseError } from '../errors.js';

/** Windows a bit: the timing error of the nearest one is at most a sixth of a bit. */
export const WINDOWS_PER_BIT = 3;

/** Which tones to watch. */
export interface ToneBankOptions {
  /** Samples a bit, a multiple of six. */
  bitSamples: number;
  /** The tones lie at multiples of sampleRate / `period`. */
  period: number;
  /** The multiple of each tone, in rising order. */
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

/** Up to this many tones, summing them two by two is faster than a transform of all (measured). */
const FEW_TONES = 22;

/** A bank of matched filters with rectangular windows; both ways of computing it give the same powers, but for what aliases in few tones. */
export function createToneBank(options: ToneBankOptions): ToneBank {
  const powerOfTwo = (options.period & (options.period - 1)) === 0;
  return options.tones.length <= FEW_TONES || !powerOfTwo
    ? createSummingBank(options)
    : createTransformBank(options);
}

/** Samples that may be added up before the tones are told apart. */
const GROUPS = [4, 2];

/** Cycles that a tone may turn within a group: at this many a group takes 0.1 dB of its power, which is given back. */
const MOST_TURN = 1 / 12;

/**
 * The bank by sums over thirds of a window.
 *
 * The samples are brought to the middle of all tones, where neighbours may be added up when the tones lie close
 * around it; of two tones as far above the middle as below it both sums come from the same products.
 */
export function createSummingBank({ bitSamples, period, tones }: ToneBankOptions): ToneBank {
  const hop = bitSamples / WINDOWS_PER_BIT;
  const count = tones.length;
  const pairs = Math.ceil(count / 2);
  /** Twice the middle, as a multiple: whole. */
  const middle = tones[0] + tones[count - 1];
  if (tones.some((tone, i) => tone + tones[count - 1 - i] !== middle)) {
    throw new DotphaseError('tones', tones, 'tones that lie alike above and below their middle');
  }
  const cycle = 2 * period;
  const turn = (tones[count - 1] - tones[0]) / cycle;
  const group =
    GROUPS.find((size) => hop % size === 0 && period % size === 0 && size * turn <= MOST_TURN) ?? 1;
  const groups = hop / group;

  // Double precision spares a conversion at every product (measured).
  const wave = (of: (angle: number) => number, multiple: number, step: number, length: number) =>
    Float64Array.from({ length }, (_, n) => of((2 * Math.PI * ((multiple * step * n) % cycle)) / cycle));
  const mixCos = wave(Math.cos, middle, 1, cycle + hop);
  const mixSin = wave(Math.sin, middle, 1, cycle + hop);
  const pairsOfTones = Array.from({ length: pairs }, (_, lower) => {
    const upper = count - 1 - lower;
    const apart = tones[upper] - tones[lower];
    const half = (Math.PI * apart) / cycle;
    const gain = apart === 0 ? 1 : Math.sin(group * half) / (group * Math.sin(half));
    return {
      lower,
      upper,
      // Longer than a cycle by a step, so that no step reaches over the end.
      cos: wave(Math.cos, apart, group, (cycle + hop) / group),
      sin: wave(Math.sin, apart, group, (cycle + hop) / group),
      scale: 1 / gain ** 2,
      /** The sums over the last third of a bit and over the one before, of both tones, real and imaginary. */
      last: new Float64Array(8),
    };
  });
  let re = new Float64Array(0);
  let im = new Float64Array(0);
  let instant = 0;

  function mix(samples: Float32Array, at: number, steps: number): void {
    const length = steps * groups;
    if (re.length < length) {
      re = new Float64Array(length);
      im = new Float64Array(length);
    }
    let angle = instant;
    let from = at;
    for (let n = 0; n < length; n++) {
      let x = 0;
      let y = 0;
      for (const end = from + group; from < end; from++, angle++) {
        x += samples[from] * mixCos[angle];
        y -= samples[from] * mixSin[angle];
      }
      re[n] = x;
      im[n] = y;
      if (angle >= cycle) angle -= cycle;
    }
  }

  function stepsOfPair(
    { lower, upper, cos, sin, scale, last }: (typeof pairsOfTones)[number],
    steps: number,
    powers: Float32Array,
    to: number,
  ): void {
    let [lowRe1, lowIm1, lowRe2, lowIm2, highRe1, highIm1, highRe2, highIm2] = last;
    let index = instant / group;
    let from = 0;
    let out = to;
    for (let step = 0; step < steps; step++) {
      let xCos = 0;
      let xSin = 0;
      let yCos = 0;
      let ySin = 0;
      for (const end = from + groups; from < end; from++, index++) {
        xCos += re[from] * cos[index];
        xSin += re[from] * sin[index];
        yCos += im[from] * cos[index];
        ySin += im[from] * sin[index];
      }
      if (index >= cos.length - groups) index -= cos.length - groups;
      const lowRe = xCos - ySin;
      const lowIm = yCos + xSin;
      const highRe = xCos + ySin;
      const highIm = yCos - xSin;
      const wholeLowRe = lowRe + lowRe1 + lowRe2;
      const wholeLowIm = lowIm + lowIm1 + lowIm2;
      const wholeHighRe = highRe + highRe1 + highRe2;
      const wholeHighIm = highIm + highIm1 + highIm2;
      powers[out + lower] = scale * (wholeLowRe * wholeLowRe + wholeLowIm * wholeLowIm);
      powers[out + upper] = scale * (wholeHighRe * wholeHighRe + wholeHighIm * wholeHighIm);
      lowRe2 = lowRe1;
      lowIm2 = lowIm1;
      lowRe1 = lowRe;
      lowIm1 = lowIm;
      highRe2 = highRe1;
      highIm2 = highIm1;
      highRe1 = highRe;
      highIm1 = highIm;
      out += count;
    }
    last.set([lowRe1, lowIm1, lowRe2, lowIm2, highRe1, highIm1, highRe2, highIm2]);
  }

  return {
    hop,
    steps(samples, at, steps, powers, to) {
      mix(samples, at, steps);
      for (const pair of pairsOfTones) stepsOfPair(pair, steps, powers, to);
      instant = (instant + steps * hop) % cycle;
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
