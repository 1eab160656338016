/** A channel as plain data: the kinds of stages, the check of untrusted JSON, and its JSON Schema. */
import * as z from 'zod';
import { integer, number, requireValid, text } from './parameters.js';
import type { Processor, StageContext } from './stage.js';
import { type AgcStage, agc } from './stages/agc.js';
import { type AudioStage, audio } from './stages/audio.js';
import { type CarrierStage, carrier } from './stages/carrier.js';
import { type ClockStage, clock } from './stages/clock.js';
import { type DelayStage, delay } from './stages/delay.js';
import {
  type ClipStage,
  type DcStage,
  type GainStage,
  type QuantiseStage,
  clip,
  dc,
  gain,
  quantise,
} from './stages/equipment.js';
import { type FadingStage, fading } from './stages/fading.js';
import { type FskStage, fsk } from './stages/fsk.js';
import { type ImpulsesStage, impulses } from './stages/impulses.js';
import { type NbdpStage, nbdp } from './stages/nbdp.js';
import { type NoiseStage, noise } from './stages/noise.js';
import { type InversionStage, type OffsetStage, inversion, offset } from './stages/offset.js';
import { type PassbandStage, passband } from './stages/passband.js';
import { type VoiceStage, voice } from './stages/voice.js';

/** One link of the chain, told apart by `kind`. */
export type ChannelStage =
  | NoiseStage
  | FadingStage
  | OffsetStage
  | InversionStage
  | ClockStage
  | DelayStage
  | PassbandStage
  | AgcStage
  | ImpulsesStage
  | CarrierStage
  | FskStage
  | NbdpStage
  | VoiceStage
  | AudioStage
  | GainStage
  | DcStage
  | ClipStage
  | QuantiseStage;

/** A channel as plain data that JSON can carry. */
export interface ChannelDescription {
  /** What the channel stands for, 1 to 200 characters. */
  title?: string | undefined;
  /**
   * Level of the wanted signal where it enters, −200 to 60 dB: the mean square in dB, so that a sine of amplitude 1
   * lies at −3.01 dB. Every level that a stage gives relative to the signal refers to it.
   */
  signalLevelDb?: number | undefined;
  /** Chooses everything random, 0 to 2⁵³ − 1; 0 unless given. */
  seed?: number | undefined;
  /** The stages in the order that the audio passes them, at most 64. */
  stages: readonly ChannelStage[];
}

const STAGES = {
  noise,
  fading,
  offset,
  inversion,
  clock,
  delay,
  passband,
  agc,
  impulses,
  carrier,
  fsk,
  nbdp,
  voice,
  audio,
  gain,
  dc,
  clip,
  quantise,
};

const MAX_STAGES = 64;
const stagesExpected = { error: `a list of at most ${MAX_STAGES} stages` };

const stageSchema = z.discriminatedUnion(
  'kind',
  [
    noise.schema,
    fading.schema,
    offset.schema,
    inversion.schema,
    clock.schema,
    delay.schema,
    passband.schema,
    agc.schema,
    impulses.schema,
    carrier.schema,
    fsk.schema,
    nbdp.schema,
    voice.schema,
    audio.schema,
    gain.schema,
    dc.schema,
    clip.schema,
    quantise.schema,
  ],
  { error: `one of ${Object.keys(STAGES).join(', ')}` },
);

const descriptionSchema = z.strictObject({
  title: text(200, 'what the channel stands for').optional(),
  signalLevelDb: number(
    -200,
    60,
    'dB',
    'level of the wanted signal, 0 dB being the mean square 1',
  ).optional(),
  seed: integer(0, Number.MAX_SAFE_INTEGER, 'chooses everything random').default(0),
  stages: z.array(stageSchema, stagesExpected).max(MAX_STAGES, stagesExpected),
});

/** A description that was checked, with its defaults filled in. */
export type CheckedDescription = z.output<typeof descriptionSchema>;

/** Checks a description for {@link createChannel}'s own use. */
export function checkChannel(value: unknown): CheckedDescription {
  return requireValid(descriptionSchema, value, 'channel');
}

/**
 * Checks a channel description of unknown origin, such as parsed JSON, and fills in the defaults of its stages.
 *
 * @param value - what should be a {@link ChannelDescription}
 * @returns a new description, safe to hand to `createChannel`
 * @throws DotphaseError that names the place, for example `stages[2].delayMs`, and what was expected there
 */
export function parseChannel(value: unknown): ChannelDescription {
  return checkChannel(value);
}

/** The JSON Schema (draft 2020-12) of a {@link ChannelDescription}, for editors and other languages. */
export function channelJsonSchema(): Record<string, unknown> {
  return { ...z.toJSONSchema(descriptionSchema, { io: 'input' }) };
}

/** Sets up a stage that was checked. */
export function createStage(stage: CheckedDescription['stages'][number], context: StageContext): Processor {
  return STAGES[stage.kind].create(stage as never, context);
}
