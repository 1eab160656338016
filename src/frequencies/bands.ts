/**
 * Frequencies as people write them.
 */
import { DotphaseError } from '../errors.js';

const LOWEST_HZ = 400_000;
const HIGHEST_HZ = 200_000_000;

/** Throws a DotphaseError unless `hz` is an integer number of hertz from 400 kHz to 200 MHz. */
export function requireFrequency(field: string, hz: unknown): number {
  if (typeof hz !== 'number' || !Number.isInteger(hz) || hz < LOWEST_HZ || hz > HIGHEST_HZ) {
    throw new DotphaseError(field, hz, 'a whole number of hertz from 400000 to 200000000');
  }
  return hz;
}

/**
 * A frequency for people: kilohertz with at least one decimal below 30 MHz (`2187.5 kHz`), megahertz with at least
 * three above (`156.525 MHz`).
 *
 * @param hz - whole hertz, 400 kHz to 200 MHz
 * @throws DotphaseError outside that
 */
export function formatFrequency(hz: number): string {
  requireFrequency('frequency', hz);
  const [unit, decimals, text] = hz < 30_000_000 ? [1e3, 1, 'kHz'] : [1e6, 3, 'MHz'];
  const most = Math.log10(unit);
  const digits = (hz / unit).toFixed(most).replace(new RegExp(`0{0,${most - decimals}}$`), '');
  return `${digits} ${text}`;
}
