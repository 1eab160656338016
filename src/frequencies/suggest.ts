/**
 * Which DSC frequency for which call: M541-8 Annex 2 §1.2; FCC80 (47 CFR Part 80) §80.359 and §80.1077; ITU-R M.541
 * Annexes 1 and 5 (from memory).
 */
import { type MaritimeBand } from '../calls/index.js';
import { formatFrequency } from './bands.js';
import { DSC_FREQUENCIES, dscFrequencyAt, type DscFrequency, type DscUse } from './dsc.js';
import type { CallOutline } from './outline.js';
import { isInPlace, useOf } from './uses.js';

const USE_TEXT: Readonly<Record<DscUse, string>> = {
  distressAndSafety: 'distress, urgency, safety and test calls',
  shipToShip: 'routine calls from ship to ship',
  shipToCoast: 'routine calls from ships to coast stations',
  coastToShip: 'routine calls from coast stations to ships',
};

const SAFETY_RULE =
  'FCC80 §80.1077, ITU-R M.541 Annex 5 (from memory): distress, urgency, safety and test calls go on the distress and safety frequencies';
const ROUTINE_RULE =
  'FCC80 §80.359, ITU-R M.541 Annex 5 (from memory): routine calls go on the frequencies for their direction, never on the distress and safety frequencies of MF and HF';

function ruleOf(call: CallOutline): string {
  return call.category === 'routine' ? ROUTINE_RULE : SAFETY_RULE;
}

function reach(band: MaritimeBand): string {
  if (band === 'VHF') return 'within about 30 nautical miles';
  if (band === '2 MHz' || band === '0.5 MHz') return 'within about 150 nautical miles';
  return 'beyond the reach of MF, by distance and time of day';
}

/** When to choose a frequency. */
function reasonOf({ scope, band }: DscFrequency, use: DscUse | undefined): string {
  if (scope === 'regional') {
    return use === 'shipToCoast'
      ? 'preferred, where the coast station keeps watch on this regional frequency'
      : 'where ships keep watch on this regional frequency';
  }
  return use === 'shipToCoast' && band !== 'VHF'
    ? `${reach(band)}; for a coast station of another nationality`
    : reach(band);
}

/** A frequency that a call may be sent on. */
export interface FrequencySuggestion {
  /** The frequency itself. */
  readonly frequency: DscFrequency;
  /** When to choose it; reaches are common practice, no source. */
  readonly reason: string;
  /** The rule it follows. */
  readonly rule: string;
}

/**
 * The DSC frequencies that a call may be sent on: VHF first, then upwards. A ship calls a coast station preferably on
 * a frequency of its own region that the station keeps watch on: these come before the worldwide one, which serves
 * stations of different nationality and calls from the shore (M541-8 Annex 2 §1.2); everywhere else worldwide comes
 * first. A regional frequency is right only where the coast station keeps watch on it.
 *
 * @param call - from {@link outlineCall} or put together by hand
 * @param band - only this band's; default all
 */
export function suggestFrequencies(call: CallOutline, band?: MaritimeBand): FrequencySuggestion[] {
  const use = useOf(call);
  const rows = DSC_FREQUENCIES.filter(
    (row) => use !== undefined && row.uses.includes(use) && (band === undefined || row.band === band),
  );
  const bands = [...new Set(rows.map((row) => row.band))];
  const rank = ({ scope }: DscFrequency) => Number((scope === 'regional') !== (use === 'shipToCoast'));
  const sorted = rows.sort(
    (a, b) => bands.indexOf(a.band) - bands.indexOf(b.band) || rank(a) - rank(b) || a.hz - b.hz,
  );
  return sorted.map((frequency) => ({ frequency, reason: reasonOf(frequency, use), rule: ruleOf(call) }));
}

/** Why a call is on the wrong frequency. */
export interface FrequencyWarning {
  /** What is wrong, for people. */
  readonly text: string;
  /** The rule that says so. */
  readonly rule: string;
  /** Where the call belongs instead: the same band's frequencies, or all where that band has none. */
  readonly instead: readonly FrequencySuggestion[];
}

function complaint(call: CallOutline, dscHz: number): string | undefined {
  const place = formatFrequency(dscHz);
  const row = dscFrequencyAt(dscHz);
  if (!row) return `${place} is no DSC frequency known here`;
  const use = useOf(call);
  if (use === undefined) return 'DSC has no frequency for calls between coast stations';
  if (isInPlace(call, dscHz)) return undefined;
  return `${place} is for ${row.uses.map((each) => USE_TEXT[each]).join(' and ')}, not for ${USE_TEXT[use]}`;
}

/**
 * A warning when a call sits on a frequency that is not for it, or undefined when it is in its place.
 * A warning is advice: a distress alert is never held back by it.
 *
 * @param call - from {@link outlineCall} or put together by hand
 * @param dscHz - where it is sent or was heard, assigned frequency in hertz
 * @throws DotphaseError for a frequency outside 400 kHz to 200 MHz
 */
export function checkFrequency(call: CallOutline, dscHz: number): FrequencyWarning | undefined {
  const text = complaint(call, dscHz);
  if (text === undefined) return undefined;
  const band = DSC_FREQUENCIES.find((row) => row.hz === dscHz)?.band;
  const near = band === undefined ? [] : suggestFrequencies(call, band);
  return { text, rule: ruleOf(call), instead: near.length > 0 ? near : suggestFrequencies(call) };
}
