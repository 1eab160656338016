/**
 * The options that tell how samples without a container are to be read.
 */
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING } from '../errors.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { RAW_FORMATS, type RawFormat } from '../wav/index.js';
import { integerOption } from './options.js';

/** What the options give. */
export interface RawFlags {
  readonly raw?: RawFormat;
  readonly rateHz?: number;
}

/** Gives a command `--raw` and `--rate-hz`. */
export function addRawFlags(command: Command): Command {
  return command
    .addOption(
      new Option('--raw <format>', 'the input is samples without a container, little endian').choices(
        RAW_FORMATS,
      ),
    )
    .option(
      '--rate-hz <hz>',
      'with --raw: sample rate',
      integerOption('--rate-hz', SAMPLE_RATES.lowest, SAMPLE_RATES.highest, 'Hz'),
    );
}

/**
 * How raw samples are to be read; undefined for a WAV file.
 *
 * @throws DotphaseError when one of the options stands without the other
 */
export function rawInput({ raw, rateHz }: RawFlags): { format: RawFormat; sampleRate: number } | undefined {
  if (raw === undefined && rateHz !== undefined) {
    throw new DotphaseError('--rate-hz', rateHz, '--raw beside it: an audio file tells its own sample rate');
  }
  if (raw === undefined) return undefined;
  if (rateHz === undefined)
    throw new DotphaseError('--rate-hz', NOTHING, 'the sample rate of the raw samples');
  return { format: raw, sampleRate: rateHz };
}
