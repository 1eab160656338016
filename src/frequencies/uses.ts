/**
 * Which DSC frequency is for which call: FCC80 (47 CFR Part 80) §80.359 and §80.1077; ITU-R M.541 Annex 5 (from memory).
 */
import { dscFrequencyAt, type DscUse } from './dsc.js';
import type { CallOutline } from './outline.js';

/** What a call is for, or undefined between coast stations, for which DSC has no frequency. */
export function useOf(call: CallOutline): DscUse | undefined {
  if (call.category !== 'routine') return 'distressAndSafety';
  if (call.fromCoastStation) return call.toCoastStation ? undefined : 'coastToShip';
  return call.toCoastStation ? 'shipToCoast' : 'shipToShip';
}

/**
 * Whether a call is in its place on a DSC frequency; {@link checkFrequency} says why not.
 *
 * @param call - from {@link outlineCall} or put together by hand
 * @param dscHz - assigned frequency, hertz
 */
export function isInPlace(call: CallOutline, dscHz: number): boolean {
  const use = useOf(call);
  return use !== undefined && (dscFrequencyAt(dscHz)?.uses.includes(use) ?? false);
}

/**
 * The frequency that the answer to a routine call between a ship and a coast station comes back on, and for every
 * other call the frequency it came on (M541-8 Annex 2).
 *
 * @param call - the call to be answered
 * @param dscHz - what it came on, assigned frequency in hertz
 * @throws DotphaseError for a frequency outside 400 kHz to 200 MHz
 */
export function answerFrequency(call: CallOutline, dscHz: number): number {
  const row = dscFrequencyAt(dscHz);
  const paired = call.category === 'routine' && call.fromCoastStation !== call.toCoastStation;
  return paired ? (row?.pairHz ?? dscHz) : dscHz;
}
