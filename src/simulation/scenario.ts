/**
 * Scenarios: stations, the paths between them and what happens when, as plain JSON data.
 */
import * as z from 'zod';
import {
  encodeCall,
  type Address,
  type Call,
  type Identity,
  type Message,
  type Position,
} from '../calls/index.js';
import { FADING_CONDITIONS, parseChannel, type FadingConditionName } from '../channel/index.js';
import { DotphaseError } from '../errors.js';
import {
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type FirstTelecommandName,
  type FollowOnName,
  type NatureName,
  type SecondTelecommandName,
  type Vocabulary,
} from '../symbols/index.js';
import { atPlace, checked } from '../data/index.js';
import { CHOICE_NAMES, type AutomaticAnswers, type ChoiceName } from '../procedures/index.js';
import type { PathConditions } from './path.js';

/** How a virtual operator behaves. */
export type Behaviour =
  /** Answers after the reaction time. */
  | 'answers'
  /** Answers `lateSeconds` later than that. */
  | 'answersLate'
  /** Refuses calls that can be refused, for `reason`; leaves the others unanswered. */
  | 'refusesBusy'
  /** Answers twice. */
  | 'answersTwice'
  /** Answers on another DSC frequency, or proposes another channel, as `elsewhere` says. */
  | 'answersElsewhere'
  /** Hears and does not answer. */
  | 'silent'
  /** Hears no station and no station hears it. */
  | 'outOfRange';

/** Every {@link Behaviour}. */
export const BEHAVIOURS: readonly Behaviour[] = [
  'answers',
  'answersLate',
  'refusesBusy',
  'answersTwice',
  'answersElsewhere',
  'silent',
  'outOfRange',
];

/** What a virtual operator can do. */
export type Ability =
  /** Answer calls. */
  | 'calls'
  /** Acknowledge distress alerts and relays by DSC: coast stations only. */
  | 'distress'
  /** Relay alerts that nobody acknowledges. */
  | 'relays'
  /** Speak where voice follows. */
  | 'voice';

/** Every {@link Ability}. */
export const ABILITIES: readonly Ability[] = ['calls', 'distress', 'relays', 'voice'];

/** A virtual station. */
export interface ScenarioStation {
  /** Nine digits; a coast station's begin with 00. */
  readonly identity: Identity;
  /** 1 to 60 characters. */
  readonly name: string;
  /** 1 to 20 characters; said when an alert is cancelled by voice. */
  readonly callSign?: string | undefined;
  readonly position?: Position | undefined;
  /** DSC frequencies it hears, assigned, hertz: 1 to 20. */
  readonly watch: readonly number[];
  /** The groups it answers for; default none. */
  readonly groups?: readonly Identity[] | undefined;
  /** What it answers without its operator; default nothing. */
  readonly automatic?: readonly (keyof AutomaticAnswers)[] | undefined;
  /** Default: all. */
  readonly abilities?: readonly Ability[] | undefined;
  /** Default `answers`. */
  readonly behaviour?: Behaviour | undefined;
  /** Shortest and longest time until its operator acts, seconds, 0–3600; default 4 to 8. */
  readonly reactionSeconds?: readonly [number, number] | undefined;
  /** By how much it is late where its behaviour is `answersLate`, seconds, 0–3600; default 75. */
  readonly lateSeconds?: number | undefined;
  /** Why it refuses; default busy. */
  readonly reason?: SecondTelecommandName | undefined;
  /** Where it answers if its behaviour is `answersElsewhere`. */
  readonly elsewhere?:
    | {
        /** The DSC frequency of its answers, hertz. */
        readonly frequencyHz?: number | undefined;
        /** The working channels that it proposes. */
        readonly message?: Message | undefined;
      }
    | undefined;
  /** How often it sends a call that nobody answers, 1–10; default 2. */
  readonly attempts?: number | undefined;
  /** What it says by voice to a call to many, up to 300 characters; default nothing. */
  readonly reply?: string | undefined;
  /** Noise in 3 kHz where it listens, dB relative to a transmission without loss, −100 to 40; default −25. */
  readonly noiseDb?: number | undefined;
}

/** A path that differs from what distance alone makes it. Where several fit, the last one counts. */
export interface ScenarioPath extends PathConditions {
  /** An identity, or `*` for any. */
  readonly from: Identity | '*';
  /** An identity, or `*` for any. */
  readonly to: Identity | '*';
  /** Whether it holds from `to` to `from` as well; default true. */
  readonly bothWays?: boolean | undefined;
  /** Only on these frequencies, hertz; default all. */
  readonly frequencies?: readonly number[] | undefined;
  /** Nothing gets through; default false. */
  readonly blocked?: boolean | undefined;
}

interface Timed {
  /** Seconds from the beginning, 0–86400. */
  readonly at: number;
  readonly station: Identity;
}

/** Something that a station does at a time. */
export type ScenarioEvent = Timed &
  (
    | { readonly do: 'call'; readonly call: Call; readonly frequencyHz: number }
    | {
        readonly do: 'distress';
        readonly nature: NatureName;
        readonly followOn: FollowOnName;
        /** One to seven DSC frequencies, hertz. */
        readonly frequencies: readonly number[];
      }
    /** Chooses in the latest exchange where this choice is open. */
    | {
        readonly do: 'choose';
        readonly choice: ChoiceName;
        readonly reason?: SecondTelecommandName | undefined;
        readonly message?: Message | undefined;
        readonly telecommand1?: FirstTelecommandName | undefined;
        readonly frequencyHz?: number | undefined;
        readonly to?: Address | undefined;
        readonly directed?: boolean | undefined;
        readonly necessary?: boolean | undefined;
      }
    | { readonly do: 'behaviour'; readonly behaviour: Behaviour }
    | { readonly do: 'move'; readonly position: Position }
    /** Speaks; on a frequency in hertz, or wherever it keeps watch. */
    | { readonly do: 'say'; readonly text: string; readonly frequencyHz?: number | undefined }
  );

/** A scenario. Plain JSON data. */
export interface Scenario {
  /** Where an editor finds the schema. */
  readonly $schema?: string | undefined;
  /** 1 to 100 characters. */
  readonly title: string;
  /** What it shows, up to 1000 characters. */
  readonly about?: string | undefined;
  /** Chooses everything random, 0 to 2⁵³ − 1; default 0. */
  readonly seed?: number | undefined;
  /** When it begins, UTC, by ISO 8601. */
  readonly start: string;
  /** It ends after this, seconds, 1–86400. */
  readonly durationSeconds: number;
  /** The station that a person plays. */
  readonly own: Identity;
  /** 1 to 100. */
  readonly stations: readonly ScenarioStation[];
  /** Default none: all paths are made by distance. */
  readonly paths?: readonly ScenarioPath[] | undefined;
  /** In any order, at most 10000. */
  readonly events: readonly ScenarioEvent[];
}

/** Optional properties may also be absent; zod types them as possibly undefined. */
const number = (low: number, high: number, unit: string, about: string) => {
  const error = `a number from ${low} to ${high}${unit === '' ? '' : ` ${unit}`}`;
  return z.number({ error }).min(low, { error }).max(high, { error }).meta({ description: about });
};
const integer = (low: number, high: number, about: string) => {
  const error = `a whole number from ${low} to ${high}`;
  return z.int({ error }).min(low, { error }).max(high, { error }).meta({ description: about });
};
/** No control characters, which a terminal would obey, and no marks that turn the direction of writing; lines may break. */
const PLAIN = /^(?:[^\p{Cc}\u200E\u200F\u202A-\u202E\u2066-\u2069]|\n)*$/u;
const text = (most: number, about: string) => {
  const error = `text of 1 to ${most} characters, without control characters`;
  return z
    .string({ error })
    .min(1, { error })
    .max(most, { error })
    .regex(PLAIN, { error })
    .meta({ description: about });
};
const list = <Item extends z.ZodType>(item: Item, least: number, most: number, what: string) => {
  const error = `a list of ${least === 0 ? 'at most' : `${least} to`} ${most} ${what}`;
  return z.array(item, { error }).min(least, { error }).max(most, { error });
};
const words = <Word extends string>(vocabulary: readonly Word[], about: string) =>
  z.enum(vocabulary as [Word, ...Word[]], { error: `one of ${vocabulary.join(', ')}` }).meta({
    description: about,
  });
const names = <Name extends string>(vocabulary: Vocabulary<Name>) => vocabulary.words.map(({ name }) => name);

const IDENTITY = 'nine digits';
const identity = z
  .string({ error: IDENTITY })
  .regex(/^\d{9}$/, { error: IDENTITY })
  .meta({ description: 'nine digits' });
const party = z
  .union([z.literal('*'), identity], { error: 'nine digits or *' })
  .meta({ description: 'an identity, or * for any' });
const frequency = integer(400_000, 200_000_000, 'assigned frequency in hertz');
const position = z
  .strictObject(
    {
      latitude: number(-90, 90, 'degrees', 'decimal degrees, north positive'),
      longitude: number(-180, 180, 'degrees', 'decimal degrees, east positive'),
    },
    { error: 'a position: latitude and longitude in decimal degrees' },
  )
  .meta({ description: 'WGS 84' });
/** Calls and their parts are checked by encoding them. */
const part = (about: string) =>
  z.custom<object | string>((value) => value !== undefined && value !== null).meta({ description: about });
const call = z
  .record(z.string(), z.unknown(), { error: 'a call: an object with its kind' })
  .meta({ description: 'a typed call with its kind and its fields' });

const station = z.strictObject(
  {
    identity,
    name: text(60, 'what the station is called'),
    callSign: text(20, 'its call sign').optional(),
    position: position.optional(),
    watch: list(frequency, 1, 20, 'frequencies').meta({ description: 'DSC frequencies it hears' }),
    groups: list(identity, 0, 100, 'identities').optional(),
    automatic: list(words(['test', 'position', 'polling'], 'a kind of call'), 0, 3, 'kinds')
      .meta({ description: 'what it answers without its operator' })
      .optional(),
    abilities: list(words(ABILITIES, 'an ability'), 0, 4, 'abilities').optional(),
    behaviour: words(BEHAVIOURS, 'how its operator behaves').optional(),
    reactionSeconds: z
      .tuple([number(0, 3600, 's', 'shortest'), number(0, 3600, 's', 'longest')], {
        error: 'shortest and longest time in seconds',
      })
      .refine(([shortest, longest]) => shortest <= longest, {
        error: 'a shortest time and one that is not shorter',
      })
      .meta({ description: 'until its operator acts' })
      .optional(),
    lateSeconds: number(0, 3600, 's', 'by how much it is late where its behaviour is answersLate').optional(),
    reason: words(names(SECOND_TELECOMMANDS), 'why it refuses').optional(),
    elsewhere: z
      .strictObject(
        { frequencyHz: frequency.optional(), message: part('working channels').optional() },
        { error: 'frequencyHz, message or both' },
      )
      .meta({ description: 'where it answers if its behaviour is answersElsewhere' })
      .optional(),
    attempts: integer(1, 10, 'how often it sends a call that nobody answers').optional(),
    reply: text(300, 'what it says by voice to a call to many').optional(),
    noiseDb: number(-100, 40, 'dB', 'noise in 3 kHz relative to a transmission without loss').optional(),
  },
  { error: 'a station' },
);

const path = z.strictObject(
  {
    from: party,
    to: party,
    bothWays: z.boolean({ error: 'true or false' }).optional(),
    frequencies: list(frequency, 1, 100, 'frequencies').optional(),
    blocked: z.boolean({ error: 'true or false' }).meta({ description: 'nothing gets through' }).optional(),
    levelDb: number(-100, 20, 'dB', 'level where it arrives').optional(),
    delayMs: number(0, 1000, 'ms', 'delay').optional(),
    fading: words(
      Object.keys(FADING_CONDITIONS) as FadingConditionName[],
      'condition of ITU-R F.1487',
    ).optional(),
    stages: z
      .array(z.record(z.string(), z.unknown()), { error: 'a list of stages' })
      .meta({ description: 'stages of a channel' })
      .optional(),
  },
  { error: 'a path' },
);

const timed = {
  at: number(0, 86_400, 's', 'seconds from the beginning'),
  station: identity,
};
const event = z.discriminatedUnion(
  'do',
  [
    z.strictObject({ ...timed, do: z.literal('call'), call, frequencyHz: frequency }),
    z.strictObject({
      ...timed,
      do: z.literal('distress'),
      nature: words(names(NATURES), 'nature of distress'),
      followOn: words(names(FOLLOW_ONS), 'communication to follow'),
      frequencies: list(frequency, 1, 7, 'frequencies'),
    }),
    z.strictObject({
      ...timed,
      do: z.literal('choose'),
      choice: words(CHOICE_NAMES, 'what is chosen in the latest exchange where it can be'),
      reason: words(names(SECOND_TELECOMMANDS), 'why it refuses').optional(),
      message: part('working channels').optional(),
      telecommand1: words(names(FIRST_TELECOMMANDS), 'the kind of communication').optional(),
      frequencyHz: frequency.optional(),
      to: part('an address').optional(),
      directed: z.boolean({ error: 'true or false' }).optional(),
      necessary: z.boolean({ error: 'true or false' }).optional(),
    }),
    z.strictObject({
      ...timed,
      do: z.literal('behaviour'),
      behaviour: words(BEHAVIOURS, 'how its operator behaves'),
    }),
    z.strictObject({ ...timed, do: z.literal('move'), position }),
    z.strictObject({
      ...timed,
      do: z.literal('say'),
      text: text(500, 'what is said'),
      frequencyHz: frequency.optional(),
    }),
  ],
  { error: 'an event: do is call, distress, choose, behaviour, move or say' },
);

const START = 'a moment in UTC such as 2031-05-17T12:00:00Z';
const schema = z.strictObject(
  {
    $schema: z.string({ error: 'the address of the schema' }).optional(),
    title: text(100, 'what the scenario is called'),
    about: text(1000, 'what it shows').optional(),
    seed: integer(0, Number.MAX_SAFE_INTEGER, 'chooses everything random').optional(),
    start: z.iso.datetime({ error: START }).meta({ description: START }),
    durationSeconds: number(1, 86_400, 's', 'it ends after this'),
    own: identity,
    stations: list(station, 1, 100, 'stations'),
    paths: list(path, 0, 10_000, 'paths').optional(),
    events: list(event, 0, 10_000, 'events'),
  },
  { error: 'a scenario' },
);

function checkParts(scenario: Scenario): void {
  const identities = scenario.stations.map(({ identity: each }) => each);
  const known = (field: string, each: string) => {
    if (!identities.includes(each))
      throw new DotphaseError(field, each, 'the identity of one of the stations');
  };
  identities.forEach((each, i) => {
    if (identities.indexOf(each) !== i) {
      throw new DotphaseError(`scenario.stations[${i}].identity`, each, 'each identity once');
    }
  });
  known('scenario.own', scenario.own);
  scenario.paths?.forEach(({ from, to, stages }, i) => {
    if (from !== '*') known(`scenario.paths[${i}].from`, from);
    if (to !== '*') known(`scenario.paths[${i}].to`, to);
    if (stages) atPlace(`scenario.paths[${i}]`, () => parseChannel({ stages }));
  });
  scenario.events.forEach((each, i) => {
    known(`scenario.events[${i}].station`, each.station);
    if (each.do === 'call') atPlace(`scenario.events[${i}].call`, () => encodeCall(each.call).symbols);
  });
}

/**
 * Checks a scenario of unknown origin, such as parsed JSON.
 *
 * @param value - what should be a {@link Scenario}
 * @throws DotphaseError that names the first place that is wrong, for example `scenario.stations[2].watch`
 */
export function parseScenario(value: unknown): Scenario {
  const scenario = checked(schema, value, 'scenario') as unknown as Scenario;
  checkParts(scenario);
  return scenario;
}

/** The JSON Schema (draft 2020-12) of a {@link Scenario}, for editors and other languages. */
export function scenarioJsonSchema(): Record<string, unknown> {
  return { ...z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) };
}
