import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { createTuner, type RadioChannel, type TunerOptions, type IqBlock } from '../../src/radio/index.js';
import { createReceiver, type ReceivedCall } from '../../src/receiver/index.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice } from '../scenes/slice.js';

/** All audio of each channel, the slice pushed in pieces. */
function tune(
  options: TunerOptions,
  { i, q }: IqBlock,
  piece = 10_007,
): { rates: readonly number[]; audio: number[][] } {
  const tuner = createTuner(options);
  const audio = options.channels.map((): number[] => []);
  const take = (channel: number, samples: Float32Array) => {
    for (const sample of samples) audio[channel].push(sample);
  };
  for (let at = 0; at < i.length; at += piece)
    tuner.push(i.subarray(at, at + piece), q.subarray(at, at + piece), take);
  tuner.flush(take);
  return { rates: tuner.sampleRates, audio };
}

function receive(options: TunerOptions, slice: IqBlock): ReceivedCall[][] {
  const { rates, audio } = tune(options, slice);
  return options.channels.map(({ mode }, channel) => {
    const receiver = createReceiver({
      sampleRate: rates[channel],
      ...(mode === 'fm' ? { bands: ['vhf'] } : { bands: ['mf-hf'], centreHz: 1700 }),
    });
    return [...receiver.push(Float32Array.from(audio[channel])), ...receiver.flush()];
  });
}

/** A carrier of amplitude 1. */
function carrier(hz: number, { sampleRate, tunedHz }: TunerOptions, seconds: number): IqBlock {
  const turns = (n: number) => 2 * Math.PI * ((((hz - tunedHz) / sampleRate) * n) % 1);
  const length = seconds * sampleRate;
  return {
    i: Float32Array.from({ length }, (_, n) => Math.cos(turns(n))),
    q: Float32Array.from({ length }, (_, n) => Math.sin(turns(n))),
  };
}

const ssb = (hz: number): RadioChannel => ({ hz, mode: 'ssb' });

describe('tuning to a channel', () => {
  // A carrier at the assigned frequency is a tone of 1700 Hz in upper sideband; its phase runs on through all blocks.
  it.each([
    [48_000, 8_420_000, 8_414_500, 12_000],
    [192_000, 12_600_000, 12_577_000, 12_000],
    [250_000, 8_350_000, 8_414_500, 15_625],
    [8000, 2_187_000, 2_187_500, 8000],
    [2_048_000, 16_500_000, 16_804_500, 8000],
  ])(
    'brings a carrier to 1700 Hz, unchanged in level (%i samples a second)',
    (sampleRate, tunedHz, hz, rate) => {
      const options = { sampleRate, tunedHz, channels: [ssb(hz)] };
      const { rates, audio } = tune(options, carrier(hz, options, 1.5));
      expect(rates).toEqual([rate]);
      const steady = audio[0].slice(Math.round(0.2 * rate), Math.round(1.3 * rate));
      let [re, im] = [0, 0];
      steady.forEach((sample, n) => {
        re += (2 * sample * Math.cos((2 * Math.PI * 1700 * n) / rate)) / steady.length;
        im -= (2 * sample * Math.sin((2 * Math.PI * 1700 * n) / rate)) / steady.length;
      });
      expect(Math.hypot(re, im)).toBeCloseTo(1, 3);
      const phase = Math.atan2(im, re);
      const errors = steady.map((sample, n) => sample - Math.cos((2 * Math.PI * 1700 * n) / rate + phase));
      expect(Math.max(...errors.map(Math.abs))).toBeLessThan(2e-3);
    },
  );

  it('holds off what lies 1 kHz beside by 80 dB, less what rounding to 32 bits leaves', () => {
    const options = { sampleRate: 192_000, tunedHz: 8_400_000, channels: [ssb(8_414_500)] };
    const { audio } = tune(options, carrier(8_415_600, options, 1));
    const steady = audio[0].slice(2000, -2000);
    const power = steady.reduce((sum, sample) => sum + sample ** 2, 0) / steady.length;
    expect(10 * Math.log10(2 * power)).toBeLessThan(-75);
  });

  it('gives the same audio however the slice is cut', () => {
    const options = { sampleRate: 48_000, tunedHz: 8_420_000, channels: [ssb(8_414_500)] };
    const slice = createSlice({ ...options, seconds: 0.5 }, [], -20, 1);
    expect(tune(options, slice, 1).audio).toEqual(tune(options, slice, 1_000_000).audio);
  });

  it('refuses a channel outside the slice, and says which lie in it', () => {
    expect(() => createTuner({ sampleRate: 48_000, tunedHz: 8_420_000, channels: [ssb(8_450_000)] })).toThrow(
      'channels: got 8450000 Hz, expected channels from 8399000 to 8441000 Hz, within the slice',
    );
  });
});

describe('what a receiver adds by itself', () => {
  const options = { sampleRate: 96_000, tunedHz: 8_430_000, channels: [ssb(8_445_500)] };
  /** Noise and a carrier of amplitude 0.5 whose image lies on the channel; I and Q as an uneven receiver gives them. */
  function uneven(gainDb: number, degrees: number, seconds: number): IqBlock {
    const slice = createSlice({ ...options, seconds }, [], -60, 4);
    const strong = carrier(8_414_600, options, seconds);
    const gain = 10 ** (gainDb / 20);
    const angle = (Math.PI * degrees) / 180;
    const i = slice.i.map((sample, n) => sample + 0.5 * strong.i[n]);
    const q = slice.q.map((sample, n) => sample + 0.5 * strong.q[n]);
    return { i, q: q.map((sample, n) => gain * (sample * Math.cos(angle) + i[n] * Math.sin(angle))) };
  }
  /** Power of the channel's last second, dB of full scale. */
  const level = (slice: IqBlock, one: TunerOptions = options) => {
    const { audio, rates } = tune(one, slice);
    const last = audio[0].slice(-Math.round(1.2 * rates[0]), -Math.round(0.2 * rates[0]));
    return 10 * Math.log10(last.reduce((sum, sample) => sum + sample ** 2, 0) / last.length);
  };

  it('is taken out: the image of a strong signal, by 30 dB and more', () => {
    // By hand: ε = (1 − g·e^(−jφ)) / 2 with 1 dB and 5°: |ε| is 0.076, −22 dB. A carrier of amplitude 0.5 has −6 dB, half
    // of it in the real part of a sideband: an image of −31 dB.
    const asItCame = -6 - 22.3 - 3;
    expect(level(uneven(1, 5, 12))).toBeLessThan(asItCame - 25);
  });

  it('is not made up: an even receiver gets no image', () => {
    // Noise of −60 dB in 3 kHz is −64 dB in ±600 Hz with the edges, and half of it in the real part.
    expect(level(uneven(0, 0, 4))).toBeLessThan(-62);
  });

  it('is taken out: the constant in the middle, though a channel lies there', () => {
    const middle = { ...options, tunedHz: 8_414_500, channels: [ssb(8_414_500)] };
    const slice = createSlice({ ...middle, seconds: 6 }, [], -60, 4);
    const spiked = { i: slice.i.map((one) => one + 0.3), q: slice.q.map((one) => one - 0.2) };
    expect(level(spiked, middle) - level(slice, middle)).toBeLessThan(0.5);
  });
});

describe('calls in a slice', () => {
  const choices = createChoices(12);
  const symbols = (kind: 'distressAlert' | 'testCall' = 'testCall') =>
    encodeCall(randomCall(choices, kind)).symbols;

  it('are read on every channel, the weakest 60 dB below a neighbour 5 kHz away', () => {
    const options = {
      sampleRate: 96_000,
      tunedHz: 8_430_000,
      channels: [8_414_500, 8_415_000, 8_419_500, 8_436_500].map(ssb),
    };
    const sent = options.channels.map(() => symbols());
    const amplitudes = [0.3, 0.03, 0.0003, 0.01];
    const slice = createSlice(
      { ...options, seconds: 9 },
      sent.map((own, n) => ({
        symbols: own,
        hz: options.channels[n].hz,
        at: 0.5 + 0.1 * n,
        amplitude: amplitudes[n],
      })),
      -85,
      1,
    );
    const calls = receive(options, slice);
    expect(calls.map((own) => own.map((call) => call.symbols))).toEqual(sent.map((own) => [own]));
  });

  it('have the ratio of their power to that of the noise in 3 kHz', () => {
    const options = { sampleRate: 96_000, tunedHz: 8_430_000, channels: [ssb(8_390_500)] };
    const slice = createSlice(
      { ...options, seconds: 8 },
      [{ symbols: symbols(), hz: 8_390_500, at: 0.4, amplitude: 0.01 }],
      -50,
      3,
    );
    // 20·log10(0.01) + 50 = 10 dB.
    expect(Math.abs(receive(options, slice)[0][0].snrDb - 10)).toBeLessThan(1);
  });

  it('are read on channel 70 by frequency modulation', () => {
    const options = {
      sampleRate: 240_000,
      tunedHz: 156_500_000,
      channels: [{ hz: 156_525_000, mode: 'fm' } as const],
    };
    const own = symbols('distressAlert');
    const slice = createSlice(
      { ...options, seconds: 1.2 },
      [{ symbols: own, hz: 156_525_000, at: 0.3, amplitude: 0.5 }],
      -40,
      2,
    );
    expect(receive(options, slice)[0].map((call) => call.symbols)).toEqual([own]);
  });
});
