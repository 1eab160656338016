/**
 * Samples from one rate to a lower one, as a stream.
 */
import { requireNumber } from '../errors.js';
import { designLowPass } from './filterdesign.js';

/** Turns a stream of samples into one at another rate; output m lies at the instant m / `to`. */
export interface Resampler {
  /** Takes the next samples and gives those that can be computed so far; the array is valid until the next push. */
  push(samples: Float32Array): Float32Array;
}

/** Rates and filter of a resampler. */
export interface ResamplerOptions {
  /** Input rate in hertz. */
  from: number;
  /** Output rate in hertz. */
  to: number;
  /** Hertz up to which the spectrum passes. */
  pass: number;
  /** Hertz from which it is stopped. */
  stop: number;
  /** Attenuation of the stop band, dB; default 50. */
  attenuation?: number;
}

const MOST_PHASES = 512;

function gcd(a: number, b: number): number {
  return b < 1e-9 ? a : gcd(b, a % b);
}

/** One polyphase filter; where the ratio of rates needs more than 512 phases the nearest one is taken. */
export function createResampler(options: ResamplerOptions): Resampler {
  const from = requireNumber('from', options.from, 1, 1e7, 'Hz');
  const to = requireNumber('to', options.to, 1, 1e7, 'Hz');
  const filter = designLowPass(
    (options.pass + options.stop) / 2 / from,
    (options.stop - options.pass) / from,
    options.attenuation ?? 50,
  );
  const reach = Math.ceil(filter.reach);
  const taps = 4 * Math.ceil(reach / 2);
  const cycle = Math.round(to / gcd(from, to));
  const phases = Math.min(MOST_PHASES, cycle);
  const step = from / to;
  // Row p holds the response for an output that lies p / phases after an input sample.
  // Double precision spares a conversion at every product (measured).
  const rows = new Float64Array((phases + 1) * taps);
  for (let phase = 0; phase <= phases; phase++) {
    for (let tap = 0; tap < taps; tap++)
      rows[phase * taps + tap] = filter.at(tap - reach + 1 - phase / phases);
  }

  let history = new Float64Array(taps);
  let kept = reach - 1;
  let firstIndex = 1 - reach;
  let produced = 0;
  let output = new Float32Array(0);

  /** The outputs `first`, `first + by`, … that lie `stride` input samples apart and so have one response. */
  function filterAlike(row: number, start: number, stride: number, first: number, by: number, count: number) {
    let base = start;
    let at = first;
    // Four outputs side by side: less than half the time of one after the other (measured).
    for (; at + 3 * by < count; at += 4 * by, base += 4 * stride) {
      let a = 0;
      let b = 0;
      let c = 0;
      let d = 0;
      for (let tap = 0; tap < taps; tap += 2) {
        const even = rows[row + tap];
        const odd = rows[row + tap + 1];
        let from = base + tap;
        a += even * history[from] + odd * history[from + 1];
        from += stride;
        b += even * history[from] + odd * history[from + 1];
        from += stride;
        c += even * history[from] + odd * history[from + 1];
        from += stride;
        d += even * history[from] + odd * history[from + 1];
      }
      output[at] = a;
      output[at + by] = b;
      output[at + 2 * by] = c;
      output[at + 3 * by] = d;
    }
    for (; at < count; at += by, base += stride) {
      let sum = 0;
      // Added up as above, so that the output does not depend on how the input is cut.
      for (let tap = 0; tap < taps; tap += 2)
        sum += rows[row + tap] * history[base + tap] + rows[row + tap + 1] * history[base + tap + 1];
      output[at] = sum;
    }
  }

  /** The input sample from which the response of an output begins, counted from the oldest one kept. */
  const baseOf = (index: number) => Math.floor(index * step + 1e-9) - reach + 1 - firstIndex;

  return {
    push(samples) {
      const length = kept + samples.length;
      if (history.length < length) {
        const larger = new Float64Array(2 * length);
        larger.set(history.subarray(0, kept));
        history = larger;
      }
      history.set(samples, kept);
      const room = Math.ceil(samples.length / step) + 2;
      if (output.length < room) output = new Float32Array(room);

      const isWhole = (index: number) => baseOf(index) + taps <= length;
      // Rounding may put the estimate off by one.
      let end = Math.max(produced, Math.ceil((length - taps + reach + firstIndex) / step));
      while (end > produced && !isWhole(end - 1)) end--;
      while (isWhole(end)) end++;
      const count = end - produced;
      // Where the rates have no common cycle, every output has a response of its own.
      const by = phases === cycle ? phases : Math.max(1, count);
      const stride = Math.round(by * step);
      for (let first = 0; first < Math.min(by, count); first++) {
        const index = produced + first;
        const time = index * step;
        const row = Math.round((time - Math.floor(time + 1e-9)) * phases) * taps;
        filterAlike(row, baseOf(index), stride, first, by, count);
      }
      produced += count;

      const consumed = Math.min(Math.max(0, baseOf(produced)), length);
      history.copyWithin(0, consumed, length);
      kept = length - consumed;
      firstIndex += consumed;
      return output.subarray(0, count);
    },
  };
}
