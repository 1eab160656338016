import { describe, expect, it } from 'vitest';
import { createBasebandFilter } from '../../src/dsp/index.js';
import { createChoices } from '../scenes/random.js';

const OPTIONS = { sampleRate: 7200, decimation: 8, pass: 210, stop: 420 };
const noise = (length: number) => {
  const choices = createChoices(length);
  return Float32Array.from({ length }, () => choices.uniform(-1, 1));
};

describe('a baseband filter', () => {
  it('passes a tone near the centre as half its amplitude and stops one beyond', () => {
    // cos = (e^jωt + e^−jωt) / 2: one half lies near 0 Hz, the other is stopped.
    const tone = (hz: number) =>
      Float32Array.from({ length: 7200 }, (_, n) => Math.cos((2 * Math.PI * hz * n) / 7200));
    const filter = createBasebandFilter(OPTIONS);
    const amplitude = (hz: number) => {
      const { re, im } = filter.apply(tone(hz), 1700);
      return Math.hypot(re[450], im[450]);
    };
    for (const hz of [1500, 1615, 1700, 1785, 1900]) expect(amplitude(hz)).toBeCloseTo(0.5, 2);
    for (const hz of [800, 1270, 2130, 2600]) expect(amplitude(hz)).toBeLessThan(0.005);
  });

  it('keeps the instant of every sample', () => {
    // At 1700 Hz the phase of cos(2π 1700 t + 0.4) stands still at 0.4.
    const audio = Float32Array.from({ length: 7200 }, (_, n) =>
      Math.cos((2 * Math.PI * 1700 * n) / 7200 + 0.4),
    );
    const { re, im, rate } = createBasebandFilter(OPTIONS).apply(audio, 1700);
    expect(rate).toBe(900);
    for (const n of [100, 437, 801]) expect(Math.atan2(im[n], re[n])).toBeCloseTo(0.4, 3);
  });

  it.each([1, 8])('goes on from a shorter piece to the same samples, %i to one', (decimation) => {
    const filter = createBasebandFilter({ ...OPTIONS, decimation });
    const audio = noise(5003);
    const whole = filter.apply(audio, 1693.7);
    const shorter = audio.subarray(0, 3001);
    const count = Math.floor((shorter.length - filter.reach) / decimation);
    const baseband = filter.apply(shorter, 1693.7);
    const longer = filter.apply(audio, 1693.7, { baseband, count });
    expect(longer).toEqual(whole);
    // What lies nearer to the end than the filter reaches is not the same.
    expect(baseband.re.at(-1)).not.toBe(whole.re[baseband.re.length - 1]);
  });

  it('gives as many samples as begin in the piece', () => {
    const filter = createBasebandFilter(OPTIONS);
    for (const length of [0, 1, 8, 9, 16, 17]) {
      expect(filter.apply(noise(length), 1700).re).toHaveLength(Math.ceil(length / 8));
    }
  });
});
