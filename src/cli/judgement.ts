/**
 * Advice about a call that was received.
 */
import { describeCall } from '../calls/index.js';
import { maritimeBand } from '../frequencies/index.js';
import type { ReceivedCall } from '../receiver/index.js';
import { BIT_RATE } from '../symbols/index.js';
import { followUpOfCall, followUpText, frequencyOf, frequencyWarning, problemsOf } from './advice.js';
import type { Profile } from './profile/profile.js';
import type { Judgement } from './report.js';

/** What is known of a call besides itself. */
export interface Circumstances {
  readonly profile: Profile;
  /** The DSC frequency it was heard on, hertz. */
  readonly frequencyHz: number | undefined;
  /** When it began and ended: milliseconds since 1970 UTC. */
  readonly utc?: Judgement['utc'];
}

/** A call with names and advice. */
export function judge<Call extends ReceivedCall>(
  heard: Call,
  { profile, frequencyHz: hz, utc }: Circumstances,
): Call & Judgement {
  const { call, baud } = heard;
  const wrongPlace = hz === undefined ? undefined : frequencyWarning(call, hz);
  const follow = hz === undefined ? undefined : followUpOfCall(call, hz);
  const followText = hz === undefined ? undefined : followUpText(call, follow);
  return {
    ...heard,
    text: describeCall(call, { station: (identity) => profile.describe(identity) }),
    problems: problemsOf(call, baud === BIT_RATE.vhf ? 'vhf' : 'mf-hf', hz),
    ...(utc && { utc }),
    ...(hz !== undefined && { frequencyHz: hz }),
    ...(wrongPlace !== undefined && { wrongPlace }),
    ...(follow !== undefined && { follow }),
    ...(followText !== undefined && { followText }),
  };
}

/** The DSC frequency a call was heard on: at 1200 Bd channel 70, at 100 Bd as given. */
export function frequencyHeard(
  { baud, frequencyHz }: ReceivedCall & { readonly frequencyHz?: number },
  given: number | undefined,
): number | undefined {
  if (frequencyHz !== undefined) return frequencyHz;
  if (baud === BIT_RATE.vhf) return frequencyOf(undefined, 'vhf');
  return given === undefined || maritimeBand(given) === 'VHF' ? undefined : given;
}
