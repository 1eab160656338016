/**
 * The signal-to-noise ratio of a call that has been decided: what is left when the tone sent is taken away is noise.
 *
 * Only bits between two of their own kind are measured. There the tone stands still, and neither the filters' answer
 * to a change of tone nor an error of the timing is taken for noise.
 */
import { LEAST_CERTAINTY } from '../calls/index.js';
import type { Baseband } from '../dsp/index.js';
import { airSlots } from '../frames/index.js';
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import { symbolSigns } from './phasingsequence.js';
import { WORKING_PASS, WORKING_RATE, WORKING_STOP, type BandParameters } from './bandparameters.js';
import type { Lock } from './synchronise.js';

/** Bandwidth that the ratio refers to, hertz. */
const NOISE_BANDWIDTH = 3000;

/** Complex numbers, one after the other. */
interface Complex {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** `count` samples of a steady tone, the phase being 0 at the first. */
function steadyTone(radiansPerSample: number, count: number): Complex {
  const angles = Float64Array.from({ length: count }, (_, n) => radiansPerSample * n);
  return { re: angles.map(Math.cos), im: angles.map(Math.sin) };
}

/** Σ a · conj(b). */
function inner(a: Complex, b: Complex): { re: number; im: number } {
  const sum = { re: 0, im: 0 };
  for (let n = 0; n < a.re.length; n++) {
    sum.re += a.re[n] * b.re[n] + a.im[n] * b.im[n];
    sum.im += a.im[n] * b.re[n] - a.re[n] * b.im[n];
  }
  return sum;
}

const energyOf = (a: Complex) => inner(a, a).re;

/** What of `a` is orthogonal to `b`. */
function without(a: Complex, b: Complex): Complex {
  const { re, im } = inner(a, b);
  const energy = energyOf(b);
  return {
    re: a.re.map((value, n) => value - (re * b.re[n] - im * b.im[n]) / energy),
    im: a.im.map((value, n) => value - (re * b.im[n] + im * b.re[n]) / energy),
  };
}

/** The share of a filter's output: energy of `x` along `b`. */
function along(x: Complex, b: Complex): number {
  const { re, im } = inner(x, b);
  return (re * re + im * im) / energyOf(b);
}

/** A filter's response from its pass band to its stop band: it falls as a cosine, near enough. */
function response(hz: number, pass: number, stop: number): number {
  const fall = Math.min(1, Math.max(0, (hz - pass) / (stop - pass)));
  return (1 + Math.cos(Math.PI * fall)) / 2;
}

const NOISE_STEPS = 64;

/** How much of white noise the filters leave in a direction, about 0–1; what folds back at the working rate counts. */
function noiseGain(direction: Complex, { rate, centreHz }: Baseband, { pass, stop }: BandParameters): number {
  let [passed, all] = [0, 0];
  for (let step = 0; step < NOISE_STEPS; step++) {
    const cycles = (step + 0.5) / NOISE_STEPS - 0.5;
    const energy = along(direction, steadyTone(2 * Math.PI * cycles, direction.re.length));
    const audioHz = Math.abs(centreHz + cycles * rate);
    const working = [audioHz, WORKING_RATE - audioHz].map((hz) => response(hz, WORKING_PASS, WORKING_STOP));
    const power = working[0] ** 2 + working[1] ** 2;
    passed += energy * power * response(Math.abs(cycles * rate), pass, stop) ** 2;
    all += energy;
  }
  return passed / all;
}

/** Energy along the tone sent and noise energy in each of as many dimensions, of `count` samples from `first` on. */
type Measure = (first: number, count: number) => { sent: number; noise: number };

/**
 * Measures one of the tones. The noise is taken at the other one, in the direction that neither the tone sent nor one
 * a little off in frequency reaches.
 */
function createMeasure(
  baseband: Baseband,
  parameters: BandParameters,
  sentHz: number,
  otherHz: number,
): Measure {
  const radians = (hz: number) => (2 * Math.PI * (hz - baseband.centreHz)) / baseband.rate;
  const directions = (count: number) => {
    const tone = steadyTone(radians(sentHz), count);
    const ramp = (values: Float64Array) => values.map((value, n) => value * (n - (count - 1) / 2));
    const slope = { re: ramp(tone.re), im: ramp(tone.im) };
    const noise = without(without(steadyTone(radians(otherHz), count), tone), slope);
    return { tone, noise, gain: noiseGain(noise, baseband, parameters) };
  };
  const known = new Map<number, ReturnType<typeof directions>>();
  return (first, count) => {
    const { tone, noise, gain } = known.get(count) ?? directions(count);
    known.set(count, { tone, noise, gain });
    const samples = {
      re: Float64Array.from(baseband.re.subarray(first, first + count)),
      im: Float64Array.from(baseband.im.subarray(first, first + count)),
    };
    return { sent: along(samples, tone), noise: along(samples, noise) / gain };
  };
}

/** Above this ratio, dB, what a narrow filter still makes of an earlier change of tone would count as noise. */
const STRONG = 25;

/**
 * Signal-to-noise ratio in 3 kHz, dB.
 *
 * @param sent - for each bit from the phasing on +1 for B, −1 for Y, 0 where it is not known
 * @returns NaN where no bit lies between enough of its kind
 */
export function measureSnr(
  baseband: Baseband,
  parameters: BandParameters,
  lock: Lock,
  sent: Int8Array,
): number {
  const half = (lock.inverted ? -1 : 1) * (parameters.modulation.shiftHz / 2);
  const [upper, lower] = [lock.centreHz + half, lock.centreHz - half];
  const measureB = createMeasure(baseband, parameters, upper, lower);
  const measureY = createMeasure(baseband, parameters, lower, upper);
  const { start, samplesPerBit } = lock.timing;

  const ratioOver = (neighbours: number): number => {
    let [power, noise] = [0, 0];
    for (let bit = neighbours; bit + neighbours < sent.length; bit++) {
      const sign = sent[bit];
      const around = sent.subarray(bit - neighbours, bit + neighbours + 1);
      if (sign === 0 || around.some((other) => other !== sign)) continue;
      const first = Math.ceil(start + bit * samplesPerBit);
      const count = Math.floor(start + (bit + 1) * samplesPerBit) - first;
      if (first < 0 || first + count > baseband.re.length) continue;
      const measured = (sign > 0 ? measureB : measureY)(first, count);
      power += (measured.sent - measured.noise) / count;
      noise += measured.noise;
    }
    const ratio = (Math.max(power, 0) * samplesPerBit) / noise;
    return 10 * Math.log10((Math.max(ratio, 1e-6) * parameters.modulation.baud) / NOISE_BANDWIDTH);
  };

  const snrDb = ratioOver(1);
  return snrDb > STRONG && parameters.settling > 1 ? ratioOver(parameters.settling) : snrDb;
}

/** The signs of a call's bits from its phasing on: +1 for B, −1 for Y, 0 where the character is not certain. */
export function sentSigns(symbols: readonly number[], certainty: readonly number[]): Int8Array {
  const slots = airSlots(symbols);
  const signs = new Int8Array(slots.length * BITS_PER_SYMBOL);
  const eos = symbols.length - 2;
  slots.forEach(({ symbol, character }, slot) => {
    // The format specifier is sent twice, the end of sequence again behind the error check.
    const place =
      character === undefined ? undefined : character > eos + 2 ? eos : Math.max(0, character - 1);
    if (place !== undefined && certainty[place] < LEAST_CERTAINTY) return;
    signs.set(symbolSigns(symbol), slot * BITS_PER_SYMBOL);
  });
  return signs;
}
