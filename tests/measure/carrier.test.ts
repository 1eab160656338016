import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { judgeCall, type Figure, type JudgedCall, type MeteredCall } from '../../src/measure/index.js';
import { createSlice } from '../scenes/slice.js';
import { VHF_HZ, WIDE, call, metered, slice70 } from './set70.js';

function judged(calls: readonly MeteredCall[], clockPpm = 0.1): JudgedCall {
  const [one] = calls.flatMap(
    (each) => judgeCall(each, { clock: { value: 0, uncertainty: clockPpm } }) ?? [],
  );
  return one;
}

const verdict = ({ verdicts }: JudgedCall, figure: string) =>
  verdicts.find((one) => one.figure === figure)?.verdict;

const close = (figure: Figure | undefined, truth: number) => {
  expect(figure).toBeDefined();
  const { value, uncertainty } = figure ?? { value: NaN, uncertainty: NaN };
  expect(Math.abs(value - truth), `${value} ± ${uncertainty} for ${truth}`).toBeLessThan(4 * uncertainty);
};

describe('a set on channel 70, from I and Q', () => {
  it.each([
    [192_000, VHF_HZ - 20_000],
    [96_000, VHF_HZ + 10_000],
    [250_000, VHF_HZ],
    [1_024_000, VHF_HZ - 300_000],
  ])('is measured in %d samples a second', (sampleRate, tunedHz) => {
    const set = { b: 2.05, y: 1.96, carrierHz: 430 };
    const one = judged(metered(slice70(set, sampleRate, tunedHz, 0.01), { sampleRate, tunedHz }, WIDE));
    const { figures } = one;
    close(figures.modulationIndexB, 2.05);
    close(figures.modulationIndexY, 1.96);
    // 2.05 times 2100 Hz.
    close(figures.peakDeviationHz, 4305);
    close(figures.carrierErrorHz, 430);
    // A deviation as the frequency is 6.02 dB an octave; the index of B over Y is 0.39 dB more over 0.69 octaves.
    close(figures.preEmphasisDb, 6.0206 + (20 * Math.log10(2.05 / 1.96)) / Math.log2(2100 / 1300));
    close(figures.centreHz, 1700);
    close(figures.shiftHz, 800);
    expect(figures.modulationIndexB?.uncertainty).toBeLessThan(0.01);
    expect(one.verdicts.filter((each) => each.verdict !== 'within').map((each) => each.figure)).toEqual([]);
  });

  it('names what is wrong, and what the clock of the receiver leaves open', () => {
    const options = { sampleRate: 192_000, tunedHz: VHF_HZ - 20_000 };
    const weak = judged(metered(slice70({ b: 1.6, y: 2 }, 192_000, options.tunedHz, 0.01), options, WIDE));
    expect(verdict(weak, 'modulationIndexB')).toBe('outside');
    expect(verdict(weak, 'modulationIndexY')).toBe('within');
    expect(verdict(weak, 'preEmphasisDb')).toBe('outside');
    // Both tones alike: no pre-emphasis, the deviation of B being 2 rad of 1300 Hz.
    const flat = judged(
      metered(slice70({ b: 2600 / 2100, y: 2 }, 192_000, options.tunedHz, 0.01), options, WIDE),
    );
    close(flat.figures.preEmphasisDb, 0);
    const far = metered(slice70({ carrierHz: -2200 }, 192_000, options.tunedHz, 0.01), options, WIDE);
    expect(verdict(judged(far), 'carrierErrorHz')).toBe('outside');
    // 100/√3 ppm of 156.525 MHz: 9 kHz.
    expect(verdict(judged(far, 57.7), 'carrierErrorHz')).toBe('cannotTell');
  });
});

describe('a set on MF and HF, from I and Q', () => {
  it('tells how far the assigned frequency is off', () => {
    const options = { sampleRate: 48_000, tunedHz: 8_420_000 };
    const symbols = encodeCall(call);
    const hz = 8_414_500;
    const slice = createSlice(
      { ...options, seconds: 10 },
      [{ symbols, hz: hz + 7, at: 1, amplitude: 0.3 }],
      -50,
      2,
    );
    const calls = metered(slice, options, { hz, mode: 'ssb' });
    const one = judged(calls, 0.01);
    close(one.figures.assignedErrorHz, 7);
    expect(verdict(one, 'assignedErrorHz')).toBe('within');
    expect(verdict(one, 'centreHz')).toBeUndefined();
    // A clock 1 ppm fast makes 8414.5 kHz 8.4 Hz too low.
    const [corrected] = calls.flatMap(
      (each) => judgeCall(each, { clock: { value: 1, uncertainty: 0 } }) ?? [],
    );
    close(corrected.figures.assignedErrorHz, 7 + 8.4145);
    expect(verdict(judged(calls, 1), 'assignedErrorHz')).toBe('cannotTell');
  });
});
