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

/** Hertz in each unit, by its lower-case name. */
const UNITS: ReadonlyMap<string | undefined, number> = new Map([
  ['hz', 1],
  ['khz', 1e3],
  ['mhz', 1e6],
  [undefined, 1e3],
]);

/**
 * A frequency that a person typed, in whole hertz: a number with a decimal point and `Hz`, `kHz` or `MHz`;
 * kilohertz where no unit stands.
 *
 * @throws DotphaseError when it is no such text or lies outside 400 kHz to 200 MHz
 */
export function parseFrequency(text: string): number {
  const given: unknown = text;
  const match =
    typeof given === 'string' ? /^\s*(\d{1,9}(?:\.\d{1,6})?)\s*([kM]?Hz)?\s*$/i.exec(given) : null;
  const hz = match
    ? Number(match[1]) * (UNITS.get((match[2] as string | undefined)?.toLowerCase()) ?? NaN)
    : NaN;
  const whole = Math.round(hz);
  if (Math.abs(hz - whole) > 1e-3 || !(whole >= LOWEST_HZ && whole <= HIGHEST_HZ)) {
    throw new DotphaseError('frequency', text, 'whole hertz from 400 kHz to 200 MHz, such as "2187.5 kHz"');
  }
  return whole;
}
