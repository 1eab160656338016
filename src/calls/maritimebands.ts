/**
 * The maritime mobile bands: Radio Regulations Article 5 and Appendices 17 and 18 (from memory).
 */
import type { Band } from '../symbols/index.js';

/** A maritime band, named as the Radio Regulations name it. */
export type MaritimeBand =
  | '0.5 MHz'
  | '2 MHz'
  | '4 MHz'
  | '6 MHz'
  | '8 MHz'
  | '12 MHz'
  | '16 MHz'
  | '18/19 MHz'
  | '22 MHz'
  | '25/26 MHz'
  | 'VHF';

/** Lowest and highest frequency of each band or part of one, hertz, generous at the edges. */
const EDGES: readonly (readonly [MaritimeBand, number, number])[] = [
  ['0.5 MHz', 415_000, 526_500],
  ['2 MHz', 1_605_000, 4_000_000],
  ['4 MHz', 4_000_001, 4_438_000],
  ['6 MHz', 6_200_000, 6_525_000],
  ['8 MHz', 8_100_000, 8_815_000],
  ['12 MHz', 12_230_000, 13_200_000],
  ['16 MHz', 16_360_000, 17_410_000],
  ['18/19 MHz', 18_780_000, 18_900_000],
  ['18/19 MHz', 19_680_000, 19_800_000],
  ['22 MHz', 22_000_000, 22_855_000],
  ['25/26 MHz', 25_070_000, 25_210_000],
  ['25/26 MHz', 26_100_000, 26_175_000],
  ['VHF', 156_000_000, 162_050_000],
];

/**
 * The maritime band a frequency lies in, or undefined outside all of them.
 *
 * @param hz - frequency in hertz
 */
export function maritimeBand(hz: number): MaritimeBand | undefined {
  return EDGES.find(([, low, high]) => hz >= low && hz <= high)?.[0];
}

/** The modulation that is used on a frequency, hertz: 1200 Bd in the maritime VHF band, 100 Bd elsewhere. */
export function bandOf(hz: number): Band {
  return maritimeBand(hz) === 'VHF' ? 'vhf' : 'mf-hf';
}

/** Whether a frequency lies in a maritime band of that radio. */
export function isWithinBand(band: Band, hz: number): boolean {
  return maritimeBand(hz) !== undefined && bandOf(hz) === band;
}
