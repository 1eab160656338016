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
  STAGE_KINDS,
  type ChannelDescription,
  type ChannelStage,
} from './description.js';
export { measureLevelDb } from './level.js';
export type { ClockStage } from './stages/clock.js';
export { FADING_CONDITIONS, type FadingCondition, type FadingConditionName } from './stages/conditions.js';
export type { DelayStage } from './stages/delay.js';
export type { FadingPath, FadingStage } from './stages/fading.js';
export type { NoiseStage } from './stages/noise.js';
export type { OffsetStage } from './stages/offset.js';
