/**
 * Uncertainties against truths that are known: how often what is stated covers them, in small samples;
 * tests/bench/measure.bench.ts measures them whole.
 */
import { describe, expect, it } from 'vitest';
import { Random } from '../../src/dsp/index.js';
import { clockFromReference, createLadder } from '../../src/measure/index.js';
import { createChoices } from '../scenes/random.js';
import { sized } from '../size.js';
import { ESTIMATED, errorsOf, summary } from './errors.js';
import { pulses, sampleRate } from './pulsetrain.js';
import { VHF_HZ, WIDE, metered, slice70 } from './set70.js';
import { RANGE, walk } from './walk.js';

describe('the fit of keyed tones', () => {
  const calls = sized(8, 200);

  // 5 quantities of 8 calls at each of 3 ratios: 120 errors, whose root mean square is known to 7 %.
  it('errs by no more than the bound, and states its uncertainty', () => {
    const errors = [10, 20, 40].flatMap((ratioDb) =>
      Array.from({ length: calls }, (_, seed) => errorsOf(100 * ratioDb + seed, ratioDb)).flatMap((all) =>
        ESTIMATED.flatMap((name) => all?.[name] ?? []),
      ),
    );
    expect(errors).toHaveLength(3 * calls * ESTIMATED.length);
    const { rms, bias, coverage } = summary(errors);
    expect(rms).toBeGreaterThan(0.8);
    expect(rms).toBeLessThan(1.2);
    expect(Math.abs(bias)).toBeLessThan(0.3);
    expect(coverage).toBeGreaterThan(0.9);
  });
});

describe('weak calls', () => {
  // A bit of an energy 5 to 7 dB over the noise's density: as weak as calls are sure at.
  it.each([
    ['mf-hf', -8],
    ['vhf', 2],
  ] as const)('at %s and %d dB are measured within what is stated', (band, ratioDb) => {
    const calls = sized(10, 60);
    const errors = Array.from({ length: calls }, (_, i) => errorsOf(800 + i, ratioDb, band));
    const all = errors.flatMap((each) => ESTIMATED.flatMap((name) => each?.[name] ?? []));
    expect(all).toHaveLength(calls * ESTIMATED.length);
    expect(Math.max(...all.map(({ overStated }) => Math.abs(overStated)))).toBeLessThan(5);
    expect(summary(all).coverage).toBeGreaterThan(0.85);
  });
});

describe('the ladder', () => {
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
});

describe('the clock by pulses of known rate', () => {
  it('states an uncertainty that covers the truth in about 95 % of cases', () => {
    let covered = 0;
    for (let i = 0; i < 20; i++) {
      const ppm = -90 + 9 * i;
      const random = new Random(100 + i, 'noise');
      const own = pulses(1, 15, ppm, 0).map((sample) => sample + 0.005 * random.gaussian());
      const { value, uncertainty } = clockFromReference(own, sampleRate, 1);
      if (Math.abs(value - ppm) < 1.96 * uncertainty) covered++;
    }
    // 19 of 20 by theory; by chance fewer than 16 once in 400 times.
    expect(covered).toBeGreaterThanOrEqual(16);
  });
});

describe('a set on channel 70, from I and Q', () => {
  it('states uncertainties that cover the truth', () => {
    const options = { sampleRate: 96_000, tunedHz: VHF_HZ + 8000 };
    const names = [
      'modulationIndexB',
      'modulationIndexY',
      'carrierErrorHz',
      'centreHz',
      'rateErrorPpm',
    ] as const;
    const truths = {
      modulationIndexB: 2.1,
      modulationIndexY: 1.95,
      carrierErrorHz: -310,
      centreHz: 1700,
      rateErrorPpm: 0,
    };
    const outside = Object.fromEntries(names.map((name) => [name, 0])) as Record<
      (typeof names)[number],
      number
    >;
    const count = 12;
    for (let seed = 0; seed < count; seed++) {
      const set = { b: 2.1, y: 1.95, carrierHz: -310 };
      const [{ measured }] = metered(slice70(set, 96_000, options.tunedHz, 0.05, seed), options, WIDE);
      for (const name of names) {
        const { value, uncertainty } = measured?.figures[name] ?? { value: NaN, uncertainty: 0 };
        if (!(Math.abs(value - truths[name]) <= 1.96 * uncertainty)) outside[name]++;
      }
    }
    // More than three of twelve come by chance once in 500 times.
    for (const name of names) expect(outside[name], name).toBeLessThanOrEqual(3);
  });
});
