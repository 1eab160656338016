import { describe, expect, it } from 'vitest';
import { FADING_CONDITIONS, type FadingStage, applyChannel } from '../../src/channel/index.js';
import { correlation, kolmogorov, meanSquare, phasor, tone } from './measure.js';

const sampleRate = 4000;
const AMPLITUDE = 0.5;

/** The complex gain of the channel at a frequency, `rate` times a second. */
function gains(
  fading: Omit<FadingStage, 'kind'>,
  frequencies: readonly number[],
  seconds: number,
  rate: number,
  seed: number,
): { re: Float64Array; im: Float64Array }[] {
  const input = new Float32Array(seconds * sampleRate);
  for (const frequency of frequencies) {
    tone(sampleRate, frequency, seconds, AMPLITUDE, 0).forEach((x, i) => (input[i] += x));
  }
  const output = applyChannel(input, { sampleRate, seed, stages: [{ kind: 'fading', ...fading }] });
  const step = sampleRate / rate;
  return frequencies.map((frequency) => {
    const count = seconds * rate;
    const re = new Float64Array(count);
    const im = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const gain = phasor(output, sampleRate, frequency, k * step, (k + 1) * step);
      re[k] = gain.re / AMPLITUDE;
      im[k] = gain.im / AMPLITUDE;
    }
    return { re, im };
  });
}

function autocorrelation(re: Float64Array, im: Float64Array, lag: number): number {
  let sum = 0;
  let power = 0;
  for (let k = 0; k + lag < re.length; k++) {
    sum += re[k] * re[k + lag] + im[k] * im[k + lag];
    power += re[k] ** 2 + im[k] ** 2;
  }
  return sum / power;
}

describe('one fading path', () => {
  const spreadHz = 8;
  const rate = 200;
  const seconds = 625;
  const [{ re, im }] = gains({ paths: [{ spreadHz }] }, [1000], seconds, rate, 3);
  const power = re.map((x, k) => x * x + im[k] * im[k]);

  it('has Rayleigh distributed amplitude', () => {
    // At 0.175 s the autocorrelation exp(−2(π·4·0.175)²) is below 1e−4: samples that far apart are independent.
    const apart = [...power].filter((_, k) => k % 35 === 0);
    // Rayleigh with mean square 1: P(|h|² ≤ x) = 1 − exp(−x).
    expect(apart.length).toBeGreaterThan(3500);
    expect(kolmogorov(apart, (x) => 1 - Math.exp(-x))).toBeLessThan(1.63);
  });

  it('has uniformly distributed phase', () => {
    const turns = [...re].map((x, k) => Math.atan2(im[k], x) / (2 * Math.PI) + 0.5);
    expect(
      kolmogorov(
        turns.filter((_, k) => k % 35 === 0),
        (x) => x,
      ),
    ).toBeLessThan(1.63);
  });

  it('has a Gaussian Doppler spectrum: autocorrelation exp(−2(πστ)²) with spread = 2σ', () => {
    const sigma = spreadHz / 2;
    for (let lag = 1; lag <= 40; lag++) {
      const tau = lag / rate;
      expect(
        Math.abs(autocorrelation(re, im, lag) - Math.exp(-2 * (Math.PI * sigma * tau) ** 2)),
      ).toBeLessThan(0.04);
    }
    // σ fitted where the slope is steepest: τ = 0.04 s, R = 0.603.
    const fitted = Math.sqrt(-Math.log(autocorrelation(re, im, 8)) / 2) / (Math.PI * 0.04);
    expect(Math.abs(fitted / sigma - 1)).toBeLessThan(0.03);
  });

  it('keeps the mean power', () => {
    // Independent fades in 625 s: about 625·2σ·√π = 8900, so one standard deviation is 1.1 %.
    expect(Math.abs(meanSquare(re) + meanSquare(im) - 1)).toBeLessThan(0.03);
  });

  it('crosses its root mean square level downwards 2√π·σ·e⁻¹ times a second', () => {
    // Rice (1948, from memory): N = √(b₂/πb₀)·ρ·exp(−ρ²), where b₂/b₀ = (2πσ)² for a Gaussian spectrum, and ρ = 1.
    let crossings = 0;
    for (let k = 1; k < power.length; k++) if (power[k - 1] >= 1 && power[k] < 1) crossings++;
    const expected = 2 * Math.sqrt(Math.PI) * (spreadHz / 2) * Math.exp(-1);
    expect(Math.abs(crossings / seconds / expected - 1)).toBeLessThan(0.05);
  });

  it.each([30, 10])('keeps the Doppler spectrum at a spread of %i Hz', (fast) => {
    const [h] = gains({ paths: [{ spreadHz: fast }] }, [1000], 200, 200, 4);
    for (const lag of [1, 2, 4, 8, 16, 32]) {
      const theory = Math.exp(-2 * ((Math.PI * (fast / 2) * lag) / 200) ** 2);
      expect(Math.abs(autocorrelation(h.re, h.im, lag) - theory)).toBeLessThan(0.06);
    }
  });
});

describe('two fading paths', () => {
  // Through paths 1 ms apart a tone at 1000 Hz has the gain h1 + h2 and one at 1500 Hz h1 − h2.
  const [sum, difference] = gains(
    { paths: [{ spreadHz: 4 }, { delayMs: 1, spreadHz: 4 }] },
    [1000, 1500],
    1000,
    100,
    5,
  );
  const first = {
    re: sum.re.map((x, k) => (x + difference.re[k]) / 2),
    im: sum.im.map((x, k) => (x + difference.im[k]) / 2),
  };
  const second = {
    re: sum.re.map((x, k) => (x - difference.re[k]) / 2),
    im: sum.im.map((x, k) => (x - difference.im[k]) / 2),
  };

  it('fade independently', () => {
    // Some 7000 independent fades: one standard deviation of a correlation is 1.2 %.
    for (const a of [first.re, first.im]) {
      for (const b of [second.re, second.im]) expect(Math.abs(correlation(a, b))).toBeLessThan(0.04);
    }
    expect(Math.abs(correlation(first.re, first.im))).toBeLessThan(0.04);
    expect(Math.abs(correlation(sum.re, difference.re))).toBeLessThan(0.04);
  });

  it('have equal power that adds up to the power of the signal', () => {
    const powers = [first, second].map(({ re, im }) => meanSquare(re) + meanSquare(im));
    for (const power of powers) expect(Math.abs(power - 0.5)).toBeLessThan(0.025);
    expect(Math.abs(powers[0] + powers[1] - 1)).toBeLessThan(0.03);
  });
});

describe('paths of one’s own', () => {
  it('share the power by their levels', () => {
    // Steady paths of 0 and −6.0206 dB 1 ms apart: amplitudes 2/√5 and 1/√5, in phase at 1000 Hz, opposed at 1500 Hz.
    const paths = [{}, { delayMs: 1, levelDb: 20 * Math.log10(0.5) }];
    const [together, opposed] = gains({ paths }, [1000, 1500], 4, 2, 1);
    expect(together.re[3]).toBeCloseTo(3 / Math.sqrt(5), 4);
    expect(opposed.re[3]).toBeCloseTo(1 / Math.sqrt(5), 4);
    expect(together.im[3]).toBeCloseTo(0, 4);
  });

  it('delay the signal to the sample, and lengthen it by the longest path', () => {
    const input = new Float32Array(400);
    input[100] = 1;
    const stages: FadingStage[] = [{ kind: 'fading', paths: [{}, { delayMs: 7 }] }];
    const output = applyChannel(input, { sampleRate, stages });
    expect(output.length).toBe(400 + 28);
    const peaks = [...output.keys()].filter((i) => Math.abs(output[i]) > 1e-9);
    expect(peaks).toEqual([100, 128]);
    expect(output[128]).toBeCloseTo(Math.SQRT1_2, 6);
  });

  it('delay by fractions of a sample', () => {
    // 0.6 ms at 4000 Hz are 2.4 samples: at 700 Hz a phase of −2π·700·0.0006.
    const [h] = gains({ paths: [{ delayMs: 0.6 }] }, [700], 2, 2, 1);
    expect(Math.atan2(h.im[2], h.re[2]) / (2 * Math.PI)).toBeCloseTo(-0.42, 5);
    expect(Math.hypot(h.re[2], h.im[2])).toBeCloseTo(1, 4);
  });

  it('shift by Doppler', () => {
    const [h] = gains({ paths: [{ shiftHz: 0.25 }] }, [700], 6, 10, 1);
    const turned = Math.atan2(h.im[40], h.re[40]) - Math.atan2(h.im[30], h.re[30]);
    expect((((turned / (2 * Math.PI)) % 1) + 1) % 1).toBeCloseTo(0.25, 4);
  });
});

describe('the conditions of ITU-R F.1487', () => {
  it('are those of Annex 3 (from memory)', () => {
    const rows = Object.entries(FADING_CONDITIONS).map(([name, c]) => [name, c.delayMs, c.spreadHz]);
    expect(rows).toEqual([
      ['low-latitude-quiet', 0.5, 0.5],
      ['low-latitude-moderate', 2, 1.5],
      ['low-latitude-disturbed', 6, 10],
      ['mid-latitude-quiet', 0.5, 0.1],
      ['mid-latitude-moderate', 1, 0.5],
      ['mid-latitude-disturbed', 2, 1],
      ['mid-latitude-disturbed-nvis', 7, 1],
      ['high-latitude-quiet', 1, 0.5],
      ['high-latitude-moderate', 3, 10],
      ['high-latitude-disturbed', 7, 30],
    ]);
  });

  it('are two equal paths: the same as written out', () => {
    const input = tone(sampleRate, 900, 2);
    const named = applyChannel(input, {
      sampleRate,
      seed: 9,
      stages: [{ kind: 'fading', condition: 'mid-latitude-disturbed' }],
    });
    const written = applyChannel(input, {
      sampleRate,
      seed: 9,
      stages: [{ kind: 'fading', paths: [{ spreadHz: 1 }, { delayMs: 2, spreadHz: 1 }] }],
    });
    expect(written).toEqual(named);
    expect(named.length).toBe(input.length + 8);
  });
});
