/**
 * Free practice: a call to be heard and asked about, the strip with what was missed, and a level that follows success.
 */
import { decodeCall, encodeCall, explainFields, frameCall, type Frame } from 'dotphase';
import { LEVELS, markQuestions, type KeyCall, type MarkedAnswer, type PaperExercise } from 'dotphase/exam';
import { radioOf } from 'dotphase/procedures';
import { readWav } from 'dotphase/wav';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { usePlayer } from '../audio/player.js';
import { SelectField } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { saveFile } from '../parts/save.js';
import { findRuns } from '../strip/model.js';
import { Strip } from '../strip/strip.js';
import { make, type Making } from './maker.js';
import { BEGINNING, after, levelOf } from './progress.js';
import { AskedQuestion } from './question.js';

/** The fields that answer each topic. */
const FIELDS: Readonly<Record<string, readonly string[]>> = {
  kind: ['format', 'category', 'telecommand1', 'eos'],
  from: ['self'],
  to: ['to'],
  casualty: ['casualty'],
  nature: ['nature'],
  position: ['position'],
  time: ['time'],
  follow: ['followOn', 'telecommand1', 'message'],
  reason: ['telecommand2'],
  telephone: ['telephone'],
  acknowledgement: ['eos'],
  next: ['category', 'telecommand1'],
};

interface Heard {
  readonly exercise: PaperExercise;
  readonly samples: Float32Array<ArrayBuffer>;
  readonly sampleRate: number;
}

/** The strip of a call as it was sent, with the characters that were lost, and the fields that answers missed. */
function CallStrip({
  call,
  frequencyHz,
  missed,
}: {
  call: KeyCall;
  frequencyHz: number;
  missed: readonly string[];
}) {
  const { symbols, received = [] } = call;
  const { sequence, runs } = useMemo(() => {
    const frame: Frame = frameCall(encodeCall(decodeCall(symbols)), { band: radioOf(frequencyHz) });
    const count = frame.sendings[0].slots.reduce(
      (most, { character = -1 }) => Math.max(most, character + 1),
      0,
    );
    return { sequence: frame, runs: findRuns(explainFields(symbols), [], count) };
  }, [symbols, frequencyHz]);
  const isLost = (slot: number) => {
    const { character } = sequence.sendings[0].slots[slot];
    if (character === undefined || character >= received.length) return false;
    return received[character].every((sending) => sending === null);
  };
  return <Strip sequence={sequence} runs={runs} isLost={isLost} missed={missed} />;
}

/** The characters of a call as they were received, for those who read them themselves. */
function Characters({ call }: { call: KeyCall }) {
  const row = (sending: 0 | 1) =>
    (call.received ?? []).map((pair) => {
      const symbol = pair[sending];
      return symbol === null ? '•••' : String(symbol).padStart(2, '0');
    });
  return (
    <div
      class="as-received"
      role="region"
      aria-label={`Characters of call ${call.number ?? ''}`}
      tabIndex={0}
    >
      <p>
        <b>DX</b> {row(0).join(' ')}
      </p>
      <p>
        <b>RX</b> {row(1).join(' ')}
      </p>
    </div>
  );
}

function Result({ heard, marked }: { heard: Heard; marked: readonly MarkedAnswer[] }) {
  const { exercise } = heard;
  const wrong = exercise.questions.filter((_, i) => !marked[i].isRight);
  const read = exercise.calls.filter(({ number }) => number !== undefined);
  return (
    <section class="practice-result" aria-label="What was sent">
      <h2>What was sent</h2>
      {read.map((call) => {
        const own = wrong.filter((question) => (question.call ?? 1) === call.number);
        const missed = [...new Set(own.flatMap(({ topic }) => FIELDS[topic] ?? []))];
        const names = explainFields(call.symbols)
          .filter(({ field }) => missed.includes(field))
          .map(({ label }) => label);
        return (
          <div key={call.number} class="sent-call">
            <p>
              {read.length > 1 && <b>Call {call.number}. </b>}
              {call.text}
            </p>
            {call.lost !== undefined && <p class="said">Lost in both sendings: {call.lost}.</p>}
            {names.length > 0 && (
              <p class="missed-fields">
                Look here for what you missed: <b>{names.join(', ')}</b>.
              </p>
            )}
            <CallStrip call={call} frequencyHz={exercise.frequencyHz} missed={missed} />
          </div>
        );
      })}
    </section>
  );
}

export function PracticeView() {
  const [progress, setProgress] = useKept('practice', BEGINNING);
  const [heard, setHeard] = useState<Heard>();
  const [making, setMaking] = useState(false);
  const [failed, setFailed] = useState<string>();
  const [answers, setAnswers] = useState<Readonly<Record<string, string>>>({});
  const [marked, setMarked] = useState<readonly MarkedAnswer[]>();
  const [said, setSaid] = useState('');
  const job = useRef<Making<unknown>>(undefined);
  const player = usePlayer();
  const level = levelOf(progress);
  useEffect(() => () => job.current?.stop(), []);

  const next = async () => {
    player.stop();
    job.current?.stop();
    setMaking(true);
    setFailed(undefined);
    setSaid('');
    try {
      const making = make({ type: 'practice', plan: { level, exercises: 1, pictures: false } });
      job.current = making;
      const { exercise, sampleRate } = await making.made;
      const samples = readWav(exercise.wav).channels[0] as Float32Array<ArrayBuffer>;
      setHeard({ exercise, samples, sampleRate });
      setAnswers({});
      setMarked(undefined);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
    setMaking(false);
  };
  const play = async ({ samples, sampleRate }: Heard) => {
    try {
      await player.start(samples, sampleRate);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
  };
  const check = ({ exercise }: Heard) => {
    const result = markQuestions(exercise.questions, answers);
    const right = result.filter(({ isRight }) => isRight).length;
    const told = after(progress, result.length, right);
    setMarked(result);
    setProgress(told.progress);
    setSaid(`${right} of ${result.length} right. ${told.said}`);
  };
  const answered = heard?.exercise.questions.filter(({ id }) => (answers[id] ?? '') !== '').length ?? 0;
  const { exercises, asked, right } = progress;
  return (
    <div class="practice">
      <div class="view-head">
        <h1>Practice</h1>
        <p>
          Hear a call, read it, answer, and see where it says what you missed. The level follows your success.
        </p>
      </div>
      <div class="practice-start">
        <SelectField
          label="Level"
          value={String(level)}
          onValue={(value) => {
            setProgress({ ...progress, level: Number(value), inRow: 0 });
          }}
          choices={Object.entries(LEVELS).map(([value, { title }]) => ({
            value,
            text: `${value}: ${title}`,
          }))}
          reading={LEVELS[level].about}
        />
        <div class="actions">
          <button class={heard && !marked ? '' : 'main'} disabled={making} onClick={() => void next()}>
            {making ? 'Making a call…' : heard ? 'Next call' : 'Make a call'}
          </button>
        </div>
        {exercises > 0 && (
          <p class="said">
            {exercises} {exercises === 1 ? 'exercise' : 'exercises'} so far, {right} of {asked} answers right.
          </p>
        )}
      </div>
      <p class="hidden" role="status">
        {making ? 'Making a call' : said}
      </p>
      {failed !== undefined && (
        <p class="notice" role="alert">
          {failed}
        </p>
      )}
      {!heard && !making && (
        <p class="empty">
          Nothing of this is a real call: ships and stations are invented. Play it over headphones or a
          loudspeaker, never into a transmitter.
        </p>
      )}
      {heard && (
        <>
          <section class="practice-call" aria-label="The call">
            <p>{heard.exercise.situation.join(' ')}</p>
            <p class="said">You are the ship Quillwater, 299 123 456, of the group 0 299 12345.</p>
            <div class="actions">
              <button
                class={marked ? '' : 'main'}
                onClick={() => {
                  if (player.playing) player.stop();
                  else void play(heard);
                }}
              >
                {player.playing ? 'Stop' : 'Play'}
              </button>
              <button
                onClick={() => {
                  saveFile('practice.wav', heard.exercise.wav as Uint8Array<ArrayBuffer>, 'audio/wav');
                }}
              >
                Save the sound
              </button>
              <span class="said">{heard.exercise.seconds.toFixed(1)} s</span>
            </div>
            <details>
              <summary>The characters as a receiver reads them</summary>
              {heard.exercise.calls
                .filter(({ number }) => number !== undefined)
                .map((call) => (
                  <Characters key={call.number} call={call} />
                ))}
            </details>
          </section>
          <form
            class="practice-questions"
            onSubmit={(event) => {
              event.preventDefault();
              if (!marked) check(heard);
            }}
          >
            {heard.exercise.questions.map((question, i) => (
              <AskedQuestion
                key={question.id}
                question={question}
                answer={answers[question.id] ?? ''}
                onAnswer={(answer) => {
                  setAnswers((before) => ({ ...before, [question.id]: answer }));
                }}
                marked={marked?.[i]}
              />
            ))}
            {!marked && (
              <div class="actions">
                <button class="main" type="submit" disabled={answered === 0}>
                  Check
                </button>
                <span class="said">
                  {answered} of {heard.exercise.questions.length} answered
                </span>
              </div>
            )}
          </form>
          {marked && (
            <>
              <p class="practice-said">{said}</p>
              <Result heard={heard} marked={marked} />
            </>
          )}
        </>
      )}
    </div>
  );
}
