/**
 * The options that tell how samples without a container are to be read.
 */
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING, requireNumber } from '../errors.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { IQ_FORMATS, SLICE_RATES, type IqFormat } from '../radio/index.js';
import { RAW_FORMATS, type RawFormat } from '../wav/index.js';
import { integerOption } from './options.js';

/** What the options give. */
export interface RawFlags {
  readonly raw?: RawFormat | IqFormat;
  readonly rateHz?: number;
}

const isIq = (format: RawFormat | IqFormat): format is IqFormat =>
  (IQ_FORMATS as readonly string[]).includes(format);

/** Gives a command `--raw` and `--rate-hz`; where it takes slices of spectrum, also for those. */
export function addRawFlags(command: Command, withSlices = false): Command {
  const formats = [...RAW_FORMATS, ...(withSlices ? IQ_FORMATS : [])];
  const { highest } = withSlices ? SLICE_RATES : SAMPLE_RATES;
  return command
    .addOption(
      new Option('--raw <format>', 'the input is samples without a container, little endian').choices(
        formats,
      ),
    )
    .option(
      '--rate-hz <hz>',
      'with --raw: sample rate',
      integerOption('--rate-hz', SAMPLE_RATES.lowest, highest, 'Hz'),
    );
}

/**
 * How raw samples are to be read; undefined for a WAV file.
 *
 * @throws DotphaseError when one of the options stands without the other
 */
export function rawInput(flags: RawFlags): { format: RawFormat; sampleRate: number } | undefined {
  const raw = rawSamples(flags);
  if (!raw || isIq(raw.format)) return undefined;
  const { lowest, highest } = SAMPLE_RATES;
  return {
    format: raw.format,
    sampleRate: requireNumber('--rate-hz', raw.sampleRate, lowest, highest, 'Hz'),
  };
}

/** How raw samples of a slice of spectrum are to be read; undefined for any other input. See {@link rawInput}. */
export function rawSlice(flags: RawFlags): { format: IqFormat; sampleRate: number } | undefined {
  const raw = rawSamples(flags);
  return raw && isIq(raw.format) ? { ...raw, format: raw.format } : undefined;
}

function rawSamples({
  raw,
  rateHz,
}: RawFlags): { format: RawFormat | IqFormat; sampleRate: number } | undefined {
  if (raw === undefined && rateHz !== undefined) {
    throw new DotphaseError('--rate-hz', rateHz, '--raw beside it: an audio file tells its own sample rate');
  }
  if (raw === undefined) return undefined;
  if (rateHz === undefined)
    throw new DotphaseError('--rate-hz', NOTHING, 'the sample rate of the raw samples');
  return { format: raw, sampleRate: rateHz };
}
