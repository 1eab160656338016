/**
 * The topics of questions about a call, and their answers.
 */
import type { Call } from '../../calls/index.js';
import type { FieldInCall } from '../damage.js';
import type { TypedAnswer } from '../typed.js';
import type { Topic } from './topics.js';

/** The question about each topic: the same words whatever the call is. */
export const QUESTION_TEXT: Readonly<Record<Topic, string>> = {
  count: 'How many calls can be read whole in this recording?',
  kind: 'What kind of call is it?',
  from: 'Which station sent it?',
  to: 'To whom is it addressed?',
  casualty: 'Which ship’s distress is it about?',
  nature: 'What is the nature of the distress?',
  position: 'Which position does it give?',
  time: 'Which time does it give for the position?',
  lost: 'Which part of it cannot be read?',
  follow: 'What follows for the stations it is addressed to, and on which frequency?',
  reason: 'Why can the called station not comply?',
  telephone: 'Which telephone number does it carry?',
  acknowledgement: 'Is an acknowledgement by DSC due?',
  next: 'What do you do next?',
};

/** The answer where the characters of a field are lost. */
export const UNREADABLE = 'It cannot be read in this recording';

/** An answer. */
export interface Answer {
  readonly text: string;
  /** Why it is right, in sentences. */
  readonly because: string;
  /** The same to be typed, where that can be. */
  readonly typed?: TypedAnswer;
}

/** The answers of a call to what can be asked about it. */
export type Answers = ReadonlyMap<Topic, Answer>;

/** A call that questions are asked about. */
export interface HeardContext {
  readonly call: Call;
  /** Its characters, from one format specifier through the error check, and the fields that they make. */
  readonly symbols: readonly number[];
  readonly fields: readonly FieldInCall[];
  /** Numbers of the characters that read in neither sending. */
  readonly unread: readonly number[];
  /** The DSC frequency it was heard on, hertz. */
  readonly frequencyHz: number;
}
