import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { createResampler, type Resampler } from '../../src/dsp/index.js';

const SECONDS = 0.5;

function tone(rate: number, frequency: number): Float32Array {
  return Float32Array.from({ length: SECONDS * rate }, (_, n) =>
    Math.cos((2 * Math.PI * frequency * n) / rate),
  );
}

/** Amplitude and phase of a frequency in the middle half of a signal that starts at the instant 0. */
function phasor(samples: Float32Array, rate: number, frequency: number): { size: number; phase: number } {
  let re = 0;
  let im = 0;
  let weights = 0;
  const from = Math.floor(samples.length / 4);
  const to = Math.floor((3 * samples.length) / 4);
  for (let n = from; n < to; n++) {
    const weight = Math.sin((Math.PI * (n - from + 0.5)) / (to - from)) ** 2;
    const angle = (2 * Math.PI * frequency * n) / rate;
    re += weight * samples[n] * Math.cos(angle);
    im -= weight * samples[n] * Math.sin(angle);
    weights += weight;
  }
  return { size: (2 * Math.hypot(re, im)) / weights, phase: Math.atan2(im, re) };
}

const TO = 7200;
const make = (from: number): Resampler => createResampler({ from, to: TO, pass: 3200, stop: 3900 });

describe('resampler', () => {
  describe.each([8000, 8001, 11_025, 12_000, 16_000, 22_050, 24_000])('from %i Hz', (from) => {
    it('passes tones at their amplitude, frequency and instant', () => {
      for (const frequency of [300, 1700, 2900, 3200]) {
        const { size, phase } = phasor(make(from).push(tone(from, frequency)), TO, frequency);
        expect(Math.abs(size - 1)).toBeLessThan(0.01);
        expect(Math.abs(phase)).toBeLessThan(0.01);
      }
    });

    it('stops what would fold back', () => {
      for (let frequency = 3950; frequency < from / 2; frequency += 430) {
        const folded = Math.abs(frequency - TO * Math.round(frequency / TO));
        const { size } = phasor(make(from).push(tone(from, frequency)), TO, folded);
        expect(20 * Math.log10(size)).toBeLessThan(-45);
      }
    });
  });

  it('gives the same samples however its input is cut', () => {
    const input = tone(11_025, 1234);
    const whole = make(11_025).push(input).slice();
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 700 }), { minLength: 1, maxLength: 40 }), (lengths) => {
        const resampler = make(11_025);
        const pieces: number[] = [];
        let at = 0;
        for (const length of [...lengths, input.length]) {
          pieces.push(...resampler.push(input.subarray(at, at + length)));
          at += length;
        }
        expect(Float32Array.from(pieces)).toEqual(whole);
      }),
      { numRuns: 30 },
    );
  });

  it('keeps step over a long stream', () => {
    const from = 11_025;
    const resampler = make(from);
    let given = 0;
    const block = new Float32Array(from);
    for (let second = 0; second < 600; second++) given += resampler.push(block).length;
    expect(Math.abs(given - 600 * TO)).toBeLessThan(20);
  });

  it.each([
    ['from', 0],
    ['from', NaN],
    ['to', -1],
    ['to', Infinity],
  ])('refuses %s = %d by name', (name, value) => {
    expect(() => createResampler({ from: 8000, to: 7200, pass: 3200, stop: 3900, [name]: value })).toThrow(
      name,
    );
  });
});
