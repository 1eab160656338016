/** Calls that did not come as a set sends them: weak, over a path that fades, from an oscillator that drifts. */
import { describe, expect, it } from 'vitest';
import { applyChannel, type ChannelStage } from '../../src/channel/index.js';
import {
  createMeter,
  measureCall,
  remarksOn,
  tolerancesFor,
  verdictsOn,
  type Figure,
  type MeasuredCall,
} from '../../src/measure/index.js';
import { sized } from '../size.js';
import { TEST_CALL } from './errors.js';
import { madeUpAudio, type MadeUpSet } from './madeupset.js';

const sampleRate = 8000;

function measured(
  stages: ChannelStage[],
  seed: number,
  { baud = 100, ...set }: MadeUpSet = {},
): MeasuredCall | undefined {
  const dots = baud === 100 ? 200 : 20;
  const shiftHz = baud === 100 ? 170 : 800;
  const before = 0.6 + (seed % 10) * 1e-3;
  const made = { baud, dots, shiftHz, ...set };
  const audio = madeUpAudio(TEST_CALL, made, { sampleRate, seed, before, phase: seed });
  return measureCall(
    applyChannel(audio, { sampleRate, seed, stages }),
    {
      start: before + dots / baud,
      centreHz: 1700.2,
      baud,
      inverted: false,
      symbols: [...TEST_CALL],
      expansions: [],
    },
    { sampleRate },
  );
}

const white = (snrDb: number): ChannelStage => ({ kind: 'noise', snrDb });
const deviations = ({ value, uncertainty }: Figure, truth: number) => Math.abs(value - truth) / uncertainty;

describe('weak calls', () => {
  it('have no wrong characters that only noise made', () => {
    for (let seed = 0; seed < sized(12, 60); seed++)
      expect(measured([white(2)], seed, { baud: 1200 })?.sequence.odd).toEqual([]);
  });

  it('have as many dots as were sent, or it is in doubt how many', () => {
    for (let seed = 0; seed < sized(12, 60); seed++) {
      const dots = measured([white(3)], seed, { baud: 1200 })?.figures.dots;
      expect(dots && (dots.value === 20 || deviations(dots, 20) < 4)).toBe(true);
    }
  });
});

describe('a path that fades', () => {
  const conditions = ['mid-latitude-quiet', 'mid-latitude-moderate', 'mid-latitude-disturbed'] as const;

  it.each(conditions)('of %s is told, and what it does is not charged to the set', (condition) => {
    for (let seed = 0; seed < sized(2, 4); seed++) {
      const call = measured([{ kind: 'fading', condition }, white(20)], seed);
      if (!call) throw new Error('not measured');
      expect(call.isUnsteady).toBe(true);
      expect(remarksOn(call)).toEqual([expect.stringContaining('a path that fades')]);
      for (const name of ['centreHz', 'rateErrorPpm', 'levelDifferenceDb', 'dots'] as const)
        expect(call.figures[name]).toBeUndefined();
      const verdicts = verdictsOn(call.figures, tolerancesFor({ band: 'mf-hf', symbols: TEST_CALL }));
      expect(verdicts.filter(({ verdict }) => verdict === 'outside')).toEqual([]);
    }
  });

  it('gives no gap between sendings, whose ends it hides', () => {
    const audio = madeUpAudio(TEST_CALL, { sendings: 2, gapSeconds: 0.1 }, { sampleRate, seed: 3 });
    const meter = createMeter({ sampleRate, bands: ['mf-hf'] });
    const air = applyChannel(audio, {
      sampleRate,
      seed: 3,
      stages: [{ kind: 'fading', condition: 'mid-latitude-moderate' }, white(25)],
    });
    const calls = [...meter.push(air), ...meter.flush()].flatMap((call) => call.measured ?? []);
    expect(calls).toHaveLength(2);
    expect(calls[1].figures.gapMs).toBeUndefined();
    expect(calls[1].figures.sendingsUnequal).toEqual({ value: 0, uncertainty: 0 });
  });

  it('is not what a set is whose level falls by 3 dB, or whose tones differ by 3 dB', () => {
    const audio = madeUpAudio(TEST_CALL, { y: 0.354 }, { sampleRate, ratioDb: 20, seed: 2 });
    const drooped = audio.map((value, n) => value * 10 ** (-(3 / 20) * ((n / sampleRate - 0.6) / 8.2)));
    const call = measureCall(
      drooped,
      { start: 2.6, centreHz: 1700, baud: 100, inverted: false, symbols: [...TEST_CALL], expansions: [] },
      { sampleRate },
    );
    expect(call?.isUnsteady).toBe(false);
    expect(call?.figures.droopDb?.value).toBeCloseTo(-3, 0);
    const difference = call?.figures.levelDifferenceDb;
    expect(difference && deviations(difference, 20 * Math.log10(0.5 / 0.354))).toBeLessThan(4);
  });
});

describe('an oscillator that drifts', () => {
  it.each([0.05, 1])('by %d Hz a second is told, and moves no other figure', (driftHzPerSecond) => {
    const call = measured([{ kind: 'offset', driftHzPerSecond }, white(20)], 4);
    if (!call) throw new Error('not measured');
    const { driftHzPerSecond: drift, centreHz, shiftHz, rateErrorPpm, dots } = call.figures;
    // The audio's own time, in whose middle the centre counts.
    const middle = (call.start + call.end) / 2;
    expect(drift && deviations(drift, driftHzPerSecond)).toBeLessThan(4);
    expect(centreHz && deviations(centreHz, 1700 + driftHzPerSecond * middle)).toBeLessThan(4);
    expect(shiftHz && deviations(shiftHz, 170)).toBeLessThan(4);
    expect(rateErrorPpm && deviations(rateErrorPpm, 0)).toBeLessThan(4);
    expect(dots?.value).toBe(200);
  });

  it('is not told of one that does not', () => {
    const drift = measured([white(20)], 5)?.figures.driftHzPerSecond;
    expect(drift && deviations(drift, 0)).toBeLessThan(4);
  });
});
