/**
 * What the virtual coast station answers, and what it never does.
 */
import type { Call, DecodedCall, Identity, ReceivedCall } from 'dotphase';
import { outlineCall } from 'dotphase/frequencies';

/** The station's identity: MID 299 is allotted to nobody. */
export const STATION: Identity = '002991234';

export type Verdict =
  { readonly type: 'answer'; readonly call: Call } | { readonly type: 'silent'; readonly reason: string };

const silent = (reason: string): Verdict => ({ type: 'silent', reason });

function isDistress(call: DecodedCall): boolean {
  try {
    return outlineCall(call).category === 'distress';
  } catch {
    return false;
  }
}

/**
 * What a station does on hearing a call: it answers a test call for itself that was surely read, and nothing else.
 * A distress alert is never acknowledged here: that is for people to do.
 */
export function answerTo({ call, quality }: Pick<ReceivedCall, 'call' | 'quality'>, self: Identity): Verdict {
  if (isDistress(call)) return silent('A distress call: the station here never acknowledges one. People do.');
  if (call.kind === 'partialCall')
    return silent('What kind of call it is was not received, so it is left unanswered.');
  if (call.kind !== 'testCall') return silent('Not a test call, so it is left unanswered.');
  if (call.to.station !== self) return silent('A test call for another station, so it is left unanswered.');
  if (quality === 'doubtful') return silent('Too doubtful to be answered.');
  if (typeof call.self !== 'string') return silent('The caller’s identity was not received, or is none.');
  return { type: 'answer', call: { kind: 'testAcknowledgement', to: { station: call.self }, self } };
}
