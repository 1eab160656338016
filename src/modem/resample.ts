/**
 * Samples from one rate to a lower one, as a stream.
 */
import { requireNumber } from '../errors.js';
import { kaiserLowPass } from './kaiser.js';

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
  const filter = kaiserLowPass(
    (options.pass + options.stop) / 2 / from,
    (options.stop - options.pass) / from,
    options.attenuation ?? 50,
  );
  const reach = Math.ceil(filter.reach);
  const taps = 4 * Math.ceil(reach / 2);
  const phases = Math.min(MOST_PHASES, Math.round(to / gcd(from, to)));
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

      let count = 0;
      for (;;) {
        const time = produced * step;
        const whole = Math.floor(time + 1e-9);
        const base = whole - reach + 1 - firstIndex;
        if (base + taps > length) break;
        const row = Math.round((time - whole) * phases) * taps;
        // Four sums side by side: half the time of one (measured).
        let a = 0;
        let b = 0;
        let c = 0;
        let d = 0;
        for (let tap = 0; tap < taps; tap += 4) {
          a += rows[row + tap] * history[base + tap];
          b += rows[row + tap + 1] * history[base + tap + 1];
          c += rows[row + tap + 2] * history[base + tap + 2];
          d += rows[row + tap + 3] * history[base + tap + 3];
        }
        output[count++] = a + b + c + d;
        produced++;
      }

      const next = Math.max(0, Math.floor(produced * step + 1e-9) - reach + 1 - firstIndex);
      const consumed = Math.min(next, length);
      history.copyWithin(0, consumed, length);
      kept = length - consumed;
      firstIndex += consumed;
      return output.subarray(0, count);
    },
  };
}
