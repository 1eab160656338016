/**
 * A paper as plain data: what its exercises are to contain, in as much detail as the examiner likes.
 */
import * as z from 'zod';
import { CALL_KINDS, encodeCall, explainFields, type Call, type TableKind } from '../calls/index.js';
import { parseChannel, type ChannelStage } from '../channel/index.js';
import { atPlace, checked } from '../data/index.js';
import { DotphaseError } from '../errors.js';
import { VERSION_LETTERS } from './keys.js';
import { LEVELS, type Level } from './levels.js';
import { TOPICS, type Topic, type Wanted } from './questions/topics.js';
import { SECRET_RULE, createSecret, isSecret } from './secret.js';
import { TOLERANCES, type Tolerances } from './typed.js';
import { WRITTEN_SUBJECTS, type WrittenSubject } from './written/index.js';

/** One call of an exercise. */
export interface CallPlan {
  /** A call that the tables hold, sent with its 200 or 20 dots. */
  call: Call;
  /** When its first dot begins, 0 to 600 s; default 1.5 s behind the end of the call before it, and 1 s for the first. */
  startSeconds?: number | undefined;
  /** How strong it is, −40 to 6 dB relative to what the conditions call the signal; default 0. */
  levelDb?: number | undefined;
  /** What lies between its sender and the receiver; times count from its first dot. Default nothing. */
  path?: readonly ChannelStage[] | undefined;
  /**
   * Fields that nobody can read, by the property of the call that holds them (`position`, `self` …): the two characters
   * in their middle are lost in both sendings, of a field of one character that one and the error check. Default none.
   */
  damaged?: readonly string[] | undefined;
  /** Chooses its fading, 0 to 2⁵³ − 1. Default: by the exercise's seed. */
  seed?: number | undefined;
  /** Whether a receiver is meant to read it, apart from the damaged fields; default true. */
  readable?: boolean | undefined;
}

/** One exercise: a recording with its questions. What is left out is drawn by the level. */
export interface ExercisePlan {
  /** Default: the paper's. */
  level?: Level | undefined;
  /** Kinds of calls to draw, in order, 1 to 6; not beside `calls`. Default: by the level. */
  kinds?: readonly TableKind[] | undefined;
  /** The calls themselves, 1 to 8. Default: drawn. */
  calls?: readonly CallPlan[] | undefined;
  /**
   * What might have been sent instead, beside `calls`: three other lists like it. The questions offer what they say.
   * Default: drawn.
   */
  instead?: readonly (readonly CallPlan[])[] | undefined;
  /** How long the recording lasts at least, up to 600 s, beside `calls`. Default: until the last call is over. */
  seconds?: number | undefined;
  /** The DSC frequency it was heard on, whole hertz, needed with `calls`: it decides the bit rate too. */
  frequencyHz?: number | undefined;
  /** What else the receiver heard: noise, static, its own passband. Default: by the level; with `calls`, noise 30 dB below them. */
  conditions?: readonly ChannelStage[] | undefined;
  /** A sentence for the candidate about the situation, up to 300 characters. */
  situation?: string | undefined;
  /**
   * What is asked, and nothing else: topics, each perhaps with the number of the call it is about. Default: what tells
   * the calls apart that might have been sent.
   */
  ask?: readonly (Topic | Wanted)[] | undefined;
  /** Chooses noise and fading; drawn anew until the recording reads as planned unless given. */
  seed?: number | undefined;
}

/** Questions without a recording. */
export interface WrittenPlan {
  /** How many, 1 to 60. */
  questions: number;
  /** What they may be about; default everything. */
  about?: readonly WrittenSubject[] | undefined;
}

/** A paper. */
export interface PaperPlan {
  /** Up to 100 characters; default by the level. */
  title?: string | undefined;
  /**
   * Chooses all that is not said: text of 16 to 200 characters, at least 8 of them different. Whoever has it can make
   * the answers. Default: 140 random bits.
   */
  secret?: string | undefined;
  /** 1 to 5; default 1. */
  level?: Level | undefined;
  /** Samples per second of the recordings, 8000 to 48 000; default 12 000. */
  sampleRate?: number | undefined;
  /** Whether the question sheet shows a spectrogram of each recording; default true. */
  pictures?: boolean | undefined;
  /** Whether the question sheet prints the characters as received, for candidates without a receiver; default false. */
  characters?: boolean | undefined;
  /** 1 to 60 exercises, or how many to draw; default 6. */
  exercises?: number | readonly ExercisePlan[] | undefined;
  /** Written questions about rules and frequencies: how many, or 1 to 13 lists of them; default none. */
  written?: number | readonly WrittenPlan[] | undefined;
  /** Whether identities, positions, times and frequencies are to be typed instead of chosen; default false. */
  typed?: boolean | undefined;
  /** How far off typed answers may be. */
  tolerance?: Partial<Tolerances> | undefined;
  /** How many versions of one difficulty there are, 1 to 8; default 1. */
  versions?: number | undefined;
  /** Which of them, A to H; default A. */
  version?: string | undefined;
  /**
   * What versions differ in: `calls`, their order, and so all else; or `letters` alone, so that one recording serves all
   * of them in one room. Default calls.
   */
  vary?: 'calls' | 'letters' | undefined;
}

/** A plan that was checked, with the defaults of the whole paper filled in. */
export interface CheckedPlan {
  readonly title: string;
  readonly secret: string;
  readonly level: Level;
  readonly sampleRate: number;
  readonly pictures: boolean;
  readonly characters: boolean;
  readonly exercises: readonly CheckedExercise[];
  readonly written: readonly { readonly questions: number; readonly about: readonly WrittenSubject[] }[];
  readonly typed: boolean;
  readonly tolerance: Tolerances;
  readonly versions: number;
  readonly version: string;
  readonly vary: 'calls' | 'letters';
}

/** An exercise of a plan that was checked. */
export interface CheckedExercise extends ExercisePlan {
  readonly ask?: readonly Wanted[] | undefined;
}

const MOST_EXERCISES = 60;
const DEFAULT_EXERCISES = 6;
const DEFAULT_SAMPLE_RATE = 12_000;

/** Fields that can be damaged without making the call another one. */
const DAMAGEABLE = [
  'to',
  'self',
  'casualty',
  'nature',
  'position',
  'time',
  'followOn',
  'message',
  'telephone',
];

const number = (min: number, max: number, unit = '') => {
  const error = `a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  return z.number({ error }).min(min, { error }).max(max, { error });
};
const integer = (min: number, max: number) => {
  const error = `an integer from ${min} to ${max}`;
  return z.int({ error }).min(min, { error }).max(max, { error });
};
const text = (max: number) => {
  const error = `text of 1 to ${max} characters`;
  return z.string({ error }).min(1, { error }).max(max, { error });
};
const flag = z.boolean({ error: 'true or false' });
const list = <Item extends z.ZodType>(item: Item, min: number, max: number, what: string) => {
  const error = `a list of ${min} to ${max} ${what}`;
  return z.array(item, { error }).min(min, { error }).max(max, { error });
};
const level = z
  .literal(
    Object.keys(LEVELS).map((name) => Number(name) as Level),
    { error: 'a level from 1 to 5' },
  )
  .optional();
const stages = list(z.unknown(), 0, 64, 'stages').optional();
const seed = integer(0, Number.MAX_SAFE_INTEGER).optional();

const callSchema = z.strictObject(
  {
    call: z.unknown(),
    startSeconds: number(0, 600, 's').optional(),
    levelDb: number(-40, 6, 'dB').optional(),
    path: stages,
    damaged: list(
      z.enum(DAMAGEABLE, { error: `one of ${DAMAGEABLE.join(', ')}` }),
      0,
      3,
      'fields',
    ).optional(),
    seed,
    readable: flag.optional(),
  },
  {
    error:
      'a call of an exercise: an object with call, and perhaps startSeconds, levelDb, path, damaged, seed, readable',
  },
);

export const callsSchema = list(callSchema, 1, 8, 'calls');

const topic = z.enum(TOPICS, { error: `one of ${TOPICS.join(', ')}` });
const askSchema = z.union([topic, z.strictObject({ topic, call: z.int().min(1).max(8).optional() })], {
  error: `a topic (${TOPICS.join(', ')}), or one with the number of a call: { "topic": "from", "call": 2 }`,
});

export const exerciseSchema = z.strictObject(
  {
    level,
    kinds: list(
      z.enum(CALL_KINDS, { error: `one of ${CALL_KINDS.join(', ')}` }),
      1,
      6,
      'kinds of calls',
    ).optional(),
    calls: callsSchema.optional(),
    frequencyHz: integer(400_000, 200_000_000).optional(),
    instead: list(z.unknown(), 3, 3, 'lists of calls').optional(),
    seconds: number(0, 600, 's').optional(),
    conditions: stages,
    situation: text(300).optional(),
    ask: list(askSchema, 1, 120, 'topics').optional(),
    seed,
  },
  { error: 'an exercise, an object' },
);

const subjects = list(
  z.enum(WRITTEN_SUBJECTS, { error: `one of ${WRITTEN_SUBJECTS.join(', ')}` }),
  1,
  WRITTEN_SUBJECTS.length,
  'subjects',
).refine((given) => new Set(given).size === given.length, { error: 'each subject once' });
const WRITTEN = `a number of questions from 1 to ${MOST_EXERCISES}, or a list of { "questions": 3, "about": ["relay"] }`;
const writtenSchema = z.union(
  [
    z.int().min(1).max(MOST_EXERCISES),
    z
      .array(z.strictObject({ questions: integer(1, MOST_EXERCISES), about: subjects.optional() }))
      .max(WRITTEN_SUBJECTS.length),
  ],
  { error: WRITTEN },
);

const COUNT = `a number of exercises from 1 to ${MOST_EXERCISES}, or a list of them`;
export const planShape = z.strictObject(
  {
    $schema: z.string({ error: 'the address of a schema' }).optional(),
    title: text(100).optional(),
    secret: z.string({ error: SECRET_RULE }).refine(isSecret, { error: SECRET_RULE }).optional(),
    seed: z
      .undefined({ error: 'a secret in its place: whoever reads a seed can make the answers' })
      .optional(),
    level,
    sampleRate: integer(8000, 48_000).optional(),
    pictures: flag.optional(),
    characters: flag.optional(),
    exercises: z
      .union([z.int().min(1).max(MOST_EXERCISES), z.array(z.unknown()).min(1).max(MOST_EXERCISES)], {
        error: COUNT,
      })
      .optional(),
    written: writtenSchema.optional(),
    typed: flag.optional(),
    tolerance: z
      .strictObject(
        {
          positionMinutes: number(0, 60, 'minutes of arc').optional(),
          frequencyHz: number(0, 5000, 'Hz').optional(),
          timeMinutes: number(0, 60, 'minutes').optional(),
        },
        { error: 'tolerances: an object with positionMinutes, frequencyHz, timeMinutes' },
      )
      .optional(),
    versions: integer(1, VERSION_LETTERS.length).optional(),
    version: z
      .enum(VERSION_LETTERS.split(''), { error: `a letter from A to ${VERSION_LETTERS.at(-1) ?? ''}` })
      .optional(),
    vary: z.enum(['calls', 'letters'], { error: 'calls or letters' }).optional(),
  },
  { error: 'a plan of a paper, an object' },
);

function checkStages(
  given: readonly unknown[] | undefined,
  place: string,
): readonly ChannelStage[] | undefined {
  if (given === undefined) return undefined;
  const parent = place.replace(/\.[^.]*$/, '');
  const name = place.slice(parent.length + 1);
  let parsed: readonly ChannelStage[];
  try {
    parsed = parseChannel({ stages: given }).stages;
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    const field = error.field.replace(/^stages/, name);
    throw new DotphaseError(`${parent}.${field}`, error.value, error.expected);
  }
  const audio = parsed.findIndex(({ kind }) => kind === 'audio');
  if (audio >= 0) {
    const expected = 'a stage without other audio: colliding calls stand in calls';
    throw new DotphaseError(`${place}[${audio}].kind`, 'audio', expected);
  }
  return parsed;
}

function checkCallPlan(given: z.output<typeof callSchema>, place: string): CallPlan {
  const call = given.call as Call;
  atPlace(`${place}.call`, () => {
    const symbols = encodeCall(call).symbols;
    if (!CALL_KINDS.some((kind) => kind === call.kind)) {
      throw new DotphaseError('kind', call.kind, `one of ${CALL_KINDS.join(', ')}`);
    }
    const fields = explainFields(symbols).map(({ field }) => field);
    for (const [i, name] of (given.damaged ?? []).entries()) {
      if (!fields.includes(name)) {
        const expected = `a field of this call: ${DAMAGEABLE.filter((each) => fields.includes(each)).join(', ')}`;
        throw new DotphaseError(`damaged[${i}]`, name, expected);
      }
    }
  });
  return { ...given, call, path: checkStages(given.path, `${place}.path`) };
}

function checkCalls(given: readonly z.output<typeof callSchema>[], place: string): CallPlan[] {
  const calls = given.map((call, i) => checkCallPlan(call, `${place}[${i}]`));
  if (!calls.some(({ readable = true }) => readable)) {
    throw new DotphaseError(place, 'no readable call', 'at least one call that can be read');
  }
  return calls;
}

function checkExercise(value: unknown, place: string): CheckedExercise {
  const given = checked(exerciseSchema, value, place);
  if (given.calls && given.kinds) {
    throw new DotphaseError(`${place}.kinds`, given.kinds, 'either kinds or calls');
  }
  if (given.calls && given.frequencyHz === undefined) {
    throw new DotphaseError(
      `${place}.frequencyHz`,
      undefined,
      'the DSC frequency that the calls were heard on',
    );
  }
  for (const name of ['instead', 'seconds'] as const) {
    if (given[name] !== undefined && !given.calls) {
      throw new DotphaseError(`${place}.${name}`, given[name], 'nothing, where calls is left out');
    }
  }
  const calls = given.calls && checkCalls(given.calls, `${place}.calls`);
  const instead = given.instead?.map((value, i) => {
    const name = `${place}.instead[${i}]`;
    return checkCalls(checked(callsSchema, value, name), name);
  });
  return {
    ...given,
    calls,
    instead,
    conditions: checkStages(given.conditions, `${place}.conditions`),
    ask: given.ask?.map((each) => (typeof each === 'string' ? { topic: each } : each)),
  };
}

/** An object without the properties that are undefined. */
function given<T extends object>(value: T | undefined): { [Key in keyof T]?: NonNullable<T[Key]> } {
  const entries = Object.entries(value ?? {}).filter(([, each]) => each !== undefined);
  return Object.fromEntries(entries) as { [Key in keyof T]?: NonNullable<T[Key]> };
}

/**
 * Checks a plan of unknown origin, such as parsed JSON, and fills in the defaults of the whole paper.
 *
 * @param value - what should be a {@link PaperPlan}
 * @throws DotphaseError that names the place, for example `exercises[2].calls[0].call.nature`
 */
export function parsePaperPlan(value: unknown): CheckedPlan {
  const plan = checked(planShape, value, 'plan', '');
  const wholeLevel = plan.level ?? 1;
  const { exercises = DEFAULT_EXERCISES } = plan;
  const list = typeof exercises === 'number' ? Array.from({ length: exercises }, () => ({})) : exercises;
  const { written = [], versions = 1, version = VERSION_LETTERS[0] } = plan;
  if (versions > 1 && VERSION_LETTERS.indexOf(version) >= versions) {
    throw new DotphaseError('version', version, `one of the ${versions} versions`);
  }
  const lists = typeof written === 'number' ? [{ questions: written }] : written;
  return {
    title: plan.title ?? `Reading DSC calls: ${LEVELS[wholeLevel].title}`,
    secret: plan.secret ?? createSecret(),
    level: wholeLevel,
    sampleRate: plan.sampleRate ?? DEFAULT_SAMPLE_RATE,
    pictures: plan.pictures ?? true,
    characters: plan.characters ?? false,
    exercises: list.map((exercise, i) => checkExercise(exercise, `exercises[${i}]`)),
    written: lists.map(({ questions, about }) => ({ questions, about: about ?? WRITTEN_SUBJECTS })),
    typed: plan.typed ?? false,
    tolerance: { ...TOLERANCES, ...given(plan.tolerance) },
    versions,
    version,
    vary: plan.vary ?? 'calls',
  };
}
