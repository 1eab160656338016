/**
 * The numbers that a receiver works by for each modulation.
 */
import { LONG_DOTS } from '../frames/index.js';
import type { Band } from '../symbols/index.js';
import { MODULATIONS, type Modulation } from '../modem/index.js';

/** Samples per second that every stream is brought to first: a whole number of samples a bit at both rates. */
export const WORKING_RATE = 7200;

/** Hertz up to which the working stream keeps the spectrum. */
export const WORKING_PASS = 2750;

/** Hertz from which it is cleared; what lies between falls back above {@link WORKING_PASS}. */
export const WORKING_STOP = WORKING_RATE - WORKING_PASS;

/** How the sendings of an attempt follow each other. */
export interface Repetition {
  /** Bits from the phasing of one sending to that of the next. */
  readonly bits: number;
  /** Bits of dot pattern among them. */
  readonly dots: number;
}

/** The numbers for one modulation. */
export interface BandParameters {
  readonly band: Band;
  readonly modulation: Modulation;
  /** Samples a bit at the working rate. */
  readonly bitSamples: number;
  /** The search tones lie at multiples of WORKING_RATE / `period`. */
  readonly period: number;
  /** Search tones from the lower tone to the upper one. */
  readonly tonesPerShift: number;
  /** Centres searched unless told otherwise, in hertz. */
  readonly centres: readonly [number, number];
  /** Working samples to one sample of the baseband in which a call is read. */
  readonly decimation: number;
  /** Pass band and stop band of the baseband filter, in hertz from the centre. */
  readonly pass: number;
  readonly stop: number;
  /** Whether the audio may come from an FM receiver, whose noise has clicks. */
  readonly hasClicks: boolean;
  /** Bits after a change of tone until the baseband filter has settled. */
  readonly settling: number;
  /** Grid points of the phase; times the shift over twice the bit rate it is whole. */
  readonly phases: number;
  /** Grid points of the difference between the tones' phases; a divisor of `phases`. */
  readonly differences: number;
  /**
   * The ways in which distress alerts follow each other without a gap: a call of 26 DX and as many RX characters, with
   * dots before the first alone or before each (M.541 and JP567; see `dotsBefore`). None: attempts are not searched
   * for as a whole.
   */
  readonly repetitions: readonly Repetition[];
}

/** Bits of a distress alert from its phasing on: 26 DX characters with those of the phasing, and 26 in RX. */
const ALERT_BITS = 520;

/** The numbers of each modulation. */
export const BAND_PARAMETERS: Readonly<Record<Band, BandParameters>> = {
  'mf-hf': {
    band: 'mf-hf',
    modulation: MODULATIONS['mf-hf'],
    bitSamples: 72,
    period: 256,
    tonesPerShift: 6,
    centres: [400, 2600],
    decimation: 8,
    pass: 210,
    stop: 420,
    hasClicks: false,
    settling: 1,
    phases: 20,
    differences: 5,
    repetitions: [
      { bits: ALERT_BITS, dots: 0 },
      { bits: ALERT_BITS + LONG_DOTS, dots: LONG_DOTS },
    ],
  },
  vhf: {
    band: 'vhf',
    modulation: MODULATIONS.vhf,
    bitSamples: 6,
    period: 72,
    tonesPerShift: 8,
    centres: [1650, 1750],
    decimation: 1,
    pass: 1200,
    stop: 1900,
    hasClicks: true,
    settling: 2,
    phases: 18,
    differences: 6,
    // Below the threshold of FM nothing is left to add up; above it each sending is found by itself.
    repetitions: [],
  },
};
