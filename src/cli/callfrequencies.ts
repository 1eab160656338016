/**
 * The DSC frequencies that a call is for.
 */
import { isUnassigned, type Call } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { VHF_DSC_HZ, bandOf, formatFrequency, parseFrequency } from '../frequencies/index.js';
import type { Band } from '../symbols/index.js';
import { frequencyWarning, suitedFrequencies } from './advice.js';
import type { Profile } from './profile/profile.js';
import { findWord } from './words.js';

/** What `--frequency` was given, each time: hertz, or all that suit. */
export type GivenFrequencies = readonly (number | 'all')[];

/** Reads one more `--frequency`. */
export function readFrequencies(text: string, before: GivenFrequencies | undefined): GivenFrequencies {
  return [...(before ?? []), findWord(text, ['all'] as const) ?? parseFrequency(text)];
}

/** The DSC frequencies that a call is for: as given, those of the called station in the address book, or channel 70. */
export function frequenciesFor(
  call: Call,
  given: GivenFrequencies | undefined,
  band: Band,
  profile: Profile,
): number[] {
  const isOnBand = (hz: number) => bandOf(hz) === band;
  const asked = (given ?? []).flatMap((hz) => (hz === 'all' ? suitedFrequencies(call, band) : [hz]));
  const stray = asked.find((hz) => !isOnBand(hz));
  if (stray !== undefined) {
    throw new DotphaseError(
      '--frequency',
      formatFrequency(stray),
      band === 'vhf' ? 'a frequency on VHF' : 'a frequency on MF or HF, or --vhf beside it',
    );
  }
  if (given !== undefined) return [...new Set(asked)];
  if (band === 'vhf') return [VHF_DSC_HZ];
  const station = calledStation(call);
  const known = station === undefined ? [] : profile.frequencies(station);
  return known.filter((hz) => isOnBand(hz) && frequencyWarning(call, hz) === undefined);
}

/** Whom a call is addressed to, where it is one station. */
export function calledStation(call: Call): string | undefined {
  if (!('to' in call) || typeof call.to !== 'object' || !('station' in call.to)) return undefined;
  return isUnassigned(call.to.station) ? undefined : call.to.station;
}
