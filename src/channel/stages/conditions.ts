/**
 * The named conditions of the two-path HF channel: ITU-R F.1487 Annex 3 (from memory).
 *
 * Each has two independently fading paths of equal mean power. The spread is the two-sided Doppler spread, twice
 * the standard deviation of the Gaussian Doppler spectrum: spread = 2σ.
 */

/** Delay between the two paths and the Doppler spread of each. */
export interface FadingCondition {
  /** Delay of the second path after the first, milliseconds. */
  readonly delayMs: number;
  /** Doppler spread 2σ of each path, hertz. */
  readonly spreadHz: number;
}

/** Name of a condition of ITU-R F.1487: by latitude and by how quiet the ionosphere is; NVIS is near-vertical incidence. */
export type FadingConditionName =
  `${'low' | 'mid' | 'high'}-latitude-${'quiet' | 'moderate' | 'disturbed'}` | 'mid-latitude-disturbed-nvis';

/** The conditions by name. */
export const FADING_CONDITIONS: Readonly<Record<FadingConditionName, FadingCondition>> = {
  'low-latitude-quiet': { delayMs: 0.5, spreadHz: 0.5 },
  'low-latitude-moderate': { delayMs: 2, spreadHz: 1.5 },
  'low-latitude-disturbed': { delayMs: 6, spreadHz: 10 },
  'mid-latitude-quiet': { delayMs: 0.5, spreadHz: 0.1 },
  'mid-latitude-moderate': { delayMs: 1, spreadHz: 0.5 },
  'mid-latitude-disturbed': { delayMs: 2, spreadHz: 1 },
  'mid-latitude-disturbed-nvis': { delayMs: 7, spreadHz: 1 },
  'high-latitude-quiet': { delayMs: 1, spreadHz: 0.5 },
  'high-latitude-moderate': { delayMs: 3, spreadHz: 10 },
  'high-latitude-disturbed': { delayMs: 7, spreadHz: 30 },
};

/** The names of the conditions. */
export const FADING_CONDITION_NAMES = Object.keys(FADING_CONDITIONS) as [
  FadingConditionName,
  ...FadingConditionName[],
];
