import { describe, expect, it } from 'vitest';
import { createBasebandFilter, type Baseband } from '../../src/dsp/index.js';
import { modulateBits } from '../../src/modem/index.js';
import { bitEnergy, bitOutputs, integrateTone } from '../../src/modem/internal.js';
import { measureBitErrors } from '../scenes/biterrors.js';
import { createChoices } from '../scenes/random.js';

const RATE = 900;
const SAMPLES_PER_BIT = 9;

function carrier(hz: number, length: number, phase = 0, centreHz = 1700): Baseband {
  const angle = (n: number) => (2 * Math.PI * (hz - centreHz) * n) / RATE + phase;
  return {
    re: Float32Array.from({ length }, (_, n) => Math.cos(angle(n))),
    im: Float32Array.from({ length }, (_, n) => Math.sin(angle(n))),
    rate: RATE,
    centreHz,
  };
}

describe('baseband', () => {
  const sampleRate = 7200;
  const filter = createBasebandFilter({ sampleRate, decimation: 8, pass: 210, stop: 420 });

  it('turns a tone of amplitude 1 into a phasor of ½ that turns by the distance from the centre', () => {
    const audio = Float32Array.from({ length: 3600 }, (_, n) =>
      Math.cos((2 * Math.PI * 1785 * n) / sampleRate + 0.4),
    );
    const { re, im, rate, centreHz } = filter.apply(audio, 1700);
    expect([rate, centreHz, re.length]).toEqual([900, 1700, 450]);
    for (let n = 50; n < 400; n += 17) {
      const angle = (2 * Math.PI * 85 * n) / rate + 0.4;
      expect(Math.hypot(re[n] - Math.cos(angle) / 2, im[n] - Math.sin(angle) / 2)).toBeLessThan(0.005);
    }
  });

  it.each([1700 - 500, 1700 + 500, 1700 + 900])('keeps out a tone at %i Hz', (hz) => {
    const audio = Float32Array.from({ length: 3600 }, (_, n) =>
      Math.cos((2 * Math.PI * hz * n) / sampleRate),
    );
    const { re, im } = filter.apply(audio, 1700);
    for (let n = 50; n < 400; n++) expect(Math.hypot(re[n], im[n])).toBeLessThan(0.5 * 10 ** (-44 / 20));
  });
});

describe('matched filters', () => {
  it('gather the whole energy of a bit at any fraction of a sample', () => {
    const tone = integrateTone(carrier(1785, 200), 1785);
    for (const start of [5, 5.25, 5.5, 7.9]) {
      expect(bitEnergy(tone, { start, samplesPerBit: SAMPLES_PER_BIT }, 3)).toBeCloseTo(SAMPLES_PER_BIT, 6);
    }
  });

  it('gather nothing of a tone a bit rate away', () => {
    const tone = integrateTone(carrier(1700, 200), 1800);
    expect(bitEnergy(tone, { start: 5, samplesPerBit: SAMPLES_PER_BIT }, 3)).toBeCloseTo(0, 6);
  });

  it('give the phase at the start of each bit', () => {
    const tones = [
      integrateTone(carrier(1785, 200, 0.7), 1785),
      integrateTone(carrier(1615, 200, -0.4), 1615),
    ] as const;
    const outputs = () => ({ re: new Float64Array(10), im: new Float64Array(10) });
    const [upper, lower] = [outputs(), outputs()];
    const turn = (2 * Math.PI * 85) / RATE;
    for (const start of [6, 6.4]) {
      for (const bit of [0, 3, 9]) {
        const timing = { start, samplesPerBit: SAMPLES_PER_BIT };
        expect(bitOutputs(tones, timing, bit, turn, upper, lower)).toBe(true);
        const run = turn * (start + bit * SAMPLES_PER_BIT);
        const amplitude = Math.sqrt(SAMPLES_PER_BIT);
        expect(upper.re[bit]).toBeCloseTo(amplitude * Math.cos(0.7 + run), 1);
        expect(upper.im[bit]).toBeCloseTo(amplitude * Math.sin(0.7 + run), 1);
        expect(lower.re[bit]).toBeCloseTo(amplitude * Math.cos(-0.4 - run), 1);
        expect(lower.im[bit]).toBeCloseTo(amplitude * Math.sin(-0.4 - run), 1);
      }
    }
  });

  it('give white noise the same mean energy at every timing', () => {
    const choices = createChoices(3);
    const length = 40_000;
    const noise = (): Float32Array => Float32Array.from({ length }, () => choices.uniform(-1, 1));
    const tone = integrateTone({ re: noise(), im: noise(), rate: RATE, centreHz: 0 }, 85);
    for (const start of [1, 1.25, 1.5, 1.9]) {
      const timing = { start, samplesPerBit: SAMPLES_PER_BIT };
      const bits = 4000;
      let sum = 0;
      for (let bit = 0; bit < bits; bit++) sum += bitEnergy(tone, timing, bit);
      // Two components of variance ⅓ each; interpolating between samples smooths at most 1/18 of it away.
      expect(sum / bits / (2 / 3)).toBeGreaterThan(0.9);
      expect(sum / bits / (2 / 3)).toBeLessThan(1.06);
    }
  });

  it('say so where a bit is not wholly received', () => {
    const tone = integrateTone(carrier(1785, 90), 1785);
    const timing = { start: -3, samplesPerBit: SAMPLES_PER_BIT };
    const out = { re: new Float64Array(12), im: new Float64Array(12) };
    expect(bitEnergy(tone, timing, 0)).toBe(-1);
    expect(bitOutputs([tone, tone], timing, 0, 0, out, out)).toBe(false);
    expect(bitEnergy(tone, timing, 1)).toBeGreaterThan(0);
    expect(bitEnergy(tone, timing, 10)).toBe(-1);
    expect(bitOutputs([tone, tone], timing, 10, 0, out, out)).toBe(false);
  });
});

describe('noncoherent detection', () => {
  it('reads the bits of a modulated signal, either way up', () => {
    const sampleRate = 14_400;
    const choices = createChoices(5);
    const bits = Uint8Array.from({ length: 300 }, () => choices.integer(0, 1));
    for (const inverted of [false, true]) {
      const audio = modulateBits(bits, { sampleRate, inverted });
      const baseband = createBasebandFilter({ sampleRate, decimation: 16, pass: 210, stop: 420 }).apply(
        audio,
        1700,
      );
      const sign = inverted ? -1 : 1;
      const b = integrateTone(baseband, 1700 + sign * 85);
      const y = integrateTone(baseband, 1700 - sign * 85);
      const timing = { start: 0, samplesPerBit: SAMPLES_PER_BIT };
      for (let bit = 1; bit < bits.length - 1; bit++) {
        expect(bitEnergy(y, timing, bit) > bitEnergy(b, timing, bit)).toBe(bits[bit] === 1);
      }
    }
  });

  // Binary orthogonal FSK, noncoherent, in white noise: ½·exp(−Eb/2N₀) (Proakis, Digital Communications, §4.5). The
  // formula is for bits by themselves; where the phase is continuous the spectrum is narrower than theirs, and a filter
  // around it gains a little.
  it.each([
    ['random', -0.1],
    ['continuous', -0.5],
  ] as const)('errs as theory says at 100 Bd and 200 Hz shift, %s phase', (phase, least) => {
    const { errors, bits, lossDb } = measureBitErrors({
      shiftHz: 200,
      ebN0Db: 7,
      bits: 12_000,
      seed: 1,
      phase,
    });
    expect(bits).toBe(12_000);
    expect(errors).toBeGreaterThan(300);
    expect(lossDb).toBeLessThan(0.3);
    expect(lossDb).toBeGreaterThan(least);
  });
});
