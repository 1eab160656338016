import { describe, expect, it } from 'vitest';
import { type NoiseStage, applyChannel } from '../../src/channel/index.js';
import {
  bandPower,
  correlation,
  kolmogorov,
  meanSquare,
  normalDistribution,
  powerDensity,
  sineLevelDb,
  toDb,
} from './measure.js';

const sampleRate = 12_000;
const silence = new Float32Array(60 * sampleRate);
const signalLevelDb = sineLevelDb(0.5);

function noiseAlone(stage: Omit<NoiseStage, 'kind'>, seed = 1, rate = sampleRate): Float32Array {
  return applyChannel(silence, {
    sampleRate: rate,
    seed,
    signalLevelDb,
    stages: [{ kind: 'noise', ...stage }],
  });
}

describe('noise power', () => {
  it.each([{ snrDb: 10 }, { snrDb: -5 }, { snrDb: 20, bandwidthHz: 300 }, { snrDb: 0, bandwidthHz: 2400 }])(
    'lies the stated SNR below the signal within the stated bandwidth: %o',
    (stage) => {
      const density = powerDensity(noiseAlone(stage), sampleRate);
      const bandwidth = stage.bandwidthHz ?? 3000;
      for (const low of [0, 1500, 3000]) {
        const noise = toDb(bandPower(density, sampleRate, low, low + bandwidth));
        expect(Math.abs(signalLevelDb - noise - stage.snrDb)).toBeLessThan(0.1);
      }
    },
  );

  it('does not depend on the sample rate', () => {
    for (const rate of [8000, 11_025, 48_000]) {
      const density = powerDensity(noiseAlone({ snrDb: 10 }, 2, rate), rate);
      expect(Math.abs(signalLevelDb - toDb(bandPower(density, rate, 0, 3000)) - 10)).toBeLessThan(0.1);
    }
  });

  it('keeps Eb/N0: 12 dB at 100 bit/s is −2.77 dB of SNR in 3 kHz', () => {
    // Eb/N0 = SNR · bandwidth / bit rate: 12 dB − 10·log10(3000/100) = −2.7712 dB.
    const density = powerDensity(noiseAlone({ ebN0Db: 12 }), sampleRate);
    const snr = signalLevelDb - toDb(bandPower(density, sampleRate, 0, 3000));
    expect(Math.abs(snr - -2.7712)).toBeLessThan(0.1);
    // 12 dB at 1200 bit/s: 12 dB − 10·log10(3000/1200) = 8.0206 dB.
    const fast = powerDensity(noiseAlone({ ebN0Db: 12, bitRate: 1200 }), sampleRate);
    expect(Math.abs(signalLevelDb - toDb(bandPower(fast, sampleRate, 0, 3000)) - 8.0206)).toBeLessThan(0.1);
  });

  it('keeps an absolute level, whatever the signal', () => {
    const density = powerDensity(noiseAlone({ absoluteDb: -40 }), sampleRate);
    expect(Math.abs(toDb(bandPower(density, sampleRate, 0, 3000)) - -40)).toBeLessThan(0.1);
  });
});

describe('noise quality', () => {
  // Level of noise of variance 1 within 3 kHz, at 12 kHz: half of it, −3.01 dB.
  const samples = noiseAlone({ absoluteDb: 10 * Math.log10(0.5) }, 7);

  it('is Gaussian', () => {
    expect(meanSquare(samples)).toBeCloseTo(1, 2);
    expect(kolmogorov([...samples.subarray(0, 200_000)], normalDistribution)).toBeLessThan(1.63);
    const fourth = samples.reduce((sum, x) => sum + x ** 4, 0) / samples.length;
    expect(Math.abs(fourth - 3)).toBeLessThan(0.04);
  });

  it('reaches the tails as often as a Gaussian does', () => {
    // P(|x| > 3.5) = 4.6526e-4, P(|x| > 4) = 6.3342e-5 (tables of the normal distribution).
    for (const [limit, probability] of [
      [3.5, 4.6526e-4],
      [4, 6.3342e-5],
    ]) {
      const count = samples.reduce((sum, x) => sum + (Math.abs(x) > limit ? 1 : 0), 0);
      const expected = probability * samples.length;
      expect(Math.abs(count - expected)).toBeLessThan(3 * Math.sqrt(expected));
    }
  });

  it('is white: samples apart are independent', () => {
    const limit = 4 / Math.sqrt(samples.length);
    for (const lag of [1, 2, 3, 7, 128, 1000]) {
      expect(Math.abs(correlation(samples.subarray(lag), samples.subarray(0, -lag)))).toBeLessThan(limit);
    }
    const squares = samples.map((x) => x * x - 1);
    expect(Math.abs(correlation(squares.subarray(1), squares.subarray(0, -1)))).toBeLessThan(limit);
  });

  it('differs between seeds, and between two noise stages of one chain', () => {
    const limit = 4 / Math.sqrt(samples.length);
    expect(Math.abs(correlation(samples, noiseAlone({ absoluteDb: 0 }, 8)))).toBeLessThan(limit);
    const stage: NoiseStage = { kind: 'noise', absoluteDb: 0 };
    const one = applyChannel(silence, { sampleRate, seed: 1, stages: [stage] });
    const two = applyChannel(silence, { sampleRate, seed: 1, stages: [stage, stage] });
    const second = two.map((x, i) => x - one[i]);
    expect(Math.abs(correlation(one, second))).toBeLessThan(limit);
  });
});
