/** Channels by name, for people: the conditions of ITU-R F.1487, and situations that operators know. */
import { DotphaseError } from '../errors.js';
import type { ChannelDescription, ChannelStage } from './description.js';
import { FADING_CONDITIONS, FADING_CONDITION_NAMES, type FadingConditionName } from './stages/conditions.js';

/** Name of a situation that operators know. */
export type SituationName =
  | 'clear'
  | 'weak'
  | 'mistuned'
  | 'wrong-sideband'
  | 'summer-static'
  | 'crowded-band'
  | 'strong-neighbour'
  | 'poor-recording';

/** Name of a channel that people can ask for. */
export type ChannelPresetName = FadingConditionName | SituationName;

/** Common practice, no source. All levels are relative to the signal. */
const SITUATIONS: Readonly<Record<SituationName, ChannelDescription>> = {
  clear: {
    title: 'a strong signal on a quiet frequency: 30 dB in 3 kHz',
    stages: [{ kind: 'noise', snrDb: 30 }, { kind: 'passband' }],
  },
  weak: {
    title: 'a weak signal: 0 dB in 3 kHz',
    stages: [{ kind: 'noise', snrDb: 0 }, { kind: 'passband' }],
  },
  mistuned: {
    title: 'a receiver tuned 45 Hz too low that drifts, at 20 dB in 3 kHz',
    stages: [
      { kind: 'offset', offsetHz: 45, driftHzPerSecond: 0.4 },
      { kind: 'noise', snrDb: 20 },
    ],
  },
  'wrong-sideband': {
    title: 'the lower sideband in place of the upper: the tones swapped, at 20 dB in 3 kHz',
    stages: [{ kind: 'inversion' }, { kind: 'noise', snrDb: 20 }],
  },
  'summer-static': {
    title: 'crashes of static from thunderstorms, and the gain that they take down',
    stages: [
      { kind: 'noise', snrDb: 12 },
      { kind: 'impulses', levelDb: 5, ratePerSecond: 6 },
      { kind: 'passband' },
      { kind: 'agc' },
    ],
  },
  'crowded-band': {
    title: 'a carrier, keying and direct printing beside the signal, and someone talking under it',
    stages: [
      { kind: 'carrier', frequencyHz: 1230, levelDb: -6 },
      { kind: 'fsk', centreHz: 2300, levelDb: 0 },
      { kind: 'nbdp', centreHz: 1000, levelDb: -3 },
      { kind: 'voice', levelDb: -12 },
      { kind: 'noise', snrDb: 15 },
      { kind: 'passband' },
    ],
  },
  'strong-neighbour': {
    title:
      'direct printing 500 Hz above and 20 dB stronger than the signal, which sets the gain when it comes and goes',
    stages: [
      { kind: 'nbdp', centreHz: 2200, levelDb: 20, startSeconds: 2, stopSeconds: 5 },
      { kind: 'noise', snrDb: 15 },
      { kind: 'passband' },
      { kind: 'agc' },
    ],
  },
  'poor-recording': {
    title: 'an overdriven eight-bit recording with a clock 0.15 % out',
    stages: [
      { kind: 'noise', snrDb: 20 },
      { kind: 'clock', ppm: 1500 },
      { kind: 'clip', overDb: 6 },
      { kind: 'dc', offset: 0.05 },
      { kind: 'quantise', bits: 8 },
    ],
  },
};

function fadingPreset(condition: FadingConditionName): ChannelDescription {
  const { delayMs, spreadHz } = FADING_CONDITIONS[condition];
  const stages: ChannelStage[] = [{ kind: 'fading', condition }];
  return {
    title: `two fading paths ${delayMs} ms apart, Doppler spread ${spreadHz} Hz (ITU-R F.1487)`,
    stages,
  };
}

/** Every named channel. Those of ITU-R F.1487 fade only: noise is a stage of its own. */
export const CHANNEL_PRESETS: Readonly<Record<ChannelPresetName, ChannelDescription>> = {
  ...(Object.fromEntries(FADING_CONDITION_NAMES.map((name) => [name, fadingPreset(name)])) as Record<
    FadingConditionName,
    ChannelDescription
  >),
  ...SITUATIONS,
};

/**
 * The channel of a name, as people type it.
 *
 * @throws DotphaseError that lists the names, when there is none of that name
 */
export function channelPreset(name: string): ChannelDescription {
  if (!Object.hasOwn(CHANNEL_PRESETS, name)) {
    throw new DotphaseError('channel', name, `one of ${Object.keys(CHANNEL_PRESETS).join(', ')}`);
  }
  return CHANNEL_PRESETS[name as ChannelPresetName];
}
