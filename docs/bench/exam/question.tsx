/**
 * A question with its answers to choose from, or a line to type on.
 */
import type { KeyQuestion, MarkedAnswer } from 'dotphase/exam';
import { useId } from 'preact/hooks';
import { TextField } from '../parts/fields.js';

const FORMS = {
  identity: 'nine digits',
  position: 'degrees, minutes, N or S, E or W',
  time: 'hours and minutes, UTC',
  frequency: 'with kHz or MHz',
} as const;

/** What is said under a question that was checked. */
function Verdict({ marked }: { marked: MarkedAnswer }) {
  const { isRight, given, right, fault, because } = marked;
  return (
    <div class={isRight ? 'verdict right' : 'verdict wrong'}>
      <p>
        <b>{isRight ? 'Right.' : given ? 'Wrong.' : 'Not answered.'}</b>{' '}
        {!isRight && (
          <>
            {fault !== undefined && `${fault[0].toUpperCase()}${fault.slice(1)}. `}Right is: {right.text}.
          </>
        )}
      </p>
      <p class="because">{because}</p>
    </div>
  );
}

export function AskedQuestion({
  question,
  answer,
  onAnswer,
  marked,
}: {
  question: KeyQuestion;
  answer: string;
  onAnswer: (answer: string) => void;
  marked: MarkedAnswer | undefined;
}) {
  const { id, text, choices, typed, call } = question;
  const name = useId();
  const about = call === undefined ? '' : `Call ${call}: `;
  const isOver = marked !== undefined;
  if (typed) {
    return (
      <div class="asked">
        <TextField
          label={about + text}
          value={answer}
          onValue={(value) => {
            if (!isOver) onAnswer(value);
          }}
          reading={FORMS[typed.form]}
        />
        {marked && <Verdict marked={marked} />}
      </div>
    );
  }
  return (
    <fieldset class="asked">
      <legend>
        {about}
        {text}
      </legend>
      {choices.map((choice) => {
        const tone = !isOver
          ? ''
          : choice.letter === question.answer
            ? ' right'
            : answer === choice.letter
              ? ' wrong'
              : '';
        return (
          <label key={choice.letter} class={`choice${tone}`}>
            <input
              type="radio"
              name={`${name}-${id}`}
              value={choice.letter}
              disabled={isOver}
              checked={answer === choice.letter}
              onChange={() => {
                onAnswer(choice.letter);
              }}
            />
            <span>{choice.text}</span>
          </label>
        );
      })}
      {marked && <Verdict marked={marked} />}
    </fieldset>
  );
}
