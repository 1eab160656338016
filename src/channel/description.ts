/** A channel as plain data: the kinds of stages, the check of untrusted JSON, and its JSON Schema. */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import { type Field, type StageSpec, requireFields, requireKnownNames, requireObject } from './spec.js';
import { type ClockStage, clock } from './stages/clock.js';
import { type DelayStage, delay } from './stages/delay.js';
import { type FadingStage, fading } from './stages/fading.js';
import { type NoiseStage, noise } from './stages/noise.js';
import { type OffsetStage, offset } from './stages/offset.js';

/** One link of the chain, told apart by `kind`. */
export type ChannelStage = NoiseStage | FadingStage | OffsetStage | ClockStage | DelayStage;

/** A channel as plain data that JSON can carry. */
export interface ChannelDescription {
  /** What the channel stands for, at most 200 characters. */
  title?: string;
  /**
   * Level of the wanted signal where it enters, −200 to 60 dB: the mean square in dB, so that a sine of amplitude 1
   * lies at −3.01 dB. Every level that a stage gives relative to the signal refers to it.
   */
  signalLevelDb?: number;
  /** Chooses everything random, 0 to 2⁵³ − 1; 0 unless given. */
  seed?: number;
  /** The stages in the order that the audio passes them, at most 64. */
  stages: readonly ChannelStage[];
}

/** Every kind of stage, with its parameters, ranges and defaults as data. */
const SPECS = { noise, fading, offset, clock, delay };

/** Kinds of stages. */
export const STAGE_KINDS = Object.keys(SPECS) as readonly ChannelStage['kind'][];

/** The description of one kind of stage. The mapping from a kind to its own stage type is lost on the way. */
export type AnySpec = StageSpec<{ kind: string }> & { readonly fields: Readonly<Record<string, Field>> };

/** The description that belongs to a kind. */
export function specOf(kind: ChannelStage['kind']): AnySpec {
  return SPECS[kind] as unknown as AnySpec;
}

const MAX_STAGES = 64;
const MAX_TITLE = 200;

/**
 * Checks a channel description of unknown origin, such as parsed JSON, and fills in the defaults of its stages.
 *
 * @param value - what should be a {@link ChannelDescription}
 * @returns a new description, safe to hand to `createChannel`
 * @throws DotphaseError that names the place, for example `stages[2].delayMs`, and what was expected there
 */
export function parseChannel(value: unknown): ChannelDescription {
  const given = requireObject(value, 'channel', 'an object with stages');
  requireKnownNames(given, ['title', 'signalLevelDb', 'seed', 'stages'], '');
  const { title, signalLevelDb, seed, stages } = given;
  if (!Array.isArray(stages) || stages.length > MAX_STAGES) {
    throw new DotphaseError('stages', stages, `a list of at most ${MAX_STAGES} stages`);
  }
  const description: ChannelDescription = {
    stages: stages.map((stage, i) => parseStage(stage, `stages[${i}]`)),
  };
  if (title !== undefined) {
    if (typeof title !== 'string' || title.length > MAX_TITLE) {
      throw new DotphaseError('title', title, `at most ${MAX_TITLE} characters of text`);
    }
    description.title = title;
  }
  if (signalLevelDb !== undefined) {
    description.signalLevelDb = requireNumber('signalLevelDb', signalLevelDb, -200, 60, 'dB');
  }
  if (seed !== undefined) description.seed = requireInteger('seed', seed, 0, Number.MAX_SAFE_INTEGER);
  return description;
}

function parseStage(value: unknown, path: string): ChannelStage {
  const given = requireObject(value, path, 'an object with a kind');
  const { kind } = given;
  if (typeof kind !== 'string' || !Object.hasOwn(SPECS, kind)) {
    throw new DotphaseError(`${path}.kind`, kind, `one of ${STAGE_KINDS.join(', ')}`);
  }
  const spec = specOf(kind as ChannelStage['kind']);
  const filled = requireFields(spec.fields, given, path, ['kind']);
  if (spec.oneOf) {
    const present = spec.oneOf.filter((name) => name in filled);
    if (present.length !== 1) {
      throw new DotphaseError(path, present, `exactly one of ${spec.oneOf.join(', ')}`);
    }
  }
  return { kind, ...filled } as unknown as ChannelStage;
}

function fieldSchema(field: Field): Record<string, unknown> {
  const described = {
    description:
      field.type === 'number' || field.type === 'integer' ? `${field.about} (${field.unit})` : field.about,
    ...(field.default === undefined ? {} : { default: field.default }),
  };
  switch (field.type) {
    case 'number':
    case 'integer':
      return { ...described, type: field.type, minimum: field.min, maximum: field.max };
    case 'flag':
      return { ...described, type: 'boolean' };
    case 'choice':
      return { ...described, type: 'string', enum: field.choices };
    case 'text':
      return { ...described, type: 'string', pattern: field.pattern, maxLength: field.maxLength };
    case 'list':
      return {
        ...described,
        type: 'array',
        minItems: 1,
        maxItems: field.maxItems,
        items: objectSchema(field.item),
      };
  }
}

function objectSchema(fields: Readonly<Record<string, Field>>): Record<string, unknown> {
  const entries = Object.entries(fields);
  return {
    type: 'object',
    properties: Object.fromEntries(entries.map(([name, field]) => [name, fieldSchema(field)])),
    required: entries.filter(([, field]) => field.required).map(([name]) => name),
    additionalProperties: false,
  };
}

function stageSchema(spec: AnySpec): Record<string, unknown> {
  const schema = objectSchema(spec.fields);
  return {
    ...schema,
    description: spec.about,
    properties: { kind: { const: spec.kind }, ...(schema.properties as object) },
    required: ['kind', ...(schema.required as string[])],
    ...(spec.oneOf ? { oneOf: spec.oneOf.map((name) => ({ required: [name] })) } : {}),
  };
}

/**
 * The JSON Schema (draft 2020-12) of a {@link ChannelDescription}, for editors and other languages. It accepts what
 * {@link parseChannel} accepts.
 */
export function channelJsonSchema(): Record<string, unknown> {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Channel description',
    type: 'object',
    properties: {
      title: { type: 'string', maxLength: MAX_TITLE },
      signalLevelDb: {
        type: 'number',
        minimum: -200,
        maximum: 60,
        description: 'level of the wanted signal (dB)',
      },
      seed: { type: 'integer', minimum: 0, maximum: Number.MAX_SAFE_INTEGER, default: 0 },
      stages: {
        type: 'array',
        maxItems: MAX_STAGES,
        items: { anyOf: STAGE_KINDS.map((kind) => stageSchema(specOf(kind))) },
      },
    },
    required: ['stages'],
    additionalProperties: false,
  };
}
