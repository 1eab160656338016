import { describe, expect, it } from 'vitest';
import { applyChannel } from '../../src/channel/index.js';
import { meanSquare, peakFrequency, phasor, tone } from './measure.js';

const sampleRate = 12_000;

describe('carrier offset', () => {
  it.each([20, -20.37, 350.5, -1000])('moves every tone by %f Hz', (offsetHz) => {
    for (const frequency of [1200, 2700]) {
      const output = applyChannel(tone(sampleRate, frequency, 11), {
        sampleRate,
        stages: [{ kind: 'offset', offsetHz }],
      });
      expect(Math.abs(peakFrequency(output, sampleRate) - frequency - offsetHz)).toBeLessThan(0.001);
    }
  });

  it('leaves less than a thousandth of the amplitude at the image, from 150 Hz to half the sample rate − 150 Hz', () => {
    for (const frequency of [150, 300, 1700, 3000, 5850]) {
      const output = applyChannel(tone(sampleRate, frequency, 4), {
        sampleRate,
        stages: [{ kind: 'offset', offsetHz: 60 }],
      });
      const wanted = phasor(output, sampleRate, frequency + 60, 6000, 42_000);
      const image = phasor(output, sampleRate, Math.abs(frequency - 60), 6000, 42_000);
      expect(Math.hypot(wanted.re, wanted.im)).toBeCloseTo(0.5, 3);
      expect(Math.hypot(image.re, image.im) / 0.5).toBeLessThan(1e-3);
    }
  });

  it('drifts linearly', () => {
    const output = applyChannel(tone(sampleRate, 1500, 40), {
      sampleRate,
      stages: [{ kind: 'offset', offsetHz: -10, driftHzPerSecond: 0.5 }],
    });
    // Over 4 s around time t the mean frequency is 1500 − 10 + 0.5·t.
    for (const t of [4, 20, 36]) {
      const part = output.subarray((t - 2) * sampleRate, (t + 2) * sampleRate);
      const size = 2 ** Math.floor(Math.log2(part.length));
      const middle = t - 2 + size / 2 / sampleRate;
      expect(Math.abs(peakFrequency(part, sampleRate) - (1490 + 0.5 * middle))).toBeLessThan(0.1);
    }
  });

  it('keeps the power and the length', () => {
    const input = tone(sampleRate, 1500, 3);
    const output = applyChannel(input, { sampleRate, stages: [{ kind: 'offset', offsetHz: 33 }] });
    expect(output.length).toBe(input.length);
    expect(meanSquare(output, 1000, 35_000)).toBeCloseTo(meanSquare(input, 1000, 35_000), 4);
  });
});

describe('clock error', () => {
  it.each([30, -30, 1, 20_000])('moves frequencies by %i ppm, to 1 ppm', (ppm) => {
    for (const frequency of [500, 4500]) {
      const output = applyChannel(tone(sampleRate, frequency, 22.3), {
        sampleRate,
        stages: [{ kind: 'clock', ppm }],
      });
      const measured = (peakFrequency(output, sampleRate) / frequency - 1) * 1e6;
      expect(Math.abs(measured - ppm)).toBeLessThan(1);
    }
  });

  it('shortens the audio as much', () => {
    const output = applyChannel(new Float32Array(100_000), {
      sampleRate,
      stages: [{ kind: 'clock', ppm: 10_000 }],
    });
    expect(output.length).toBe(Math.ceil(100_000 / 1.01));
    const longer = applyChannel(new Float32Array(100_000), {
      sampleRate,
      stages: [{ kind: 'clock', ppm: -100 }],
    });
    expect(longer.length).toBe(Math.ceil(100_000 / 0.9999));
  });

  it('interpolates within 0.01 % (−80 dB) up to 0.42 times the sample rate', () => {
    for (const part of [0.01, 0.1, 0.2, 0.3, 0.4, 0.42]) {
      const output = applyChannel(tone(sampleRate, part * sampleRate, 1, 1, 0.3), {
        sampleRate,
        stages: [{ kind: 'clock', ppm: 777 }],
      });
      let error = 0;
      for (let n = 100; n < 11_800; n++) {
        error = Math.max(error, Math.abs(output[n] - Math.cos(2 * Math.PI * part * n * 1.000777 + 0.3)));
      }
      expect(error).toBeLessThan(1e-4);
    }
  });

  it('of nothing changes nothing', () => {
    const input = tone(sampleRate, 1500, 0.5);
    expect(applyChannel(input, { sampleRate, stages: [{ kind: 'clock', ppm: 0 }] })).toEqual(input);
  });
});

describe('delay', () => {
  it('is exact to the sample', () => {
    const input = tone(sampleRate, 1500, 0.1);
    const output = applyChannel(input, { sampleRate, stages: [{ kind: 'delay', delayMs: 250 }] });
    expect(output.length).toBe(input.length + 3000);
    expect(output.subarray(0, 3000).every((x) => x === 0)).toBe(true);
    expect(output.subarray(3000)).toEqual(input);
  });

  it('is exact to fractions of a sample', () => {
    // 1.03 ms at 12 kHz are 12.36 samples.
    const output = applyChannel(tone(sampleRate, 1500, 1, 1, 0), {
      sampleRate,
      stages: [{ kind: 'delay', delayMs: 1.03 }],
    });
    expect(output.length).toBe(12_000 + 13);
    for (let n = 100; n < 11_900; n++) {
      expect(Math.abs(output[n] - Math.cos((2 * Math.PI * 1500 * (n - 12.36)) / sampleRate))).toBeLessThan(
        1e-4,
      );
    }
  });
});
