import { describe, expect, it } from 'vitest';
import { cutClicks } from '../../src/receiver/clicks.js';
import { FM_RATE, throughFm } from '../scenes/fmradio.js';
import { runFmJob } from '../scenes/harderair.js';

describe('VHF through an FM receiver', () => {
  it('reads every call at 3 dB carrier to noise in 16 kHz, and none wrong', () => {
    expect(runFmJob({ carrierToNoiseDb: 3, count: 5, seed: 40 })).toMatchObject({ right: 5, wrong: 0 });
  });
});

describe('the modelled FM receiver', () => {
  // Phase modulation of index 2.0 comes back as it went in, but for the two samples' mean and the de-emphasis' corner.
  it('gives back a tone without noise', () => {
    const tone = Float32Array.from(
      { length: FM_RATE / 10 },
      (_, n) => 0.5 * Math.sin((2 * Math.PI * 1700 * n) / FM_RATE),
    );
    const heard = throughFm(tone, 100, 1);
    const steady = heard.subarray(FM_RATE / 50, heard.length - 100);
    // The difference of neighbouring samples, summed up with a corner at 300 Hz: |1 − e^−jω| / |1 − k·e^−jω|.
    const omega = (2 * Math.PI * 1700) / FM_RATE;
    const k = Math.exp((-2 * Math.PI * 300) / FM_RATE);
    const gain = (2 * Math.sin(omega / 2)) / Math.sqrt(1 + k * k - 2 * k * Math.cos(omega));
    expect(Math.max(...steady)).toBeCloseTo(0.5 * gain, 2);
  });

  // Rice's clicks: below about 9 dB the phase turns by whole turns, which no tone of index 2 does.
  it('clicks at 3 dB and not at 15 dB', () => {
    const steps = (carrierToNoiseDb: number) => {
      const heard = throughFm(new Float32Array(FM_RATE), carrierToNoiseDb, 2);
      return heard.filter((sample, n) => n > 0 && Math.abs(sample - heard[n - 1]) > 0.5).length;
    };
    expect(steps(3)).toBeGreaterThan(100);
    expect(steps(15)).toBe(0);
  });
});

describe('cutting clicks', () => {
  it('limits a jump to twice the mean magnitude of the differences', () => {
    const audio = Float32Array.from(
      { length: 100 },
      (_, n) => (n % 2 === 0 ? 0.1 : -0.1) + (n >= 50 ? 5 : 0),
    );
    const cut = cutClicks(audio);
    // 98 differences of 0.2, one of 5.2 or 4.8, and a 0 at the beginning.
    const mean = (98 * 0.2 + Math.abs(audio[50] - audio[49])) / 100;
    expect(Math.max(...cut)).toBeCloseTo(2 * mean, 5);
    expect(cut[10]).toBeCloseTo(0.2, 5);
  });
});
