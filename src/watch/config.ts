/**
 * The file that names the inputs of a watch; its form is a JSON Schema (draft 2020-12) too: watch.schema.json beside this
 * file.
 */
import * as z from 'zod';
import { checked } from '../data/index.js';
import { Described, DotphaseError, NOTHING } from '../errors.js';
import { bandOf } from '../frequencies/index.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { IQ_FORMATS, SLICE_RATES, heardChannelsIn, type IqFormat } from '../radio/index.js';
import type { Band } from '../symbols/index.js';
import { MAX_CHANNELS, RAW_FORMATS, type RawFormat } from '../wav/index.js';

/** What inputs of every kind tell. */
interface AnyInput {
  /** What it is called in the log and on the screen: 1 to 60 characters, each name once. */
  readonly name: string;
  /** A program with its arguments that writes samples to standard output. */
  readonly command?: readonly string[];
  /** A named pipe, a device or a file that samples are read from. */
  readonly pipe?: string;
  /** Which bit rates are looked for; default that of the frequency, or both. */
  readonly bands?: readonly Band[];
  /**
   * When the recording began that is played through the input, ISO 8601: then times are those of the recording, and the
   * input is not started again when it ends. Absent for live samples, whose times are those of the clock.
   */
  readonly recorded?: string;
  /** Below this level, dB of full scale (mean square 1), it counts as silent; default −80. */
  readonly silenceDb?: number;
  /** Silence of so many seconds is told; default 60. */
  readonly silenceSeconds?: number;
  /** Where nothing comes for so many seconds, it is told; default 5. */
  readonly gapSeconds?: number;
}

/** Audio of one DSC frequency. */
export interface AudioInput extends AnyInput {
  /** How the samples are coded, little endian. */
  readonly format: RawFormat;
  /** Samples per second, 8000 to 192000. */
  readonly sampleRate: number;
  /** Samples in a frame; default 1. */
  readonly channels?: number;
  /** Which of them is heard, from 0, or their mean; default 0. */
  readonly channel?: number | 'mix';
  /** The DSC frequency that the receiver stands on, hertz; absent where not known. */
  readonly frequencyHz?: number;
  /** Where the tones are centred, hertz; default anywhere from 400 to 2600. */
  readonly centreHz?: number;
  /** How far from `centreHz` to look, hertz; default 50. */
  readonly searchHz?: number;
}

/** A slice of spectrum: every DSC frequency in it is heard, or all of it. */
export interface SliceInput extends AnyInput {
  /** How I and Q are coded, in turn, little endian. */
  readonly format: IqFormat;
  /** Complex samples per second, 8000 to 10 000 000. */
  readonly sampleRate: number;
  /** The frequency in the slice's middle, hertz. */
  readonly tunedHz: number;
  /** How much higher than it says the receiver is tuned, parts per million; default 0. */
  readonly oscillatorPpm?: number;
  /**
   * Whether calls are looked for between the DSC frequencies too, at 100 Bd everywhere below 30 MHz; default false. It
   * takes as many receivers as the slice is 1600 Hz wide.
   */
  readonly anywhere?: boolean;
}

/** One input of a watch. */
export type InputConfig = AudioInput | SliceInput;

/** What a watch is told. */
export interface WatchConfig {
  /** The log, an SQLite file. */
  readonly log: string;
  /** Each with a receiver of its own. */
  readonly inputs: readonly InputConfig[];
}

const NAME_TEXT = 'a name of 1 to 60 characters without control characters';
const COMMAND_TEXT = 'a program and its arguments, a text each';
const PIPE_TEXT = 'a named pipe, a device or a file';
const FORMATS = [...RAW_FORMATS, ...IQ_FORMATS] as const;
const FORMAT_TEXT = `audio: one of ${RAW_FORMATS.join(', ')}; a slice of spectrum: ${IQ_FORMATS.join(', ')}`;
const AUDIO_RATE_TEXT = `a whole number from ${SAMPLE_RATES.lowest} to ${SAMPLE_RATES.highest}`;
const RATE_TEXT = `samples per second, ${AUDIO_RATE_TEXT}, of a slice of spectrum to ${SLICE_RATES.highest}`;
const CHANNELS_TEXT = `samples in a frame, from 1 to ${MAX_CHANNELS}`;
const CHANNEL_TEXT = 'the number of a channel from 0, or mix';
const FREQUENCY_TEXT = 'whole hertz from 400000 to 200000000';
const TUNED_TEXT = "the frequency in the slice's middle, whole hertz from 0 to 1000000000";
const PPM_TEXT = 'parts per million from −500 to 500';
const ANYWHERE_TEXT = 'true to look between the DSC frequencies too, false not to';
const BANDS_TEXT = 'mf-hf, vhf, or both';
const CENTRE_TEXT = 'hertz from 200 to 3000';
const SEARCH_TEXT = 'hertz from 0 to 2000';
const RECORDED_TEXT = 'when the recording began, as in 2031-05-17T09:30:00Z';
const SILENCE_TEXT = 'decibels from −160 to 0';
const SECONDS_TEXT = 'seconds from 1 to 86400';
const INPUT_TEXT = 'an input: name, format, sampleRate, and command or pipe';

const number = (expected: string, min: number, max: number) =>
  z
    .number({ error: expected })
    .min(min, { error: expected })
    .max(max, { error: expected })
    .optional()
    .describe(expected);
const whole = (expected: string, min: number, max: number) =>
  z.int({ error: expected }).min(min, { error: expected }).max(max, { error: expected }).describe(expected);
const text = (expected: string) =>
  z.string({ error: expected }).min(1, { error: expected }).max(4096, { error: expected });

const inputSchema = z
  .strictObject(
    {
      name: z
        .string({ error: NAME_TEXT })
        .regex(/^[^\p{Cc}\p{Cs}]{1,60}$/u, { error: NAME_TEXT })
        .describe(NAME_TEXT),
      command: z
        .array(text(COMMAND_TEXT), { error: COMMAND_TEXT })
        .min(1, { error: COMMAND_TEXT })
        .optional()
        .describe(COMMAND_TEXT),
      pipe: text(PIPE_TEXT).optional().describe(PIPE_TEXT),
      format: z.enum(FORMATS, { error: FORMAT_TEXT }).describe(FORMAT_TEXT),
      sampleRate: whole(RATE_TEXT, SAMPLE_RATES.lowest, SLICE_RATES.highest),
      channels: whole(CHANNELS_TEXT, 1, MAX_CHANNELS).optional(),
      channel: z
        .union(
          [
            z
              .int()
              .min(0)
              .max(MAX_CHANNELS - 1),
            z.literal('mix'),
          ],
          { error: CHANNEL_TEXT },
        )
        .optional()
        .describe(CHANNEL_TEXT),
      frequencyHz: whole(FREQUENCY_TEXT, 400_000, 200_000_000).optional(),
      tunedHz: whole(TUNED_TEXT, 0, 1e9).optional(),
      oscillatorPpm: number(PPM_TEXT, -500, 500),
      anywhere: z.boolean({ error: ANYWHERE_TEXT }).optional().describe(ANYWHERE_TEXT),
      bands: z
        .array(z.enum(['mf-hf', 'vhf'], { error: BANDS_TEXT }), { error: BANDS_TEXT })
        .min(1, { error: BANDS_TEXT })
        .max(2, { error: BANDS_TEXT })
        .optional()
        .describe(BANDS_TEXT),
      centreHz: number(CENTRE_TEXT, 200, 3000),
      searchHz: number(SEARCH_TEXT, 0, 2000),
      recorded: z.iso.datetime({ error: RECORDED_TEXT, offset: true }).optional().describe(RECORDED_TEXT),
      silenceDb: number(SILENCE_TEXT, -160, 0),
      silenceSeconds: number(SECONDS_TEXT, 1, 86_400),
      gapSeconds: number(SECONDS_TEXT, 1, 86_400),
    },
    { error: INPUT_TEXT },
  )
  .describe(INPUT_TEXT);

const configSchema = z
  .strictObject(
    {
      $schema: z.string({ error: 'the address of the schema' }).optional(),
      log: text('the SQLite file that everything is kept in').describe(
        'the SQLite file that everything is kept in',
      ),
      inputs: z
        .array(inputSchema, { error: 'a list of inputs' })
        .min(1, { error: 'at least one input' })
        .max(1000, { error: 'at most 1000 inputs' })
        .describe('each is heard by a receiver of its own; each name once'),
    },
    { error: 'a watch: an object with log and inputs' },
  )
  .describe('The inputs of a watch');

/**
 * The JSON Schema (draft 2020-12) of the file of a watch. Beyond it, each input has either a command or a pipe, each name
 * stands once, and a slice of spectrum has what tells its frequency and nothing of audio.
 */
export function watchSchema(): Record<string, unknown> {
  return z.toJSONSchema(configSchema);
}

/**
 * Checks what a watch is told.
 *
 * @param data - from JSON
 * @throws DotphaseError naming the first field that is wrong
 */
export function checkWatch(data: unknown): WatchConfig {
  const { log, inputs } = checked(configSchema, data, 'watch', '');
  inputs.forEach((input, i) => {
    const place = `inputs[${i}]`;
    if ((input.command === undefined) === (input.pipe === undefined))
      throw new DotphaseError(place, input, 'either command or pipe');
    if (inputs.findIndex(({ name }) => name === input.name) !== i)
      throw new DotphaseError(`${place}.name`, input.name, 'each name once');
    if (isSlice(input as InputConfig)) requireSlice(input, place);
    else requireAudio(input, place);
  });
  return { log, inputs: inputs as readonly InputConfig[] };
}

type Given = z.infer<typeof inputSchema>;

/** What is told of audio alone, and of slices alone. */
const OF_AUDIO = ['channels', 'channel', 'frequencyHz', 'centreHz', 'searchHz'] as const;
const OF_SLICES = ['tunedHz', 'oscillatorPpm', 'anywhere'] as const;

function requireAudio(input: Given, place: string): void {
  for (const key of OF_SLICES)
    if (input[key] !== undefined)
      throw new DotphaseError(`${place}.${key}`, input[key], `it only with ${IQ_FORMATS.join(', ')}`);
  if (input.sampleRate > SAMPLE_RATES.highest)
    throw new DotphaseError(`${place}.sampleRate`, input.sampleRate, `of audio ${AUDIO_RATE_TEXT}`);
  if (input.searchHz !== undefined && input.centreHz === undefined)
    throw new DotphaseError(`${place}.searchHz`, input.searchHz, 'centreHz beside it');
  const { channel = 0, channels = 1 } = input;
  if (typeof channel === 'number' && channel >= channels)
    throw new DotphaseError(`${place}.channel`, channel, `a channel below ${channels}, counted from 0`);
}

function requireSlice(input: Given, place: string): void {
  for (const key of OF_AUDIO)
    if (input[key] !== undefined)
      throw new DotphaseError(`${place}.${key}`, input[key], 'nothing of it with a slice of spectrum');
  const { tunedHz, sampleRate, oscillatorPpm = 0, bands, anywhere } = input;
  if (tunedHz === undefined) throw new DotphaseError(`${place}.tunedHz`, NOTHING, TUNED_TEXT);
  const slice = { sampleRate, tunedHz: tunedHz * (1 + oscillatorPpm * 1e-6) };
  const heard = heardChannelsIn({ ...slice, ...(bands && { bands }), ...(anywhere && { anywhere }) });
  if (heard.length === 0) {
    const given = new Described(`${tunedHz} Hz at ${sampleRate} samples a second`);
    throw new DotphaseError(`${place}.tunedHz`, given, 'a slice with a DSC frequency in it');
  }
}

/** Whether an input is a slice of spectrum. */
export const isSlice = (input: InputConfig): input is SliceInput =>
  (IQ_FORMATS as readonly string[]).includes(input.format);

/** The bit rates that audio is searched for. */
export function bandsOf({ bands, frequencyHz }: AudioInput): readonly Band[] {
  return bands ?? (frequencyHz === undefined ? ['mf-hf', 'vhf'] : [bandOf(frequencyHz)]);
}
