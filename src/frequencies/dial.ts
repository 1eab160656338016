/**
 * Dial and assigned frequency of DSC and NBDP on an upper-sideband set: ITU-R M.493 Annex 1 §1.3 (from memory).
 */
import { requireFrequency } from './bands.js';

/** Hertz from the suppressed carrier, which the dial shows, up to the middle of the tones of class J2B. */
const SUBCARRIER_HZ = 1700;

/**
 * What to dial on an upper-sideband set for an assigned DSC or NBDP frequency: 1.7 kHz less (2187.5 kHz is dialled
 * as 2185.8 kHz). Telephony needs no such step: its frequencies are carriers already.
 *
 * @param assignedHz - whole hertz
 * @throws DotphaseError when either frequency is not one from 400 kHz to 200 MHz
 */
export function dialFrequency(assignedHz: number): number {
  return requireFrequency(
    'dial frequency',
    requireFrequency('assigned frequency', assignedHz) - SUBCARRIER_HZ,
  );
}

/**
 * The assigned frequency that an upper-sideband set works on when the dial shows `dialHz`: 1.7 kHz more.
 *
 * @param dialHz - whole hertz
 * @throws DotphaseError when either frequency is not one from 400 kHz to 200 MHz
 */
export function assignedFrequency(dialHz: number): number {
  return requireFrequency('assigned frequency', requireFrequency('dial frequency', dialHz) + SUBCARRIER_HZ);
}
