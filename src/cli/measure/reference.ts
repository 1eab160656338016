/**
 * The clock of an input: given by its limits, or calibrated against a reference in the recording.
 */
import type { Command } from 'commander';
import { DotphaseError } from '../../errors.js';
import { USUAL_CLOCK_PPM, clockFromReference, clockWithin, type Figure } from '../../measure/index.js';
import { integerOption, numberOption } from '../options.js';
import { concatenated } from '../recording.js';

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

/** Seconds of an input in which the reference is looked for. */
const REFERENCE_SECONDS = 120;
/** In an input without an end it is looked for after so many seconds, and then after as many again. */
const FIRST_LOOK_SECONDS = 10;

/** Finds the clock of one input. */
export class ClockFinder {
  private readonly reference: Float32Array[] = [];
  private kept = 0;
  private nextLook = FIRST_LOOK_SECONDS;
  private sampleRate = 0;
  /** The clock, once it is known. */
  clock: Figure | undefined;

  /** @param isEndless - whether the reference is to be found while the input goes on */
  constructor(
    private readonly flags: ClockFlags,
    private readonly isEndless: boolean,
  ) {
    if (flags.referenceHz === undefined) this.clock = clockWithin(flags.clockPpm);
  }

  /** Takes the next samples of the reference's channel. */
  push(samples: Float32Array, sampleRate: number): void {
    if (this.clock || this.kept >= REFERENCE_SECONDS * sampleRate) return;
    this.sampleRate = sampleRate;
    this.reference.push(samples.slice());
    this.kept += samples.length;
    if (!this.isEndless || this.kept < this.nextLook * sampleRate) return;
    this.nextLook *= 2;
    try {
      this.clock = this.found();
    } catch (error) {
      if (!(error instanceof DotphaseError) || this.nextLook <= REFERENCE_SECONDS) return;
      throw error;
    }
  }

  /**
   * The clock at the end of the input.
   *
   * @throws DotphaseError where the reference was not found
   */
  end(): Figure {
    this.clock ??= this.found();
    return this.clock;
  }

  private found(): Figure {
    return clockFromReference(concatenated(this.reference), this.sampleRate, this.flags.referenceHz ?? NaN);
  }
}
