/** The ladder of ratios, on a virtual set: the hard-bit textbook receiver. */
import { describe, expect, it } from 'vitest';
import { createLadder } from '../../src/measure/index.js';
import { createChoices } from '../scenes/random.js';
import { readByTextbook } from '../scenes/textbook.js';
import { sized } from '../size.js';
import { TEST_CALL } from './errors.js';
import { madeUpAudio } from './madeupset.js';
import { RANGE, walk } from './walk.js';

/**
 * The ratio at which the textbook receiver reads half of these calls, measured by itself: 40.3 % of 350 calls at
 * −6.9 dB, 57.4 % of 350 at −6.6 dB. Theory, which counts every character alike, says −6.5 dB.
 */
const HALF_DB = -6.73;

/** Whether the virtual set hears a call at a ratio. */
function isHeard(ratioDb: number, seed: number): boolean {
  const before = 0.1;
  const audio = madeUpAudio(TEST_CALL, { dots: 20 }, { sampleRate: 8000, ratioDb, seed, before, after: 0.2 });
  const bits = 20 * (TEST_CALL.length + 9);
  const read = readByTextbook(audio, {
    sampleRate: 8000,
    start: before + 0.2,
    baud: 100,
    centreHz: 1700,
    bits,
  });
  return read.some((symbols) => symbols.join() === TEST_CALL.join());
}

describe('the ladder', () => {
  it('finds within 60 calls where half of its calls are heard, to 0.3 dB', () => {
    const sets = sized(2, 20);
    let near = 0;
    for (let set = 0; set < sets; set++) {
      const ladder = createLadder(RANGE);
      walk(ladder, (ratioDb, call) => isHeard(ratioDb, 1000 * set + call));
      const { half, nineTenths, isInRange } = ladder.estimate();
      expect(ladder.trials.length).toBeLessThanOrEqual(60);
      expect(isInRange).toBe(true);
      if (Math.abs(half.value - HALF_DB) < 0.3) near++;
      // Nine tenths lie above one half, by no more than the textbook's curve is wide.
      expect(nineTenths.value - half.value).toBeGreaterThan(0.2);
      expect(nineTenths.value - half.value).toBeLessThan(3);
    }
    // Chance alone puts one in twenty or thirty further off.
    expect(near).toBeGreaterThanOrEqual(0.9 * sets);
  });

  it('goes on from what was tried before as if it had never stopped', () => {
    const hears = (ratioDb: number, call: number) => ratioDb + Math.sin(call) > 2;
    const whole = createLadder(RANGE);
    walk(whole, hears);
    const first = createLadder(RANGE);
    walk(first, hears, 9);
    const second = createLadder({ ...RANGE, trials: JSON.parse(JSON.stringify(first.trials)) as never });
    walk(second, hears);
    expect(second.trials).toEqual(whole.trials);
    expect(second.estimate()).toEqual(whole.estimate());
  });

  it.each([true, false])(
    'says that one half lies beyond what was tried, all acknowledged: %s',
    (isAcknowledged) => {
      const ladder = createLadder({ ...RANGE, calls: 15 });
      walk(ladder, () => isAcknowledged);
      expect(ladder.estimate().isInRange).toBe(false);
    },
  );

  it('walks down what makes calls fail the more there is of it, in any unit', () => {
    const choices = createChoices(8);
    const ladder = createLadder({ lowest: 0, highest: 400, resolution: 1, isFalling: true, until: 3 });
    // The sum of twelve uniform numbers less six is normal: half are heard at 130 Hz, nine tenths 12.8 Hz below.
    const normal = () => Array.from({ length: 12 }, () => choices.uniform(0, 1)).reduce((a, b) => a + b) - 6;
    walk(ladder, (hz) => hz < 130 + 10 * normal());
    const { half, nineTenths, isInRange } = ladder.estimate();
    expect(isInRange).toBe(true);
    expect(Math.abs(half.value - 130)).toBeLessThan(3 * half.uncertainty);
    expect(nineTenths.value).toBeLessThan(half.value);
    expect(Math.abs(nineTenths.value - 117.2)).toBeLessThan(3 * nineTenths.uncertainty);
  });

  it('knows nothing before the first call', () => {
    const { half, isInRange } = createLadder(RANGE).estimate();
    expect(isInRange).toBe(false);
    // A uniform distribution over 40 dB: 40/√12.
    expect(half.uncertainty).toBeCloseTo(40 / Math.sqrt(12), 1);
  });

  it.each([
    [{ lowest: 0, highest: 0.5 }, 'highest'],
    [{ lowest: NaN, highest: 5 }, 'lowest'],
    [{ lowest: 0, highest: 500 }, 'highest'],
    [{ ...RANGE, calls: 0 }, 'calls'],
    [{ ...RANGE, trials: [{ value: 3, isAcknowledged: 'yes' }] as never }, 'isAcknowledged'],
  ])('refuses %j', (options, field) => {
    expect(() => createLadder(options)).toThrow(field);
  });
});
