/**
 * Written questions: sets of situations that are alike, each with the answer that is right for it. The wrong answers of a
 * question are right ones of other situations of its set, so that an answer by itself tells nothing.
 */
import type { RuleName } from '../../procedures/index.js';
import type { TypedAnswer } from '../typed.js';

/** A situation, and what is right in it. */
export interface WrittenLine {
  /** Names the line within its set. */
  readonly key: string;
  /** The situation, in a sentence. */
  readonly situation: string;
  readonly answer: string;
  /** Why, each sentence with its source. */
  readonly because: string;
  /** The rules of procedure that it follows. */
  readonly rules: readonly RuleName[];
  /** The same answer to be typed, where that can be. */
  readonly typed?: TypedAnswer;
}

/** Situations about which the same is asked. */
export interface WrittenSet {
  readonly name: WrittenSubject;
  /** What is asked of every situation. */
  readonly ask: string;
  readonly lines: readonly WrittenLine[];
  /** Keys of lines that never stand together, since the answer of one is right in the situation of the other too. */
  readonly apart?: readonly (readonly [string, string])[];
}

/** What a written question can be about: rules of procedure, then frequencies. */
export const WRITTEN_SUBJECTS = [
  'alert',
  'relay',
  'answer',
  'operator',
  'sending',
  'repeat',
  'wait',
  'set',
  'use',
  'place',
  'dial',
  'pair',
  'vhf',
] as const;

/** Subject of a written question. */
export type WrittenSubject = (typeof WRITTEN_SUBJECTS)[number];

/** Whether two lines may stand in one question. */
export function mayStandTogether({ apart = [] }: WrittenSet, a: WrittenLine, b: WrittenLine): boolean {
  return (
    a.answer !== b.answer &&
    !apart.some(([one, other]) => (one === a.key && other === b.key) || (one === b.key && other === a.key))
  );
}
