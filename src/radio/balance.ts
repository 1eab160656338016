/**
 * What a receiver on a computer adds to a slice by itself: a constant (the spike in the middle), and of each signal a
 * weaker image on the other side of the middle, since I and Q are not equally strong or not a quarter turn apart. Both are
 * found blind, from the samples: noise and signals away from the middle have no mean, nor has their square.
 *
 * With y = x + ε·x*, E[y²] = 2ε·E[|y|²] as long as |ε| is small.
 */

/** Time constants, seconds. */
const CONSTANT_SECONDS = 1;
const IMAGE_SECONDS = 20;

/** Each is believed when it is so many times as strong as chance makes it, and after so many blocks. */
const SIGNIFICANCE = 5;
const LEAST_BLOCKS = 8;

/** The strongest image that is believed: −10 dB. */
const STRONGEST = 0.3;

/** What was found so far. */
export interface Balance {
  /** The constant. */
  readonly re: number;
  readonly im: number;
  /** ε: what of a signal, turned over, is added to it; 0 where none is found. */
  readonly imageRe: number;
  readonly imageIm: number;
}

/** Finds both, block by block. */
export interface BalanceFinder {
  /** Looks at `count` samples, I and Q in turn, from number `from` on. */
  look(samples: ArrayLike<number>, from: number, count: number): void;
  readonly found: Balance;
}

/** @param blocksPerSecond - blocks that come in a second */
export function createBalanceFinder(blocksPerSecond: number): BalanceFinder {
  let blocks = 0;
  let [re, im] = [0, 0];
  /** Mean square by which a block's mean differs from that of all. */
  let deviation = 0;
  let [constantRe, constantIm] = [0, 0];
  // Sums of y² and |y|², and of what of a block's y² the image does not explain.
  let [squareRe, squareIm, power, scatter] = [0, 0, 0, 0];
  let [imageRe, imageIm] = [0, 0];
  return {
    look(samples, from, count) {
      let [sumRe, sumIm, c, d, p] = [0, 0, 0, 0, 0];
      for (let n = 2 * from; n < 2 * (from + count); n += 2) {
        const x = samples[n] - re;
        const y = samples[n + 1] - im;
        sumRe += x;
        sumIm += y;
        c += (x - y) * (x + y);
        d += 2 * x * y;
        p += x * x + y * y;
      }
      if (p === 0) return;
      blocks++;
      const share = Math.max(1 / blocks, 1 / (CONSTANT_SECONDS * blocksPerSecond));
      deviation += share * ((sumRe ** 2 + sumIm ** 2) / count ** 2 - deviation);
      re += (share * sumRe) / count;
      im += (share * sumIm) / count;
      const isConstant =
        blocks >= LEAST_BLOCKS && Math.hypot(re, im) > SIGNIFICANCE * Math.sqrt(deviation * share);
      [constantRe, constantIm] = isConstant ? [re, im] : [0, 0];
      const kept = 1 - 1 / (IMAGE_SECONDS * blocksPerSecond);
      squareRe = kept * squareRe + c;
      squareIm = kept * squareIm + d;
      power = kept * power + p;
      const [epsilonRe, epsilonIm] = [squareRe / (2 * power), squareIm / (2 * power)];
      scatter = kept * kept * scatter + (c - 2 * epsilonRe * p) ** 2 + (d - 2 * epsilonIm * p) ** 2;
      const size = Math.hypot(epsilonRe, epsilonIm);
      const isFound =
        blocks >= LEAST_BLOCKS &&
        size <= STRONGEST &&
        size > (SIGNIFICANCE * Math.sqrt(scatter)) / (2 * power);
      [imageRe, imageIm] = isFound ? [epsilonRe, epsilonIm] : [0, 0];
    },
    get found() {
      return { re: constantRe, im: constantIm, imageRe, imageIm };
    },
  };
}
