/**
 * A slice of spectrum to the audio of channels in it: upper sideband on MF and HF (M.493 Annex 1 §1.3: tones at 1700 ±
 * 85 Hz), frequency modulation on VHF channel 70.
 */
import { Described, DotphaseError, requireNumber } from '../errors.js';
import { frequencyModulation } from './discriminator.js';
import { createFilterBank, type Band } from './filterbank.js';

/** A channel of the slice. */
export interface RadioChannel {
  /** Assigned frequency, hertz: that of the channel's middle. */
  readonly hz: number;
  /** How DSC is sent there. */
  readonly mode: 'ssb' | 'fm';
  /** With frequency modulation: take all of a channel 25 kHz wide, as measuring needs; a receiver takes less. */
  readonly isWide?: boolean;
}

/** Which slice, and what of it. */
export interface TunerOptions {
  /** Complex samples a second, 8 000 to 10 000 000. */
  readonly sampleRate: number;
  /** The frequency in the slice's middle, hertz. */
  readonly tunedHz: number;
  readonly channels: readonly RadioChannel[];
}

/** Takes complex samples and gives each channel's audio. */
export interface Tuner {
  /** Samples a second of each channel's audio. */
  readonly sampleRates: readonly number[];
  /**
   * Takes samples, any number; `take` gets a channel's number and audio of full scale ±1, as it comes.
   *
   * @throws DotphaseError where there are not as many of `q` as of `i`
   */
  push(i: Float32Array, q: Float32Array, take: (channel: number, audio: Float32Array) => void): void;
  /** Gives what the filters still hold: a last piece of silence goes through them. */
  flush(take: (channel: number, audio: Float32Array) => void): void;
}

/** The audio frequency that the middle of an upper-sideband channel comes to, hertz. */
export const AUDIO_CENTRE_HZ = 1700;

const SHAPES: Readonly<Record<RadioChannel['mode'] | 'wideFm' | 'wideSsb', Omit<Band, 'offsetHz'>>> = {
  // DSC with its neighbours in 500 Hz steps, of which the receiver takes its own.
  ssb: { passHz: 600, stopHz: 1000, leastRate: 8000, toHz: AUDIO_CENTRE_HZ, isBalanced: true },
  // Carson's rule for 2 rad at 2100 Hz: ±6.3 kHz.
  // The carrier itself may be the constant, where the slice's middle is the channel.
  fm: { passHz: 7000, stopHz: 11_000, leastRate: 24_000, toHz: 0, isBalanced: false },
  // Sidebands to the sixth, and the carrier 2 kHz off.
  wideFm: { passHz: 14_000, stopHz: 18_000, leastRate: 48_000, toHz: 0, isBalanced: false },
  // What lies between channels; the lower edge, turned over, stays out of what is looked for.
  wideSsb: { passHz: 1000, stopHz: 1400, leastRate: 8000, toHz: AUDIO_CENTRE_HZ, isBalanced: true },
};

const shapeOf = ({ mode, isWide }: RadioChannel) =>
  SHAPES[isWide ? (mode === 'fm' ? 'wideFm' : 'wideSsb') : mode];

/** The share of a slice that its filters leave whole. */
export const USABLE_SHARE = 0.9;

/** Lowest and highest rate of a slice. */
export const SLICE_RATES = { lowest: 8000, highest: 10_000_000 } as const;

type Demodulate = (re: Float64Array, im: Float64Array, count: number) => Float32Array;

/** What is wanted of an upper sideband lies above 0 Hz already. */
const upperSideband: Demodulate = (re, _, count) => new Float32Array(re.subarray(0, count));

/** Whether a channel lies wholly within a slice. */
export function isWithinSlice(
  channel: RadioChannel,
  { sampleRate, tunedHz }: Pick<TunerOptions, 'sampleRate' | 'tunedHz'>,
): boolean {
  return Math.abs(channel.hz - tunedHz) + shapeOf(channel).passHz <= (USABLE_SHARE * sampleRate) / 2;
}

/**
 * Tunes to channels of a slice.
 *
 * @throws DotphaseError when an option is out of range, or a channel lies outside the slice
 */
export function createTuner(options: TunerOptions): Tuner {
  const { channels } = options;
  const sampleRate = requireNumber(
    'sampleRate',
    options.sampleRate,
    SLICE_RATES.lowest,
    SLICE_RATES.highest,
    'Hz',
  );
  const tunedHz = requireNumber('tunedHz', options.tunedHz, 0, 1e9, 'Hz');
  for (const channel of channels) {
    if (isWithinSlice(channel, { sampleRate, tunedHz })) continue;
    const half = (USABLE_SHARE * sampleRate) / 2 - shapeOf(channel).passHz;
    throw new DotphaseError(
      'channels',
      new Described(`${channel.hz} Hz`),
      `channels from ${Math.ceil(tunedHz - half)} to ${Math.floor(tunedHz + half)} Hz, within the slice`,
    );
  }
  const bank = createFilterBank(
    sampleRate,
    channels.map((channel) => ({ ...shapeOf(channel), offsetHz: channel.hz - tunedHz })),
  );
  const demodulators = channels.map(({ mode }, channel) =>
    mode === 'fm' ? frequencyModulation(bank.rates[channel]) : upperSideband,
  );
  const push: Tuner['push'] = (i, q, take) => {
    if (i.length !== q.length)
      throw new DotphaseError('q', `${q.length} samples`, `${i.length}, as many as of I`);
    bank.push(i, q, (channel, { re, im, count }) => {
      take(channel, demodulators[channel](re, im, count));
    });
  };
  return {
    sampleRates: bank.rates,
    push,
    flush(take) {
      const silence = new Float32Array(bank.delay);
      push(silence, silence, take);
    },
  };
}
