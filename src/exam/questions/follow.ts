/**
 * What follows a call, and where: ITU-R M.541 Annex 4 and ITU-R M.493 §8.2 (from memory).
 */
import type { Call } from '../../calls/index.js';
import { followUpOf, type FollowUp } from '../../frequencies/index.js';
import type { Answer, HeardContext } from './ask.js';

/** What follows a call, seen from the stations that it is addressed to. */
export function followOf(call: Call, frequencyHz: number): FollowUp {
  return followUpOf(call, frequencyHz, 'called');
}

/** What follows a call, for the stations that it is addressed to. */
export function followAnswer({ call, frequencyHz }: HeardContext): Answer {
  const { text, rule, means } = followOf(call, frequencyHz);
  // Why nothing follows is no other answer: a declined call and a complete one never stand beside each other.
  return { text: means === 'none' ? 'nothing follows' : text, because: `${rule}.` };
}
