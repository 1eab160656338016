/**
 * Papers: made, printed, and marked, within the page and without a network.
 */
import { LEVELS, type PaperKey } from 'dotphase/exam';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { Ask, type Question } from '../parts/ask.js';
import { SelectField, TextField, Tick } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { saveFile } from '../parts/save.js';
import { joinSpeaker } from '../audio/player.js';
import { papersArchive } from './archive.js';
import { make, type Making } from './maker.js';
import { MarkingPart } from './markingpart.js';
import { FORM, planOf, roomOf } from './paperform.js';
import { PaperSheet } from './papersheet.js';
import { printPart } from './printing.js';
import type { MadePaper } from './protocol.js';

const COUNTS = Array.from({ length: 12 }, (_, i) => ({ value: String(i + 1), text: String(i + 1) }));
const VERSIONS = COUNTS.slice(0, 8);

/** A recording that plays by itself. */
function Recording({ name, content }: { name: string; content: Uint8Array<ArrayBuffer> }) {
  const url = useMemo(() => URL.createObjectURL(new Blob([content], { type: 'audio/wav' })), [content]);
  const element = useRef<HTMLAudioElement>(null);
  useEffect(() => {
    const leave = element.current ? joinSpeaker(element.current) : undefined;
    return () => {
      leave?.();
      URL.revokeObjectURL(url);
    };
  }, [url]);
  return (
    <li>
      <span>{name}</span>
      <audio ref={element} controls preload="none" src={url} aria-label={name} />
    </li>
  );
}

const fileOf = ({ files }: MadePaper, name: string) =>
  files.find((file) => file.name === name)?.content ?? '';

type Sheet = 'questions' | 'answers';

function Made({
  papers,
  isSaved,
  onSaved,
}: {
  papers: readonly MadePaper[];
  isSaved: boolean;
  onSaved: () => void;
}) {
  const [index, setIndex] = useState(0);
  useEffect(() => {
    if (isSaved) return undefined;
    const ask = (event: BeforeUnloadEvent) => {
      event.preventDefault();
    };
    addEventListener('beforeunload', ask);
    return () => {
      removeEventListener('beforeunload', ask);
    };
  }, [isSaved]);
  const [sheet, setSheet] = useState<Sheet>();
  const paper = papers[Math.min(index, papers.length - 1)];
  const sounds = paper.files.filter(({ name }) => name.endsWith('.wav'));
  return (
    <section class="made-paper" aria-label="The paper">
      <h2>{paper.title}</h2>
      <p class="said">
        Paper {paper.number}
        {paper.version === undefined ? '' : `, version ${paper.version}`}: {paper.key.questions.length}{' '}
        questions.
      </p>
      {papers.length > 1 && (
        <SelectField
          label="Version"
          value={String(index)}
          onValue={(value) => {
            setIndex(Number(value));
          }}
          choices={papers.map(({ version = '', number }, i) => ({
            value: String(i),
            text: `${version}, paper ${number}`,
          }))}
        />
      )}
      <div class="actions">
        <button
          class="main"
          onClick={() => {
            saveFile('paper.zip', papersArchive(papers), 'application/zip');
            onSaved();
          }}
        >
          Save everything
        </button>
        <button
          aria-pressed={sheet === 'questions'}
          onClick={() => {
            setSheet(sheet === 'questions' ? undefined : 'questions');
          }}
        >
          Question sheet
        </button>
        <button
          aria-pressed={sheet === 'answers'}
          onClick={() => {
            setSheet(sheet === 'answers' ? undefined : 'answers');
          }}
        >
          Answer sheet
        </button>
        {sheet && (
          <button
            onClick={({ currentTarget }) => {
              printPart(currentTarget, '.made-paper');
            }}
          >
            Print it
          </button>
        )}
      </div>
      <p class="notice">
        This page forgets the paper when it is closed: save it. Its secret stands with the answers; hand out
        the recordings and the question sheet alone.
      </p>
      <details>
        <summary>Recordings</summary>
        <ul class="recordings">
          {sounds.map(({ name, content }) => (
            <Recording key={paper.number + name} name={name} content={content as Uint8Array<ArrayBuffer>} />
          ))}
        </ul>
      </details>
      {sheet && (
        <PaperSheet
          html={String(fileOf(paper, `${sheet}.html`))}
          label={sheet === 'questions' ? 'Question sheet' : 'Answer sheet'}
        />
      )}
    </section>
  );
}

export function PapersView() {
  const [form, setForm] = useKept('paper', FORM);
  const [own, setOwn] = useState('');
  const [papers, setPapers] = useState<readonly MadePaper[]>();
  const [isSaved, setSaved] = useState(false);
  const [question, setQuestion] = useState<Question>();
  const [done, setDone] = useState<{ done: number; of: number }>();
  const [failed, setFailed] = useState<string>();
  const job = useRef<Making<unknown>>(undefined);
  useEffect(() => () => job.current?.stop(), []);
  const set =
    <Name extends keyof typeof FORM>(name: Name) =>
    (value: (typeof FORM)[Name]) => {
      setForm((before) => ({ ...before, [name]: value }));
    };
  const start = async () => {
    setFailed(undefined);
    try {
      const plan = planOf(form, own);
      setDone({ done: 0, of: 0 });
      const making = make({ type: 'paper', plan, room: roomOf(form) }, (count, of) => {
        setDone({ done: count, of });
      });
      job.current = making;
      const made = await making.made;
      setPapers(made.papers);
      setSaved(false);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
    setDone(undefined);
  };
  const askOrStart = () => {
    if (!papers || isSaved) {
      void start();
      return;
    }
    setQuestion({
      title: 'Make another paper?',
      text: `Paper ${papers[0].number} is not saved, and the new one takes its place. Save first what you want to keep.`,
      yes: 'Replace it',
      no: 'Keep it',
      onYes: () => void start(),
    });
  };
  const isMaking = done !== undefined;
  const keys: readonly PaperKey[] = papers?.map(({ key }) => key) ?? [];
  return (
    <div class="papers">
      <div class="view-head">
        <h1>Papers</h1>
        <p>Recordings with questions for a class, and the marks of its answers. Nothing leaves this page.</p>
      </div>
      <form
        class="paper-form"
        aria-label="A new paper"
        onSubmit={(event) => {
          event.preventDefault();
          if (!isMaking) askOrStart();
        }}
      >
        <h2>Make a paper</h2>
        <div class="pair">
          <SelectField
            label="Level"
            value={form.level}
            onValue={set('level')}
            choices={Object.entries(LEVELS).map(([value, { title }]) => ({
              value,
              text: `${value}: ${title}`,
            }))}
          />
          <SelectField label="Exercises" value={form.exercises} onValue={set('exercises')} choices={COUNTS} />
          <SelectField
            label="Versions"
            value={form.versions}
            onValue={set('versions')}
            choices={VERSIONS}
            reading="A, B and so on, of one difficulty"
          />
          <TextField
            label="Written questions"
            value={form.written}
            onValue={set('written')}
            numeric
            size={4}
            reading="about rules and frequencies, without a recording"
          />
        </div>
        <TextField
          label="Title"
          value={form.title}
          onValue={set('title')}
          reading="by the level where left empty"
        />
        <div class="ticks">
          <Tick
            label="Spectrograms on the question sheet"
            checked={form.pictures}
            onValue={set('pictures')}
          />
          <Tick
            label="Characters as received on the question sheet"
            checked={form.characters}
            onValue={set('characters')}
          />
          <Tick
            label="Identities, positions, times and frequencies are typed, not chosen"
            checked={form.typed}
            onValue={set('typed')}
          />
          {Number(form.versions) > 1 && (
            <Tick
              label="All versions have the same recordings, with other letters"
              checked={form.sameRecordings}
              onValue={set('sameRecordings')}
            />
          )}
          <Tick
            label="One long recording for the room as well, with its numbers in beeps"
            checked={form.room}
            onValue={set('room')}
          />
        </div>
        {form.room && (
          <div class="pair">
            <SelectField
              label="Each exercise is played"
              value={form.times}
              onValue={set('times')}
              choices={['1', '2', '3'].map((value) => ({
                value,
                text: value === '1' ? 'once' : `${value} times`,
              }))}
            />
            <TextField
              label="Pause between, seconds"
              value={form.pause}
              onValue={set('pause')}
              numeric
              size={4}
            />
            <TextField
              label="Time to answer, seconds"
              value={form.answerTime}
              onValue={set('answerTime')}
              numeric
              size={4}
            />
          </div>
        )}
        <details>
          <summary>A plan of your own</summary>
          <label class="plan-text">
            <span>Plan in JSON, in place of the form</span>
            <textarea
              rows={8}
              spellcheck={false}
              value={own}
              onInput={(event) => {
                setOwn(event.currentTarget.value);
              }}
            />
          </label>
        </details>
        <div class="actions">
          <button class="main" type="submit" disabled={isMaking}>
            {isMaking ? 'Making…' : 'Make the paper'}
          </button>
          {isMaking && (
            <button
              type="button"
              onClick={() => {
                job.current?.stop();
                setDone(undefined);
              }}
            >
              Stop
            </button>
          )}
          <span class="said" role="status">
            {done && done.of > 0 ? `${done.done} of ${done.of} recordings made and received again` : ''}
          </span>
        </div>
        {failed !== undefined && (
          <p class="notice" role="alert">
            {failed}
          </p>
        )}
      </form>
      {papers && (
        <Made
          key={papers[0].number}
          papers={papers}
          isSaved={isSaved}
          onSaved={() => {
            setSaved(true);
          }}
        />
      )}
      <MarkingPart made={keys} pass={form.pass} onPass={set('pass')} />
      {question && (
        <Ask
          question={question}
          onOver={() => {
            setQuestion(undefined);
          }}
        />
      )}
    </div>
  );
}
