/**
 * The question that stands before distress and urgency audio.
 */
import type { Question } from '../parts/ask.js';

/** Asked before distress or urgency sounds. */
export function loadQuestion(priority: 'distress' | 'urgency', onYes: () => void): Question {
  return {
    title: 'Is a dummy load or a cable connected?',
    text: (
      <>
        This is <b>{priority}</b> audio. It must not reach a transmitter that is on the air: connect the set
        to a dummy load or by a cable, or keep it to the speaker. If a false alert goes out, cancel it by the
        published procedure.
      </>
    ),
    yes: 'It is: send',
    no: 'Send nothing',
    onYes,
  };
}
