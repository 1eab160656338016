/** Pulses of known rate, as a time signal gives them. */
import { Random } from '../../src/dsp/index.js';

/** Samples per second. */
export const sampleRate = 48_000;

/** Pulses of a millisecond, as a coupling capacitor lets them through, counted by a clock so many ppm fast. */
export function pulses(
  pulsesHz: number,
  seconds: number,
  ppm: number,
  noise: number,
  missing: readonly number[] = [],
) {
  const random = new Random(3, 'noise');
  const samples = Float32Array.from({ length: seconds * sampleRate }, () => noise * random.gaussian());
  const step = (sampleRate / pulsesHz) * (1 + ppm * 1e-6);
  for (let i = 0; (i + 0.4) * step < samples.length; i++) {
    if (missing.includes(i)) continue;
    const at = (i + 0.3137) * step;
    for (let n = Math.floor(at) - 40; n < at + 200; n++) {
      if (n < 0 || n >= samples.length) continue;
      const rising = 1 / (1 + Math.exp(-(n - at) / 1.5));
      samples[n] += 0.5 * rising * Math.exp(-Math.max(0, n - at) / 20);
    }
  }
  return samples;
}
