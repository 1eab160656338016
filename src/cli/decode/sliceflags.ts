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
  readonly anywhere?: true;
  readonly findOscillator?: true;
}

type Add = (flags: string, help: string, read?: (text: string) => unknown) => void;

const adderTo =
  (command: Command): Add =>
  (flags, help, read) => {
    const option = new Option(flags, help).helpGroup('A slice of spectrum, with every DSC frequency in it:');
    command.addOption(read ? option.argParser(read) : option);
  };

/** Adds to a command what is to be looked for in slices. */
export function addSliceSearchFlags(command: Command): void {
  const add = adderTo(command);
  add(
    '--find-oscillator',
    "how far the receiver's oscillator is off is found by calls of three stations or more: the file is read twice",
  );
  add('--anywhere', 'also calls between the DSC frequencies: slower, a receiver for each 1600 Hz');
}

/** Adds to a command what slices are. */
export function addSliceFlags(command: Command): void {
  const add = adderTo(command);
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
  const { iq, tuned, oscillatorPpm, frequency, raw, anywhere, findOscillator } = flags;
  const samples = rawSlice(flags);
  if (iq && raw !== undefined && !samples)
    throw new DotphaseError('--raw', raw, 'cu8, cs8, cs16 or cf32 with --iq');
  if ((iq || samples) && frequency !== undefined)
    throw new DotphaseError(
      '--frequency',
      frequency,
      'nothing with a slice of spectrum: its channels tell it',
    );
  if (findOscillator && oscillatorPpm !== undefined)
    throw new DotphaseError('--oscillator-ppm', oscillatorPpm, 'nothing of it beside --find-oscillator');
  const isGiven = iq === true || samples !== undefined;
  const isNothingSaid = [oscillatorPpm, anywhere, findOscillator].every((one) => one === undefined);
  if (!isGiven && typeof tuned !== 'number' && isNothingSaid) return undefined;
  return {
    isGiven,
    ...(typeof tuned === 'number' && { tunedHz: tuned }),
    ...(oscillatorPpm !== undefined && { oscillatorPpm }),
    ...(anywhere && { anywhere }),
    ...(findOscillator && { findOscillator }),
    ...(samples && { raw: samples }),
  };
}
