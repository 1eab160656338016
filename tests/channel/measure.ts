/** Measuring instruments for the tests of the channel. */
import FFT from 'fft.js';

export function tone(
  sampleRate: number,
  frequencyHz: number,
  seconds: number,
  amplitude = 0.5,
  phase = 0.3,
): Float32Array {
  return Float32Array.from(
    { length: Math.round(seconds * sampleRate) },
    (_, n) => amplitude * Math.cos(2 * Math.PI * ((frequencyHz * n) / sampleRate) + phase),
  );
}

/** The level in dB of a sine: its mean square is half the square of its amplitude. */
export function sineLevelDb(amplitude: number): number {
  return 10 * Math.log10(amplitude ** 2 / 2);
}

export function meanSquare(samples: ArrayLike<number>, start = 0, end = samples.length): number {
  let sum = 0;
  for (let i = start; i < end; i++) sum += samples[i] ** 2;
  return sum / (end - start);
}

export function toDb(power: number): number {
  return 10 * Math.log10(power);
}

/** Welch's estimate of the one-sided power density: bin k, at k·sampleRate/size, per hertz. */
export function powerDensity(samples: Float32Array, sampleRate: number, size = 4096): Float64Array {
  const fft = new FFT(size);
  const window = Float64Array.from(
    { length: size },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size),
  );
  const energy = window.reduce((sum, w) => sum + w * w, 0);
  const density = new Float64Array(size / 2 + 1);
  const input = new Array<number>(size).fill(0);
  const output = fft.createComplexArray() as number[];
  let frames = 0;
  for (let start = 0; start + size <= samples.length; start += size / 2, frames++) {
    for (let i = 0; i < size; i++) input[i] = samples[start + i] * window[i];
    fft.realTransform(output, input);
    for (let k = 0; k <= size / 2; k++) density[k] += output[2 * k] ** 2 + output[2 * k + 1] ** 2;
  }
  return density.map((p, k) => ((k === 0 || k === size / 2 ? 1 : 2) * p) / (frames * energy * sampleRate));
}

/** Power between two frequencies, from a density. */
export function bandPower(density: Float64Array, sampleRate: number, lowHz: number, highHz: number): number {
  const step = sampleRate / 2 / (density.length - 1);
  let sum = 0;
  for (let k = 0; k < density.length; k++) {
    const overlap = Math.min(highHz, (k + 0.5) * step) - Math.max(lowHz, (k - 0.5) * step, 0);
    if (overlap > 0) sum += density[k] * overlap;
  }
  return sum;
}

/** Complex amplitude of a tone in samples start … end, with a Hann window: its real part belongs to a cosine. */
export function phasor(
  samples: ArrayLike<number>,
  sampleRate: number,
  frequencyHz: number,
  start = 0,
  end = samples.length,
): { re: number; im: number } {
  let re = 0;
  let im = 0;
  let weight = 0;
  const step = (2 * Math.PI * frequencyHz) / sampleRate;
  for (let i = start; i < end; i++) {
    const w = 1 - Math.cos((2 * Math.PI * (i - start + 0.5)) / (end - start));
    re += w * samples[i] * Math.cos(step * i);
    im -= w * samples[i] * Math.sin(step * i);
    weight += w;
  }
  return { re: (2 * re) / weight, im: (2 * im) / weight };
}

/** Frequency of the strongest tone: the peak of a windowed FFT, then a parabola through the logarithms around it. */
export function peakFrequency(samples: Float32Array, sampleRate: number): number {
  const size = 2 ** Math.floor(Math.log2(samples.length));
  const fft = new FFT(size);
  const input = Array.from(
    { length: size },
    (_, i) => samples[i] * Math.exp(-0.5 * ((i - size / 2) / (0.12 * size)) ** 2),
  );
  const output = fft.createComplexArray() as number[];
  fft.realTransform(output, input);
  const log = (k: number): number => Math.log(output[2 * k] ** 2 + output[2 * k + 1] ** 2);
  let peak = 1;
  for (let k = 1; k < size / 2 - 1; k++) if (log(k) > log(peak)) peak = k;
  const [a, b, c] = [log(peak - 1), log(peak), log(peak + 1)];
  return ((peak + (a - c) / (2 * (a - 2 * b + c))) * sampleRate) / size;
}

/** Kolmogorov's statistic √n·D of a sample against a distribution function. Beyond 1.63 lies 1 % of true samples. */
export function kolmogorov(values: readonly number[], distribution: (x: number) => number): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  let largest = 0;
  sorted.forEach((x, i) => {
    const f = distribution(x);
    largest = Math.max(largest, f - i / n, (i + 1) / n - f);
  });
  return Math.sqrt(n) * largest;
}

/** Normal distribution function, by the series of Marsaglia, "Evaluating the normal distribution" (2004; from memory). */
export function normalDistribution(x: number): number {
  if (x < -8) return 0;
  if (x > 8) return 1;
  let term = x;
  let sum = x;
  for (let k = 3; Math.abs(term) > 1e-17; k += 2) {
    term *= (x * x) / k;
    sum += term;
  }
  return 0.5 + (sum * Math.exp(-0.5 * x * x)) / Math.sqrt(2 * Math.PI);
}

/** Correlation coefficient. */
export function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let i = 0; i < a.length; i++) {
    ab += a[i] * b[i];
    aa += a[i] * a[i];
    bb += b[i] * b[i];
  }
  return ab / Math.sqrt(aa * bb);
}
