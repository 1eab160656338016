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
