import { describe, expect, it } from 'vitest';
import { clockFromReference, createClockFinder } from '../../src/measure/index.js';
import { pulses, sampleRate } from './pulsetrain.js';

describe('the clock by pulses of known rate', () => {
  it.each([
    [1, 40, 37.5],
    [1, 30, -80],
    [10, 20, 4.2],
    [0.5, 40, 250],
  ])('%d a second over %d s: %d ppm', (pulsesHz, seconds, ppm) => {
    const { value, uncertainty } = clockFromReference(
      pulses(pulsesHz, seconds, ppm, 0.002, [4]),
      sampleRate,
      pulsesHz,
    );
    expect(uncertainty).toBeGreaterThan(0);
    expect(uncertainty).toBeLessThan(0.2);
    expect(Math.abs(value - ppm)).toBeLessThan(4 * uncertainty);
  });

  it.each([
    [
      'noise',
      () =>
        pulses(
          1,
          20,
          0,
          0.01,
          Array.from({ length: 20 }, (_, i) => i),
        ),
    ],
    ['another rate', () => pulses(1.1, 20, 0, 0.001)],
    ['too few', () => pulses(1, 5, 0, 0.001)],
  ])('refuses %s', (_, samples) => {
    expect(() => clockFromReference(samples(), sampleRate, 1)).toThrow(/at least 8 pulses/);
  });
});

describe('the clock of a stream', () => {
  const rate = 4000;
  const settings = { sampleRate: rate, referenceHz: 1000, isEndless: true };
  const second = (from: number, isTone: boolean) =>
    Float32Array.from({ length: rate }, (_, n) =>
      isTone ? 0.3 * Math.sin((2 * Math.PI * 1000 * (rate * from + n)) / (rate * (1 + 25e-6))) : 0,
    );

  it('is told while it goes on, ten seconds after its beginning', () => {
    const finder = createClockFinder(settings);
    for (let i = 0; i < 9; i++) finder.push(second(i, true));
    expect(finder.clock).toBeUndefined();
    finder.push(second(9, true));
    expect(finder.clock?.value).toBeCloseTo(25, 1);
    expect(finder.end()).toBe(finder.clock);
  });

  it('is looked for again, and given up after two minutes', () => {
    const finder = createClockFinder(settings);
    for (let i = 0; i < 12; i++) finder.push(second(i, false));
    expect(finder.clock).toBeUndefined();
    for (let i = 12; i < 20; i++) finder.push(second(i, true));
    expect(finder.clock?.value).toBeCloseTo(25, 1);
    const never = createClockFinder(settings);
    for (let i = 0; i < 120; i++) never.push(second(i, false));
    expect(never.isOver).toBe(true);
    expect(never.clock).toBeUndefined();
    expect(() => never.end()).toThrow('a steady tone within 1000 ppm');
  });

  it('is found at the end of a recording', () => {
    const finder = createClockFinder({ ...settings, isEndless: false });
    for (let i = 0; i < 15; i++) finder.push(second(i, true));
    expect(finder.clock).toBeUndefined();
    expect(finder.end().value).toBeCloseTo(25, 1);
  });
});
