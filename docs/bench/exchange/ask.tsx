/**
 * Questions that stand before what must not be done lightly.
 */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

export interface Question {
  readonly title: string;
  readonly text: ComponentChildren;
  readonly yes: string;
  readonly no: string;
  readonly onYes: () => void;
}

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

export function Ask({ question, onOver }: { question: Question; onOver: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog
      ref={dialog}
      class="ask"
      aria-labelledby="ask-title"
      onClose={() => {
        const isYes = dialog.current?.returnValue === 'yes';
        onOver();
        if (isYes) question.onYes();
      }}
    >
      <form method="dialog">
        <h2 id="ask-title">{question.title}</h2>
        <p>{question.text}</p>
        <p class="actions">
          <button value="no">{question.no}</button>
          <button value="yes" class="grave">
            {question.yes}
          </button>
        </p>
      </form>
    </dialog>
  );
}
