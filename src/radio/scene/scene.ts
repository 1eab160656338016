/**
 * What a made-up slice of spectrum holds: calls, carriers, noise, and the faults of the receiver that recorded it. Plain
 * JSON data.
 */
import * as z from 'zod';
import { encodeCall, type Call } from '../../calls/index.js';
import { FADING_CONDITION_NAMES, type FadingConditionName } from '../../channel/index.js';
import { atPlace, checked } from '../../data/index.js';
import { DotphaseError, NOTHING } from '../../errors.js';
import { frameCall, type FramedCharacters } from '../../frames/index.js';
import { SLICE_RATES } from '../tuner.js';

/** How strong something is: exactly one of the two. */
export interface SceneLevel {
  /** Level of its carrier, dB: 0 is the amplitude 1, which just fits. −200 to 60. */
  readonly levelDb?: number | undefined;
  /** The same over the noise in 3 kHz, dB; needs `noiseDb` of the scene. −100 to 200. */
  readonly snrDb?: number | undefined;
}

/** A call: on MF and HF the two tones about its frequency, above 30 MHz a carrier that they modulate in phase by 2 rad. */
export interface SceneCall extends SceneLevel {
  /** What is sent; or `symbols`. */
  readonly call?: Call | undefined;
  /** One format specifier through the error check, each once, in place of `call`. */
  readonly symbols?: readonly number[] | undefined;
  /** With `symbols`: the expansions that follow, each from its specifier through its error check. */
  readonly expansions?: readonly (readonly number[])[] | undefined;
  /** The middle of its tones, hertz; of a sender that is right the DSC frequency. */
  readonly frequencyHz: number;
  /** When its first dot begins, seconds from the beginning of the slice. What lies behind its end is cut off. */
  readonly atSeconds: number;
  /** Sendings in a row, 1 to 100; default 1. */
  readonly repeat?: number | undefined;
  /** What the ionosphere does to it, on MF and HF: a condition of ITU-R F.1487. */
  readonly fading?: FadingConditionName | undefined;
}

/** A steady carrier. */
export interface SceneCarrier extends SceneLevel {
  /** Hertz. */
  readonly frequencyHz: number;
  /** When it begins, seconds; default 0. */
  readonly fromSeconds?: number | undefined;
  /** When it ends, seconds; default the end of the slice. */
  readonly untilSeconds?: number | undefined;
}

/** What the receiver does wrong. */
export interface SceneReceiver {
  /** How much higher than it says it is tuned, −500 to 500 parts per million; default 0. */
  readonly oscillatorPpm?: number | undefined;
  /** A constant in I and in Q, the spike in the middle of the slice, −1 to 1; default 0. */
  readonly dcI?: number | undefined;
  readonly dcQ?: number | undefined;
  /** How much stronger Q is than I, −10 to 10 dB; default 0. */
  readonly imbalanceDb?: number | undefined;
  /** How far Q is from a quarter turn after I, −30 to 30 degrees; default 0. */
  readonly skewDegrees?: number | undefined;
}

/** A slice of spectrum to be made. The same scene gives the same samples. */
export interface SliceScene {
  /** Complex samples a second, 8 000 to 10 000 000. */
  readonly sampleRate: number;
  /** The frequency in the slice's middle, as the receiver says it, hertz. */
  readonly tunedHz: number;
  /** Length, above 0, at most a week. */
  readonly seconds: number;
  /** Chooses the noise and the fading: a whole number from 0; default 0. */
  readonly seed?: number | undefined;
  /** When it began, ISO 8601: for those who write it into a file. */
  readonly recorded?: string | undefined;
  /** Noise in 3 kHz, white over the slice, dB: 0 is that of amplitude 1. −200 to 0; without it there is none. */
  readonly noiseDb?: number | undefined;
  readonly calls?: readonly SceneCall[] | undefined;
  readonly carriers?: readonly SceneCarrier[] | undefined;
  readonly receiver?: SceneReceiver | undefined;
}

const WEEK_SECONDS = 604_800;

const number = (expected: string, min: number, max: number) =>
  z
    .number({ error: expected })
    .min(min, { error: expected })
    .max(max, { error: expected })
    .describe(expected);

const SECONDS = `seconds from 0 to ${WEEK_SECONDS}`;
const FREQUENCY = 'hertz from 0 to 1000000000';
const SYMBOLS = 'a list of symbols from 0 to 127';
const symbols = z
  .array(z.int({ error: SYMBOLS }).min(0, { error: SYMBOLS }).max(127, { error: SYMBOLS }), {
    error: SYMBOLS,
  })
  .max(1000, { error: SYMBOLS })
  .readonly();
const FADING = `one of ${FADING_CONDITION_NAMES.join(', ')}`;

const level = {
  levelDb: number('decibels of full scale from −200 to 60', -200, 60).optional(),
  snrDb: number('decibels over the noise in 3 kHz from −100 to 200', -100, 200).optional(),
};

const callSchema = z.strictObject(
  {
    call: z.record(z.string(), z.unknown(), { error: 'a call with its kind' }).optional(),
    symbols: symbols.describe(SYMBOLS).optional(),
    expansions: z.array(symbols, { error: 'a list of lists of symbols' }).readonly().optional(),
    frequencyHz: number(FREQUENCY, 0, 1e9),
    atSeconds: number(SECONDS, 0, WEEK_SECONDS),
    ...level,
    repeat: z
      .int({ error: 'a whole number from 1 to 100' })
      .min(1, { error: 'a whole number from 1 to 100' })
      .max(100, { error: 'a whole number from 1 to 100' })
      .describe('sendings in a row')
      .optional(),
    fading: z
      .enum(FADING_CONDITION_NAMES, { error: FADING })
      .describe('a condition of ITU-R F.1487')
      .optional(),
  },
  { error: 'a call: call, frequencyHz, atSeconds, and levelDb or snrDb' },
);

const carrierSchema = z.strictObject(
  {
    frequencyHz: number(FREQUENCY, 0, 1e9),
    ...level,
    fromSeconds: number(SECONDS, 0, WEEK_SECONDS).optional(),
    untilSeconds: number(SECONDS, 0, WEEK_SECONDS).optional(),
  },
  { error: 'a carrier: frequencyHz, and levelDb or snrDb' },
);

const RATES = `samples a second from ${SLICE_RATES.lowest} to ${SLICE_RATES.highest}`;
const SEED = 'a whole number from 0 to 9007199254740991';
const RECORDED = 'when the recording began, as in 2031-05-17T09:30:00Z';

const sceneSchema = z
  .strictObject(
    {
      $schema: z.string({ error: 'the address of the schema' }).optional(),
      sampleRate: number(RATES, SLICE_RATES.lowest, SLICE_RATES.highest),
      tunedHz: number(FREQUENCY, 0, 1e9),
      seconds: number(`seconds above 0, at most ${WEEK_SECONDS}`, Number.MIN_VALUE, WEEK_SECONDS),
      seed: z.int({ error: SEED }).min(0, { error: SEED }).describe(SEED).optional(),
      recorded: z.iso.datetime({ error: RECORDED, offset: true }).describe(RECORDED).optional(),
      noiseDb: number('decibels of full scale in 3 kHz from −200 to 0', -200, 0).optional(),
      calls: z
        .array(callSchema, { error: 'a list of calls' })
        .max(10_000, { error: 'at most 10000 calls' })
        .optional(),
      carriers: z
        .array(carrierSchema, { error: 'a list of carriers' })
        .max(1000, { error: 'at most 1000 carriers' })
        .optional(),
      receiver: z
        .strictObject(
          {
            oscillatorPpm: number('parts per million from −500 to 500', -500, 500).optional(),
            dcI: number('a number from −1 to 1', -1, 1).optional(),
            dcQ: number('a number from −1 to 1', -1, 1).optional(),
            imbalanceDb: number('decibels from −10 to 10', -10, 10).optional(),
            skewDegrees: number('degrees from −30 to 30', -30, 30).optional(),
          },
          { error: 'what the receiver does wrong' },
        )
        .optional(),
    },
    { error: 'a slice of spectrum: sampleRate, tunedHz, seconds' },
  )
  .describe('A slice of spectrum to be made');

/**
 * The JSON Schema (draft 2020-12) of the file of a slice. Beyond it, each call and carrier has one of levelDb and snrDb,
 * lies within the slice and begins within its length, and each call has either call or symbols.
 */
export function sliceSchema(): Record<string, unknown> {
  return z.toJSONSchema(sceneSchema);
}

/** Above this, DSC is sent by frequency modulation. */
const FM_FROM_HZ = 30_000_000;

/** How DSC is sent on a frequency. */
export const bandAt = (hz: number) => (hz >= FM_FROM_HZ ? 'vhf' : 'mf-hf');

/** What a call takes to either side of its frequency, hertz: by Carson's rule for 2 rad at 2100 Hz; two tones and their keying. */
export const HALF_WIDTH = { vhf: 6300, 'mf-hf': 300 } as const;

/**
 * The frequency that really lies in the middle of the slice, hertz.
 */
export function middleOf({ tunedHz, receiver = {} }: Pick<SliceScene, 'tunedHz' | 'receiver'>): number {
  return tunedHz * (1 + (receiver.oscillatorPpm ?? 0) * 1e-6);
}

/** What a call of a scene sends. */
export function charactersOf({ call, symbols: given = [], expansions = [] }: SceneCall): FramedCharacters {
  return call ? encodeCall(call) : { symbols: given, expansions };
}

function requireWithin(scene: SliceScene, frequencyHz: number, halfWidth: number, place: string): void {
  const most = scene.sampleRate / 2 - halfWidth;
  const middle = middleOf(scene);
  if (Math.abs(frequencyHz - middle) <= most) return;
  const expected = `${Math.ceil(middle - most)} to ${Math.floor(middle + most)} Hz, so that all of it lies in the slice`;
  throw new DotphaseError(`${place}.frequencyHz`, frequencyHz, expected);
}

function requireLevel({ levelDb, snrDb }: SceneLevel, { noiseDb }: SliceScene, place: string): void {
  if ((levelDb === undefined) === (snrDb === undefined))
    throw new DotphaseError(`${place}.levelDb`, levelDb ?? NOTHING, 'either levelDb or snrDb');
  if (snrDb !== undefined && noiseDb === undefined)
    throw new DotphaseError(`${place}.snrDb`, snrDb, 'levelDb, or noiseDb in the scene');
}

function requireCall(call: SceneCall, scene: SliceScene, place: string): void {
  const { frequencyHz, atSeconds, fading, symbols: given, expansions, repeat = 1 } = call;
  if ((call.call === undefined) === (given === undefined))
    throw new DotphaseError(`${place}.call`, call.call ?? NOTHING, 'either call or symbols');
  if (expansions && given === undefined)
    throw new DotphaseError(`${place}.expansions`, expansions, 'symbols beside them; a call has its own');
  const band = bandAt(frequencyHz);
  atPlace(given === undefined ? `${place}.call` : place, () =>
    frameCall(charactersOf(call), { band, repeat }),
  );
  requireLevel(call, scene, place);
  requireWithin(scene, frequencyHz, HALF_WIDTH[band], place);
  if (atSeconds >= scene.seconds)
    throw new DotphaseError(
      `${place}.atSeconds`,
      atSeconds,
      `less than the ${scene.seconds} seconds of the slice`,
    );
  if (fading !== undefined && band === 'vhf')
    throw new DotphaseError(`${place}.fading`, fading, 'nothing of it on VHF: ITU-R F.1487 is about HF');
}

function requireCarrier(carrier: SceneCarrier, scene: SliceScene, place: string): void {
  const { frequencyHz, fromSeconds = 0, untilSeconds = scene.seconds } = carrier;
  requireLevel(carrier, scene, place);
  requireWithin(scene, frequencyHz, 0, place);
  if (fromSeconds >= untilSeconds)
    throw new DotphaseError(`${place}.fromSeconds`, fromSeconds, `less than ${untilSeconds}, where it ends`);
}

/**
 * Checks what a slice is made from.
 *
 * @param data - from JSON
 * @throws DotphaseError naming the first field that is wrong
 */
export function checkSliceScene(data: unknown): SliceScene {
  const { $schema: _, ...given } = checked(sceneSchema, data, 'scene', '');
  const scene = given as SliceScene;
  scene.calls?.forEach((call, n) => {
    requireCall(call, scene, `calls[${n}]`);
  });
  scene.carriers?.forEach((carrier, n) => {
    requireCarrier(carrier, scene, `carriers[${n}]`);
  });
  return scene;
}

/** The amplitude of a carrier. */
export function amplitudeOf({ levelDb, snrDb = 0 }: SceneLevel, { noiseDb = 0 }: SliceScene): number {
  return 10 ** ((levelDb ?? noiseDb + snrDb) / 20);
}
