/**
 * The options for recordings of a slice of spectrum.
 */
import { Option, type Command } from 'commander';
import { DotphaseError } from '../../errors.js';
import { parseFrequency } from '../../frequencies/index.js';
import { numberOption, once } from '../options.js';
import { rawSlice, type RawFlags } from '../rawflags.js';
import type { FrequencyFrom } from '../origin.js';
import type { SliceSettings } from './sliceblocks.js';

/** What they give. */
export interface SliceFlags {
  readonly iq?: true;
  readonly tuned?: FrequencyFrom;
  readonly oscillatorPpm?: number;
}

/** Adds them to a command. */
export function addSliceFlags(command: Command): void {
  const add = (flags: string, help: string, read?: (text: string) => unknown) => {
    const option = new Option(flags, help).helpGroup('A slice of spectrum, with every DSC frequency in it:');
    command.addOption(read ? option.argParser(read) : option);
  };
  add(
    '--iq',
    'the two channels are I and Q of a slice of spectrum, no audio (SigMF and --raw cu8, cs8, cs16, cf32 always are)',
  );
  add(
    '--tuned <frequency>',
    'frequency in the slice\'s middle, as in 8430 or "8.43 MHz", or name: each file\'s name tells it; SigMF tells it itself',
    once('--tuned', (text) => (text === 'name' ? 'name' : parseFrequency(text))),
  );
  add(
    '--oscillator-ppm <ppm>',
    'how much higher than said the receiver was tuned, parts per million',
    numberOption('--oscillator-ppm', -500, 500, 'ppm'),
  );
}

/**
 * What is known of slices; undefined where nothing is said of any.
 *
 * @throws DotphaseError where options contradict each other
 */
export function sliceOf(
  flags: SliceFlags & RawFlags & { readonly frequency?: FrequencyFrom },
): SliceSettings | undefined {
  const { iq, tuned, oscillatorPpm, frequency, raw } = flags;
  const samples = rawSlice(flags);
  if (iq && raw !== undefined && !samples)
    throw new DotphaseError('--raw', raw, 'cu8, cs8, cs16 or cf32 with --iq');
  if ((iq || samples) && frequency !== undefined)
    throw new DotphaseError(
      '--frequency',
      frequency,
      'nothing with a slice of spectrum: its channels tell it',
    );
  const isGiven = iq === true || samples !== undefined;
  if (!isGiven && typeof tuned !== 'number' && oscillatorPpm === undefined) return undefined;
  return {
    isGiven,
    ...(typeof tuned === 'number' && { tunedHz: tuned }),
    ...(oscillatorPpm !== undefined && { oscillatorPpm }),
    ...(samples && { raw: samples }),
  };
}
