/** The channels that decode probability is measured in. */
import type { ChannelStage } from '../../src/channel/index.js';

/** Names of the measured channels. */
export type ChannelName =
  'white' | 'moderate' | 'disturbed' | 'five' | 'fiveFirst' | 'fiveModerate' | 'fiveDisturbed';

/** What lies between the stations. */
export type Air = 'white' | 'moderate' | 'disturbed';

/** The airs in words. */
export const AIRS: Readonly<Record<Air, string>> = {
  white: 'white noise',
  moderate: 'F.1487 mid-latitude moderate (1 ms, 0.5 Hz)',
  disturbed: 'F.1487 mid-latitude disturbed (2 ms, 1 Hz)',
};

interface MeasuredChannel {
  readonly title: string;
  readonly air: Air;
  readonly fading: readonly ChannelStage[];
  /** Sendings of the call in a row. */
  readonly sendings: number;
  /** Where their dots stand. */
  readonly dotsBefore: 'first' | 'each';
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
    title: AIRS.white,
    air: 'white',
    fading: [],
    sendings: 1,
    dotsBefore: 'each',
    snrDb: range(-14, -3),
    requiredDb: -8.5,
  },
  moderate: {
    title: AIRS.moderate,
    air: 'moderate',
    fading: [{ kind: 'fading', condition: 'mid-latitude-moderate' }],
    sendings: 1,
    dotsBefore: 'each',
    snrDb: range(-14, 6, 2),
    requiredDb: -2.5,
  },
  disturbed: {
    title: AIRS.disturbed,
    air: 'disturbed',
    fading: [{ kind: 'fading', condition: 'mid-latitude-disturbed' }],
    sendings: 1,
    dotsBefore: 'each',
    snrDb: range(-14, 6, 2),
    requiredDb: -4,
  },
  five: {
    title: 'five alerts in a row, dots before each, white noise',
    air: 'white',
    fading: [],
    sendings: 5,
    dotsBefore: 'each',
    snrDb: range(-19, -15),
    requiredDb: -17,
  },
  fiveFirst: {
    title: 'five alerts in a row, dots before the first, white noise',
    air: 'white',
    fading: [],
    sendings: 5,
    dotsBefore: 'first',
    snrDb: range(-19, -15),
    requiredDb: -17,
  },
  fiveModerate: {
    title: 'five alerts in a row, F.1487 mid-latitude moderate',
    air: 'moderate',
    fading: [{ kind: 'fading', condition: 'mid-latitude-moderate' }],
    sendings: 5,
    dotsBefore: 'first',
    snrDb: range(-17, -12),
    requiredDb: -14,
  },
  fiveDisturbed: {
    title: 'five alerts in a row, F.1487 mid-latitude disturbed',
    air: 'disturbed',
    fading: [{ kind: 'fading', condition: 'mid-latitude-disturbed' }],
    sendings: 5,
    dotsBefore: 'first',
    snrDb: range(-17, -12),
    requiredDb: -14.5,
  },
};

/** The names in the order they are told. */
export const CHANNEL_NAMES = Object.keys(CHANNELS) as ChannelName[];

/** The channels that carry one alert, and those that carry an attempt of five. */
export const SINGLE_CHANNELS = CHANNEL_NAMES.filter((name) => CHANNELS[name].sendings === 1);
/** See {@link SINGLE_CHANNELS}. */
export const ATTEMPT_CHANNELS = CHANNEL_NAMES.filter((name) => CHANNELS[name].sendings > 1);
