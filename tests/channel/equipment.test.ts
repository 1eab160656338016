import { describe, expect, it } from 'vitest';
import { type ChannelStage, applyChannel } from '../../src/channel/index.js';
import { bandPower, meanSquare, phasor, powerDensity, sineLevelDb, toDb, tone } from './measure.js';

const sampleRate = 12_000;
const signalLevelDb = sineLevelDb(0.5);

function pass(input: Float32Array, ...stages: ChannelStage[]): Float32Array {
  return applyChannel(input, { sampleRate, signalLevelDb, stages });
}

function responseDb(frequency: number, stage: ChannelStage): number {
  const output = pass(tone(sampleRate, frequency, 1, 1), stage);
  const { re, im } = phasor(output, sampleRate, frequency, 2000, 10_000);
  return 20 * Math.log10(Math.hypot(re, im));
}

describe('passband', () => {
  it('is 6 dB down at 300 and 2700 Hz, flat between and 60 dB down outside', () => {
    const stage: ChannelStage = { kind: 'passband' };
    for (const edge of [300, 2700]) expect(Math.abs(responseDb(edge, stage) - -6.02)).toBeLessThan(0.1);
    for (const inside of [400, 1000, 1700, 2600])
      expect(Math.abs(responseDb(inside, stage))).toBeLessThan(0.02);
    for (const outside of [50, 200, 2800, 4000, 5900]) expect(responseDb(outside, stage)).toBeLessThan(-58);
  });

  it('takes edges, transition and attenuation of one’s own', () => {
    const stage: ChannelStage = {
      kind: 'passband',
      lowHz: 1500,
      highHz: 1900,
      transitionHz: 60,
      attenuationDb: 80,
    };
    for (const edge of [1500, 1900]) expect(Math.abs(responseDb(edge, stage) - -6.02)).toBeLessThan(0.1);
    for (const inside of [1530, 1870]) expect(Math.abs(responseDb(inside, stage))).toBeLessThan(0.01);
    for (const outside of [1470, 1930]) expect(responseDb(outside, stage)).toBeLessThan(-75);
  });

  it('neither delays nor lengthens', () => {
    const impulse = new Float32Array(2000);
    impulse[700] = 1;
    const output = pass(impulse, { kind: 'passband' });
    expect(output.length).toBe(2000);
    expect(output.indexOf(Math.max(...output))).toBe(700);
    for (let k = 1; k < 200; k++) expect(output[700 + k]).toBe(output[700 - k]);
  });

  it('passes the noise of its own width: 2400 Hz of 6000 Hz', () => {
    const output = pass(
      new Float32Array(20 * sampleRate),
      { kind: 'noise', absoluteDb: 0 },
      { kind: 'passband' },
    );
    // 0 dB in 3 kHz is −0.97 dB in 2.4 kHz.
    expect(Math.abs(toDb(meanSquare(output)) - 10 * Math.log10(0.8))).toBeLessThan(0.1);
  });
});

describe('automatic gain control', () => {
  const stage: ChannelStage = { kind: 'agc', targetDb: -15, attackMs: 5, decayMs: 500, maxGainDb: 60 };

  it('brings tones of all levels to the target', () => {
    for (const amplitude of [0.003, 0.03, 0.3, 1]) {
      const output = pass(tone(sampleRate, 1700, 8, amplitude), stage);
      expect(Math.abs(toDb(meanSquare(output, 7 * sampleRate)) - -15)).toBeLessThan(1);
    }
  });

  it('does not exceed its greatest gain', () => {
    const output = pass(tone(sampleRate, 1700, 8, 0.001), { ...stage, maxGainDb: 20 });
    expect(toDb(meanSquare(output, 7 * sampleRate)) - sineLevelDb(0.001)).toBeCloseTo(20, 2);
  });

  it('recovers by 8.69 dB in a decay time after a strong burst', () => {
    // 1 s at 0.5, then a tone 60 dB down, whose rise shows the gain: exp(t/500 ms).
    const input = tone(sampleRate, 1700, 3, 0.5);
    for (let n = sampleRate; n < input.length; n++) input[n] *= 0.001;
    const output = pass(input, stage);
    const level = (second: number): number => {
      const at = Math.round(second * sampleRate);
      return toDb(meanSquare(output, at, at + 240));
    };
    expect(level(1.6) - level(1.1)).toBeCloseTo(8.686, 1);
    expect(level(2.4) - level(1.4)).toBeCloseTo(17.372, 1);
  });

  it('hangs before it recovers', () => {
    const input = tone(sampleRate, 1700, 3, 0.5);
    for (let n = sampleRate; n < input.length; n++) input[n] *= 0.001;
    const output = pass(input, { ...stage, hangMs: 400 });
    const level = (second: number): number => {
      const at = Math.round(second * sampleRate);
      return toDb(meanSquare(output, at, at + 240));
    };
    expect(level(1.35)).toBeCloseTo(level(1.05), 2);
    expect(level(2) - level(1.5)).toBeCloseTo(8.686, 1);
  });

  it('catches a burst within a few attack times', () => {
    const input = tone(sampleRate, 1700, 2, 0.5);
    for (let n = 0; n < sampleRate; n++) input[n] *= 0.1;
    const output = pass(input, stage);
    const burst = toDb(meanSquare(output, sampleRate, sampleRate + 24));
    const settled = toDb(meanSquare(output, sampleRate + 480, sampleRate + 720));
    expect(burst - settled).toBeGreaterThan(10);
    expect(Math.abs(settled - -15)).toBeLessThan(1.5);
  });
});

describe('clipping', () => {
  it('limits a tone at the stated number of dB below its peak', () => {
    // Peak 0.5, 6 dB over: 0.5 · 10^(−6/20) = 0.250594.
    const output = pass(tone(sampleRate, 1700, 1), { kind: 'clip', overDb: 6 });
    expect(Math.max(...output)).toBeCloseTo(0.250594, 5);
    expect(Math.min(...output)).toBeCloseTo(-0.250594, 5);
  });

  it('leaves a tone as it is that stays below the limit', () => {
    const input = tone(sampleRate, 1700, 1);
    expect(pass(input, { kind: 'clip', overDb: -0.01 })).toEqual(input);
    expect(pass(input, { kind: 'clip', limit: 0.51 })).toEqual(input);
  });

  it('makes a square wave of a tone far beyond: 3rd harmonic a third of the first', () => {
    const output = pass(tone(sampleRate, 61, 4), { kind: 'clip', overDb: 40 });
    const [first, third] = [61, 183].map((f) => {
      const { re, im } = phasor(output, sampleRate, f);
      return Math.hypot(re, im);
    });
    expect(third / first).toBeCloseTo(1 / 3, 2);
  });
});

describe('quantisation', () => {
  it('rounds to the nearest of 2^bits steps, and saturates', () => {
    const input = Float32Array.from([0, 0.124, 0.126, -0.126, 0.99, -0.99, 1.5, -1.5]);
    expect([...pass(input, { kind: 'quantise', bits: 3 })]).toEqual([0, 0, 0.25, -0.25, 0.75, -1, 0.75, -1]);
  });

  it('adds noise of a twelfth of a step squared', () => {
    const input = pass(new Float32Array(4 * sampleRate), { kind: 'noise', absoluteDb: -25 });
    const output = pass(input, { kind: 'quantise', bits: 8 });
    const error = meanSquare(output.map((x, i) => x - input[i]));
    expect(toDb(error / ((1 / 128) ** 2 / 12))).toBeCloseTo(0, 1);
  });

  it('keeps what is smaller than a step, with dither', () => {
    const input = tone(sampleRate, 1700, 20, 0.3 / 128);
    expect(pass(input, { kind: 'quantise', bits: 8 }).every((x) => x === 0)).toBe(true);
    const { re, im } = phasor(pass(input, { kind: 'quantise', bits: 8, dither: true }), sampleRate, 1700);
    expect(Math.hypot(re, im) / (0.3 / 128)).toBeCloseTo(1, 1);
  });
});

describe('gain and direct current', () => {
  it('steps at its time to the sample, and back', () => {
    const input = new Float32Array(3000).fill(0.5);
    const output = pass(input, { kind: 'gain', gainDb: -20, startSeconds: 0.1, stopSeconds: 0.2 });
    expect(output[1199]).toBe(0.5);
    expect(output[1200]).toBeCloseTo(0.05, 6);
    expect(output[2399]).toBeCloseTo(0.05, 6);
    expect(output[2400]).toBe(0.5);
  });

  it('adds the offset', () => {
    expect([...pass(Float32Array.from([0, -0.5]), { kind: 'dc', offset: 0.25 })]).toEqual([0.25, -0.25]);
  });
});

describe('inversion', () => {
  it('mirrors the spectrum about the pivot: 1615 and 1785 Hz change places', () => {
    const output = pass(tone(sampleRate, 1615, 3), { kind: 'inversion' });
    const density = powerDensity(output, sampleRate);
    expect(toDb(bandPower(density, sampleRate, 1765, 1805))).toBeCloseTo(signalLevelDb, 1);
    expect(toDb(bandPower(density, sampleRate, 1595, 1635))).toBeLessThan(-60);
  });
});
