/**
 * Channel: what lies between two sets: noise, fading, mistuning, interference and the faults of equipment. Audio in,
 * impaired audio out.
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
export { createLevelMeter, measureLevelDb, type LevelMeter } from './level.js';
export { CHANNEL_PRESETS, channelPreset, type ChannelPresetName, type SituationName } from './presets.js';
export type { Added, Timed } from './stages/added.js';
export type { AgcStage } from './stages/agc.js';
export type { AudioStage } from './stages/audio.js';
export type { CarrierStage } from './stages/carrier.js';
export type { ClockStage } from './stages/clock.js';
export { FADING_CONDITIONS, type FadingCondition, type FadingConditionName } from './stages/conditions.js';
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
