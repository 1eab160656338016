/**
 * The options of an input's clock: its limits, or a reference in the recording that it is calibrated against.
 */
import type { Command } from 'commander';
import { USUAL_CLOCK_PPM } from '../../measure/index.js';
import { integerOption, numberOption } from '../options.js';

/** What {@link addClockFlags} adds. */
export interface ClockFlags {
  readonly clockPpm: number;
  readonly referenceHz?: number;
  readonly referenceChannel?: number;
}

/** Gives a command the options of the clock. */
export function addClockFlags(command: Command): Command {
  return command
    .option(
      '--clock-ppm <ppm>',
      'how far the clock of the sound card may be off, either way',
      numberOption('--clock-ppm', 0, 1000, 'ppm'),
      USUAL_CLOCK_PPM,
    )
    .option(
      '--reference-hz <hz>',
      'a steady tone of this true frequency is in the recording, or below 20 Hz so many pulses a second: the clock is calibrated against it',
      numberOption('--reference-hz', 0.1, 80_000, 'Hz'),
    )
    .option(
      '--reference-channel <number>',
      'with --reference-hz: the channel it is on, from 0 (default: that of the calls)',
      integerOption('--reference-channel', 0, 31),
    );
}

/** How the clock is known, for people. */
export const clockSource = ({ referenceHz }: ClockFlags): string =>
  referenceHz === undefined ? 'not calibrated' : `calibrated against ${referenceHz} Hz`;
