import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { Random } from '../../src/dsp/index.js';
import { frameCall } from '../../src/frames/index.js';
import {
  createMeter,
  judgeCall,
  type Figure,
  type JudgedCall,
  type MeteredCall,
} from '../../src/measure/index.js';
import { createTuner, type RadioChannel } from '../../src/radio/index.js';
import { createSlice } from '../scenes/slice.js';

const VHF_HZ = 156_525_000;
const call = { kind: 'testCall', self: '299123456', to: { station: '002991234' } } as const;

/** What a set on channel 70 does; by the standard without anything. */
interface Set70 {
  /** Radians by which each tone turns the carrier. */
  b?: number;
  y?: number;
  carrierHz?: number;
}

/** The slice of a set, by formulas of its own. */
function slice70(
  { b = 2, y = 2, carrierHz = 0 }: Set70,
  sampleRate: number,
  tunedHz: number,
  noise: number,
  seed = 1,
) {
  const { bits } = frameCall(encodeCall(call), { band: 'vhf' });
  const random = new Random(seed, 'slice');
  const length = Math.round(1.6 * sampleRate);
  const i = new Float32Array(length);
  const q = new Float32Array(length);
  const first = 0.5 * sampleRate;
  // Elements of B less those of Y before each bit.
  const sums = [0];
  for (const bit of bits) sums.push(sums[sums.length - 1] + (bit === 1 ? -1 : 1));
  let [last, phase] = [0, 0];
  for (let n = 0; n < length; n++) {
    const place = ((n - first) * 1200) / sampleRate;
    const bit = Math.floor(place);
    const isOn = bit >= -60 && bit < bits.length + 60;
    if (bit >= 0 && bit < bits.length) {
      const turned = sums[bit] + (bits[bit] === 1 ? -1 : 1) * (place - bit);
      const tone = Math.sin(2 * Math.PI * ((1700 / 1200) * place + (400 / 1200) * turned));
      phase += (bits[bit] === 1 ? y : b) * (tone - last);
      last = tone;
    }
    const turns = (((VHF_HZ + carrierHz - tunedHz) / sampleRate) * n) % 1;
    const angle = 2 * Math.PI * turns + phase;
    i[n] = (isOn ? 0.5 * Math.cos(angle) : 0) + noise * random.gaussian();
    q[n] = (isOn ? 0.5 * Math.sin(angle) : 0) + noise * random.gaussian();
  }
  return { i, q };
}

function metered(
  { i, q }: { i: Float32Array; q: Float32Array },
  options: { sampleRate: number; tunedHz: number },
  channel: RadioChannel,
): MeteredCall[] {
  const tuner = createTuner({ ...options, channels: [channel] });
  const meter = createMeter({
    sampleRate: tuner.sampleRates[0],
    radio: channel,
    bands: [channel.mode === 'fm' ? 'vhf' : 'mf-hf'],
  });
  const calls: MeteredCall[] = [];
  const take = (_: number, audio: Float32Array) => calls.push(...meter.push(audio));
  tuner.push(i, q, take);
  tuner.flush(take);
  return [...calls, ...meter.flush()];
}

const WIDE: RadioChannel = { hz: VHF_HZ, mode: 'fm', isWide: true };

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
