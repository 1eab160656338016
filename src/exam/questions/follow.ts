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
  const { text, rule } = followOf(call, frequencyHz);
  return { text, because: `${rule}.` };
}
