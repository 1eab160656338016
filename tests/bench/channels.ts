/** The channels that decode probability is measured in. */
import type { ChannelStage } from '../../src/channel/index.js';

/** Names of the measured channels. */
export type ChannelName = 'white' | 'moderate' | 'disturbed' | 'five';

interface MeasuredChannel {
  readonly title: string;
  readonly fading: readonly ChannelStage[];
  /** Sendings of the call in a row. */
  readonly sendings: number;
  /** Signal-to-noise ratios measured, dB in 3 kHz. */
  readonly snrDb: readonly number[];
  /** Where nine in ten alerts must be read at the least, dB in 3 kHz. */
  readonly requiredDb: number;
}

const range = (from: number, to: number, step = 1) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);

/** White noise, the two mid-latitude conditions of F.1487 that matter most, and an attempt of five alerts. */
export const CHANNELS: Readonly<Record<ChannelName, MeasuredChannel>> = {
  white: {
    title: 'white noise',
    fading: [],
    sendings: 1,
    snrDb: range(-14, -3),
    requiredDb: -8.5,
  },
  moderate: {
    title: 'F.1487 mid-latitude moderate (1 ms, 0.5 Hz)',
    fading: [{ kind: 'fading', condition: 'mid-latitude-moderate' }],
    sendings: 1,
    snrDb: range(-14, 6, 2),
    requiredDb: -2.5,
  },
  disturbed: {
    title: 'F.1487 mid-latitude disturbed (2 ms, 1 Hz)',
    fading: [{ kind: 'fading', condition: 'mid-latitude-disturbed' }],
    sendings: 1,
    snrDb: range(-14, 6, 2),
    requiredDb: -4,
  },
  five: {
    title: 'five alerts in a row, white noise',
    fading: [],
    sendings: 5,
    snrDb: range(-17, -11),
    requiredDb: -13,
  },
};

/** The names in the order they are told. */
export const CHANNEL_NAMES = Object.keys(CHANNELS) as ChannelName[];
