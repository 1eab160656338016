/**
 * The clock's error from pulses whose rate is known, such as the one a second of a satellite receiver.
 */
import { SINC_REACH, SincReader } from '../dsp/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import type { Figure } from './figure.js';

/** A clock runs at most so far off. */
const SEARCH_PPM = 1000;
/** Fewer pulses tell too little. */
const LEAST_PULSES = 8;
/** A pulse stands this far out of the median of all magnitudes. */
const LEAST_RATIO = 12;
/** Of the highest pulse; what is lower is another thing. */
const LEAST_SHARE = 0.4;
/** Seconds about its highest sample by which a pulse is compared with the others. */
const SHAPE_SECONDS = 0.0015;
/** Rounds in which the mean pulse and the places of the pulses make each other better. */
const ROUNDS = 3;
/** Of places further than so many deviations from the line, the pulse counts as none. */
const FAR = 4;

/** The highest sample of each pulse, by magnitude. */
function peaksOf(samples: Float32Array, sampleRate: number, periodSeconds: number): number[] {
  const reach = Math.round((periodSeconds * sampleRate) / 2);
  const sizes = samples.map(Math.abs);
  let highest = 0;
  for (const size of sizes) highest = Math.max(highest, size);
  const sorted = sizes.filter((_, n) => n % 7 === 0).sort();
  const median = sorted[sorted.length >> 1];
  const threshold = Math.max(LEAST_RATIO * median, LEAST_SHARE * highest);
  const peaks: number[] = [];
  for (let n = 0; n < sizes.length; n++) {
    if (!(sizes[n] > threshold)) continue;
    let best = n;
    for (let m = n; m < Math.min(sizes.length, n + reach); m++) if (sizes[m] > sizes[best]) best = m;
    peaks.push(best);
    n = best + reach;
  }
  return peaks;
}

/** Samples about a place between samples. */
function around(samples: Float64Array, reader: SincReader, place: number, half: number): Float64Array {
  const whole = Math.floor(place);
  return Float64Array.from({ length: 2 * half + 1 }, (_, i) =>
    reader.read(samples, whole + i - half, place - whole),
  );
}

/** By how many samples a piece lies behind the shape, by least squares; NaN where it is another thing. */
function lag(piece: Float64Array, shape: Float64Array): number {
  let [slopes, gradient, cross, energy] = [0, 0, 0, 0];
  for (let n = 1; n + 1 < shape.length; n++) {
    cross += piece[n] * shape[n];
    energy += shape[n] ** 2;
  }
  const gain = cross / energy;
  if (!(gain > 0)) return NaN;
  for (let n = 1; n + 1 < shape.length; n++) {
    const slope = (gain * (shape[n + 1] - shape[n - 1])) / 2;
    gradient += slope * (gain * shape[n] - piece[n]);
    slopes += slope ** 2;
  }
  return gradient / slopes;
}

interface Line {
  readonly at: number;
  readonly step: number;
  /** Standard uncertainty of the step. */
  readonly stepError: number;
  readonly deviation: number;
}

/** A straight line through places by their numbers. */
function lineThrough(numbers: readonly number[], places: readonly number[]): Line {
  const count = numbers.length;
  const middle = numbers.reduce((sum, n) => sum + n, 0) / count;
  const mean = places.reduce((sum, place) => sum + place, 0) / count;
  let [square, cross] = [0, 0];
  for (let i = 0; i < count; i++) {
    square += (numbers[i] - middle) ** 2;
    cross += (numbers[i] - middle) * (places[i] - mean);
  }
  const step = cross / square;
  const at = mean - step * middle;
  let left = 0;
  for (let i = 0; i < count; i++) left += (places[i] - at - step * numbers[i]) ** 2;
  const deviation = Math.sqrt(left / (count - 2));
  return { at, step, stepError: deviation / Math.sqrt(square), deviation };
}

/**
 * The clock's error from pulses in the audio. Some may be missing; what else is in the audio must be lower than they.
 *
 * @param pulsesHz - their true rate, 0.1–50 a second
 * @returns parts per million by which the clock runs fast
 * @throws DotphaseError where there are no such pulses, within 1000 ppm
 */
export function clockFromPulses(samples: Float32Array, sampleRate: number, pulsesHz: number): Figure {
  requireNumber('referenceHz', pulsesHz, 0.1, 50, 'Hz');
  const missing = new DotphaseError(
    'referenceHz',
    pulsesHz,
    `at least ${LEAST_PULSES} pulses, so many a second within ${SEARCH_PPM} ppm, that stand out of all else in the recording`,
  );
  const period = sampleRate / pulsesHz;
  const half = Math.ceil(SHAPE_SECONDS * sampleRate);
  let places = peaksOf(samples, sampleRate, 1 / pulsesHz).filter(
    (place) => place > half + SINC_REACH && place + half + SINC_REACH < samples.length,
  );
  if (places.length < LEAST_PULSES) throw missing;
  const first = places[0];
  let numbers = places.map((place) => Math.round((place - first) / period));
  const isClose = places.every(
    (place, i) => Math.abs(place - first - numbers[i] * period) < 2 + numbers[i] * period * SEARCH_PPM * 1e-6,
  );
  if (!isClose || new Set(numbers).size < places.length) throw missing;
  const reader = new SincReader();
  const exact = Float64Array.from(samples);
  for (let round = 0; round < ROUNDS; round++) {
    const pieces = places.map((place) => around(exact, reader, place, half));
    const shape = pieces[0].map((_, n) => pieces.reduce((sum, piece) => sum + piece[n], 0) / pieces.length);
    const moved = places.map((place, i) => place + lag(pieces[i], shape));
    const line = lineThrough(
      numbers,
      moved.map((place, i) => (Number.isFinite(place) ? place : places[i])),
    );
    const isKept = moved.map(
      (place, i) =>
        Number.isFinite(place) &&
        Math.abs(place - line.at - line.step * numbers[i]) <= FAR * line.deviation + 1e-9,
    );
    places = moved.filter((_, i) => isKept[i]);
    numbers = numbers.filter((_, i) => isKept[i]);
    if (places.length < LEAST_PULSES) throw missing;
  }
  const { step, stepError } = lineThrough(numbers, places);
  const ppm = (step / period - 1) * 1e6;
  if (Math.abs(ppm) > SEARCH_PPM) throw missing;
  return { value: ppm, uncertainty: (1e6 * stepError) / period };
}
