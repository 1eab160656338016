/**
 * Channel: what lies between two sets: noise, fading, mistuning, interference and the faults of equipment. Audio in,
 * impaired audio out.
 *
 * @example
 * ```ts
 * import { applyChannel, measureLevelDb } from 'dotphase/channel';
 *
 * const tone = Float32Array.from({ length: 12000 }, (_, n) => 0.5 * Math.sin((2 * Math.PI * 1700 * n) / 12000));
 * console.log(measureLevelDb(tone).toFixed(2)); // -9.03
 * const heard = applyChannel(tone, {
 *   sampleRate: 12000,
 *   seed: 7,
 *   stages: [{ kind: 'fading', condition: 'mid-latitude-moderate' }, { kind: 'noise', snrDb: 6 }],
 * });
 * console.log(heard.length - tone.length); // 12
 * ```
 *
 * @packageDocumentation
 */
export { applyChannel, createChannel, type Channel, type ChannelOptions } from './channel.js';
export {
  channelJsonSchema,
  parseChannel,
  type ChannelDescription,
  type ChannelStage,
} from './description.js';
export { createFadingPaths, type FadingGains } from './fadingpaths.js';
export { createLevelMeter, measureLevelDb, roomGainDb, type LevelMeter } from './level.js';
export { CHANNEL_PRESETS, channelPreset, type ChannelPresetName, type SituationName } from './presets.js';
export type { Added, Timed } from './stages/added.js';
export type { AgcStage } from './stages/agc.js';
export type { AudioStage } from './stages/audio.js';
export type { CarrierStage } from './stages/carrier.js';
export type { ClockStage } from './stages/clock.js';
export {
  FADING_CONDITIONS,
  FADING_CONDITION_NAMES,
  type FadingCondition,
  type FadingConditionName,
} from './stages/conditions.js';
export type { DelayStage } from './stages/delay.js';
export type { ClipStage, DcStage, GainStage, QuantiseStage } from './stages/equipment.js';
export type { FadingPath, FadingStage } from './stages/fading.js';
export type { FskStage } from './stages/fsk.js';
export type { ImpulsesStage } from './stages/impulses.js';
export type { NbdpStage } from './stages/nbdp.js';
export type { NoiseStage } from './stages/noise.js';
export type { InversionStage, OffsetStage } from './stages/offset.js';
export type { PassbandStage } from './stages/passband.js';
export type { VoiceStage } from './stages/voice.js';
