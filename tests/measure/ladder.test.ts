/** The ladder of ratios, on a virtual set: the hard-bit textbook receiver. */
import { describe, expect, it } from 'vitest';
import { informationCharacters } from '../../src/frames/index.js';
import { createLadder, type Ladder } from '../../src/measure/index.js';
import { createChoices } from '../scenes/random.js';
import { readByTextbook } from '../scenes/textbook.js';
import { textbookDecodeRate } from '../scenes/theory.js';
import { sized } from '../size.js';
import { TEST_CALL } from './errors.js';
import { madeUpAudio } from './madeupset.js';

/** Both format specifiers through the error check. */
const CHARACTERS = informationCharacters(TEST_CALL).length - 2;

/** The ratio at which the textbook receiver reads a share, by theory. */
function theoryDb(share: number): number {
  let [low, high] = [-20, 20];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (textbookDecodeRate(middle, CHARACTERS) < share) low = middle;
    else high = middle;
  }
  return low;
}

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

function walk(ladder: Ladder, hears: (ratioDb: number, call: number) => boolean, calls = Infinity): void {
  for (let call = ladder.trials.length; call < calls; call++) {
    const ratioDb = ladder.next();
    if (ratioDb === undefined) return;
    ladder.record({ ratioDb, isAcknowledged: hears(ratioDb, call) });
  }
}

const RANGE = { lowestDb: -15, highestDb: 25 };

describe('the ladder', () => {
  it('finds within 60 calls where half of its calls are heard, to 0.3 dB', () => {
    const truth = theoryDb(0.5);
    for (let set = 0; set < sized(2, 20); set++) {
      const ladder = createLadder(RANGE);
      walk(ladder, (ratioDb, call) => isHeard(ratioDb, 1000 * set + call));
      const { half, nineTenths, isInRange } = ladder.estimate();
      expect(ladder.trials.length).toBeLessThanOrEqual(60);
      expect(isInRange).toBe(true);
      expect(Math.abs(half.value - truth)).toBeLessThan(0.3);
      expect(Math.abs(nineTenths.value - theoryDb(0.9))).toBeLessThan(4 * nineTenths.uncertainty);
    }
  });

  it('covers a truth that falls as it supposes', () => {
    const choices = createChoices(3);
    const normal = () => choices.uniform(0, 1) + choices.uniform(0, 1) + choices.uniform(0, 1) - 1.5;
    const sets = sized(20, 400);
    let covered = 0;
    for (let set = 0; set < sets; set++) {
      const middle = choices.uniform(-5, 10);
      const ladder = createLadder(RANGE);
      // The sum of three uniform numbers has the variance 1/4: a width of 1 dB.
      walk(ladder, (ratioDb) => ratioDb > middle + 2 * normal());
      const { half } = ladder.estimate();
      if (Math.abs(half.value - middle) < 1.96 * half.uncertainty) covered++;
    }
    // 95 % of 20 are 19; less than 16 of them once in 400 times.
    expect(covered).toBeGreaterThanOrEqual(0.8 * sets);
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

  it('knows nothing before the first call', () => {
    const { half, isInRange } = createLadder(RANGE).estimate();
    expect(isInRange).toBe(false);
    // A uniform distribution over 40 dB: 40/√12.
    expect(half.uncertainty).toBeCloseTo(40 / Math.sqrt(12), 1);
  });

  it.each([
    [{ lowestDb: 0, highestDb: 0.5 }, 'highestDb'],
    [{ lowestDb: NaN, highestDb: 5 }, 'lowestDb'],
    [{ ...RANGE, calls: 0 }, 'calls'],
    [{ ...RANGE, trials: [{ ratioDb: 3, isAcknowledged: 'yes' }] as never }, 'isAcknowledged'],
  ])('refuses %j', (options, field) => {
    expect(() => createLadder(options)).toThrow(field);
  });
});
