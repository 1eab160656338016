/** A single tone against the Cramér–Rao bound, and clocks. */
import { describe, expect, it } from 'vitest';
import { Random } from '../../src/dsp/index.js';
import { clockFromTone, clockWithin, withClock } from '../../src/measure/index.js';
import { fitTone } from '../../src/measure/tone.js';

describe('a single tone', () => {
  const sampleRate = 8000;
  const count = 4000;
  const amplitude = 0.3;
  const deviation = 0.1;
  const tone = (hz: number, seed: number) => {
    const noise = new Random(seed, 'tone');
    return Float32Array.from(
      { length: count },
      (_, n) =>
        amplitude * Math.sin((2 * Math.PI * hz * n) / sampleRate + seed) + deviation * noise.gaussian(),
    );
  };
  // Rife and Boorstyn 1974: var(ω) = 12σ²·2 / (A²·N(N² − 1)) for a real tone; var(A) = 2σ²/N.
  const hzBound =
    (Math.sqrt((24 * deviation ** 2) / (amplitude ** 2 * count * (count ** 2 - 1))) * sampleRate) /
    (2 * Math.PI);
  const amplitudeBound = Math.sqrt((2 * deviation ** 2) / count);

  it('has the closed form of the bound as its uncertainty', () => {
    const found = fitTone(tone(1000.3, 1), sampleRate, 1000);
    expect(((found?.frequencyError ?? 0) * deviation) / hzBound).toBeCloseTo(1, 2);
    expect(((found?.amplitudeError ?? 0) * deviation) / amplitudeBound).toBeCloseTo(1, 2);
  });

  it('is found as exactly as the bound allows', () => {
    const errors = Array.from({ length: 60 }, (_, seed) => {
      const found = fitTone(tone(1000.3, seed), sampleRate, 1000);
      return ((found?.frequencyHz ?? NaN) - 1000.3) / hzBound;
    });
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length);
    expect(rms).toBeGreaterThan(0.75);
    expect(rms).toBeLessThan(1.25);
  });

  it('tells what the clock is off', () => {
    // A clock 50 ppm fast counts 1000 Hz as 999.95 Hz.
    const clock = clockFromTone(tone(1000 / (1 + 50e-6), 3), sampleRate, 1000);
    expect(Math.abs(clock.value - 50)).toBeLessThan(3 * clock.uncertainty);
    expect(clock.uncertainty).toBeCloseTo((1e6 * hzBound) / 1000, 0);
  });

  it('is missed where it is not', () => {
    const noise = new Random(1, 'noise alone');
    const samples = Float32Array.from({ length: count }, () => noise.gaussian());
    expect(() => clockFromTone(samples, sampleRate, 1000)).toThrow(
      'referenceHz: got 1000, expected a steady tone',
    );
    expect(() => clockFromTone(tone(1000, 1).subarray(0, 3000), sampleRate, 1000)).toThrow('at least 0.5 s');
  });
});

describe('the clock', () => {
  it('within limits has the standard deviation of a uniform distribution', () => {
    // Half the width over the root of three (JCGM 100:2008 4.3.7, from memory).
    expect(clockWithin(30).uncertainty).toBeCloseTo(17.32, 2);
    expect(() => clockWithin(-1)).toThrow('clockPpm');
  });

  it('is taken out of frequencies and rates, and adds its doubt', () => {
    const figures = {
      centreHz: { value: 1700, uncertainty: 0.03 },
      rateErrorPpm: { value: 10, uncertainty: 3 },
      dots: { value: 200, uncertainty: 0 },
    };
    const { centreHz, rateErrorPpm, dots } = withClock(figures, { value: 20, uncertainty: 4 });
    // 1700 Hz · 20 ppm = 0.034 Hz; 1700 · 4 ppm = 0.0068 Hz beside 0.03 Hz; 3 and 4 make 5.
    expect(centreHz?.value).toBeCloseTo(1700.034, 6);
    expect(centreHz?.uncertainty).toBeCloseTo(Math.hypot(0.03, 0.0068), 6);
    expect(rateErrorPpm?.value).toBeCloseTo(30, 2);
    expect(rateErrorPpm?.uncertainty).toBeCloseTo(5, 9);
    expect(dots).toEqual({ value: 200, uncertainty: 0 });
  });
});
