/**
 * What follows a call, and where: ITU-R M.541 Annex 4 and ITU-R M.493 §8.2 (from memory).
 */
import type { Call } from '../../calls/index.js';
import { type FollowUp } from '../../frequencies/index.js';
import { followUpOf } from '../../procedures/index.js';
import { calledStation } from '../draw/calls.js';
import type { Answer, HeardContext } from './ask.js';

/** The kind of call that each acknowledgement answers, where communication may follow. */
const ANSWERED = {
  urgencyAcknowledgement: 'urgencyCall',
  safetyAcknowledgement: 'safetyCall',
  routineAcknowledgement: 'routineCall',
  automaticAcknowledgement: 'automaticCall',
} as const;

/** What follows a call, seen from the stations that it is addressed to. */
export function followOf(call: Call, frequencyHz: number): FollowUp {
  const kind = call.kind in ANSWERED ? ANSWERED[call.kind as keyof typeof ANSWERED] : undefined;
  const called = calledStation(call);
  if (kind === undefined || called === undefined || !('self' in call))
    return followUpOf(call, frequencyHz, 'called');
  const request = { ...call, kind, to: { station: call.self }, self: called } as Call;
  return followUpOf(request, frequencyHz, 'caller');
}

/** What follows a call, for the stations that it is addressed to. */
export function followAnswer({ call, frequencyHz }: HeardContext): Answer {
  const { text, rule } = followOf(call, frequencyHz);
  return { text, because: `${rule}.` };
}
