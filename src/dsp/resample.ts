/**
 * Samples from one rate to a lower one, as a stream.
 */
import { requireNumber } from '../errors.js';
import { designLowPass } from './filterdesign.js';
import { createFilterSums } from './filtersums.js';

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

/** Samples taken at a time, so that what is worked on stays small. */
const BLOCK = 4096;

function gcd(a: number, b: number): number {
  return b < 1e-9 ? a : gcd(b, a % b);
}

/**
 * One polyphase filter; where the ratio of rates needs more than 512 phases the nearest one is taken.
 *
 * @param isPlain - whether to do without vector instructions where they can be had
 */
export function createResampler(options: ResamplerOptions, isPlain = false): Resampler {
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
  const historyAt = (phases + 1) * taps;
  const { numbers, sums, add } = createFilterSums(
    historyAt + taps + BLOCK,
    Math.ceil(BLOCK / step) + 2,
    isPlain,
  );
  // Row p holds the response for an output that lies p / phases after an input sample.
  for (let phase = 0; phase <= phases; phase++) {
    for (let tap = 0; tap < taps; tap++)
      numbers[phase * taps + tap] = filter.at(tap - reach + 1 - phase / phases);
  }

  let kept = reach - 1;
  let firstIndex = 1 - reach;
  let produced = 0;
  let output = new Float32Array(0);

  /** The input sample from which the response of an output begins, counted from the oldest one kept. */
  const baseOf = (index: number) => Math.floor(index * step + 1e-9) - reach + 1 - firstIndex;

  /** Takes at most a block. Returns how many sums there are. */
  function take(samples: Float32Array): number {
    const length = kept + samples.length;
    numbers.set(samples, historyAt + kept);

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
      add(row, taps, historyAt + baseOf(index), stride, first, by, Math.ceil((count - first) / by));
    }
    produced += count;

    const consumed = Math.min(Math.max(0, baseOf(produced)), length);
    numbers.copyWithin(historyAt, historyAt + consumed, historyAt + length);
    kept = length - consumed;
    firstIndex += consumed;
    return count;
  }

  return {
    push(samples) {
      if (samples.length <= BLOCK) return sums.subarray(0, take(samples));
      const room = Math.ceil(samples.length / step) + 2;
      if (output.length < room) output = new Float32Array(room);
      let length = 0;
      for (let at = 0; at < samples.length; at += BLOCK) {
        const count = take(samples.subarray(at, at + BLOCK));
        output.set(sums.subarray(0, count), length);
        length += count;
      }
      return output.subarray(0, length);
    },
  };
}
