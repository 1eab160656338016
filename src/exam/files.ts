/**
 * A paper as files.
 */
import { writeCsv } from './csv.js';
import { keyOf } from './key.js';
import { questionsOf, type Paper } from './paper.js';
import { answerSheet } from './sheets/answers.js';
import { questionSheet } from './sheets/questions.js';
import { FORM_HINTS } from './typed.js';

/** A file of a paper. */
export interface PaperFile {
  readonly name: string;
  readonly content: Uint8Array | string;
}

const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;

/** The questions without what would give the answers away. */
function questionsJson(paper: Paper): unknown {
  const { title, number: own, version, exercises } = paper;
  return {
    title,
    number: own,
    ...(version !== undefined && { version }),
    exercises: exercises.map(({ number, file, seconds, heardOn, situation }) => ({
      number,
      file,
      seconds,
      heardOn,
      situation,
    })),
    questions: questionsOf(paper).map(({ id, exercise, call, topic, text, choices, typed }) => ({
      id,
      exercise,
      ...(call !== undefined && { call }),
      topic,
      text,
      choices,
      ...(typed && { form: typed.form }),
    })),
  };
}

/** The answers, and what was sent. */
function answersJson(paper: Paper): unknown {
  return {
    ...keyOf(paper),
    secret: paper.secret,
    exercises: paper.exercises.map(({ number, file, frequencyHz, conditions, calls }) => ({
      number,
      file,
      frequencyHz,
      conditions,
      calls,
    })),
  };
}

const CHOICES = ['a', 'b', 'c', 'd'];

function questionsCsv(paper: Paper): string {
  const fileOf = (exercise: number) => paper.exercises.find(({ number }) => number === exercise)?.file ?? '';
  const rows = questionsOf(paper).map(({ id, exercise, call, text, choices, typed }) => [
    id,
    fileOf(exercise),
    call ?? '',
    typed ? `${text} (${FORM_HINTS[typed.form]})` : text,
    ...CHOICES.map((letter) => choices.find((choice) => choice.letter === letter)?.text ?? ''),
  ]);
  return writeCsv([['question', 'file', 'call', 'text', ...CHOICES], ...rows]);
}

function answersCsv(paper: Paper): string {
  const rows = keyOf(paper).questions.map(({ id, text, choices, answer, because }) => [
    id,
    answer,
    choices.find(({ letter }) => letter === answer)?.text ?? answer,
    text,
    because,
  ]);
  return writeCsv([['question', 'answer', 'text', 'asked', 'reason'], ...rows]);
}

/** A table to type the candidates' letters into. */
function candidatesCsv(paper: Paper): string {
  return writeCsv([[`candidate (paper ${paper.number})`, ...keyOf(paper).questions.map(({ id }) => id)]]);
}

/** Every file of a paper: recordings, sheets, tables, and the plan that gives it again. */
export function paperFiles(paper: Paper): PaperFile[] {
  return [
    ...paper.exercises.map(({ file, wav }) => ({ name: file, content: wav })),
    { name: 'questions.html', content: questionSheet(paper) },
    { name: 'questions.json', content: json(questionsJson(paper)) },
    { name: 'questions.csv', content: questionsCsv(paper) },
    { name: 'answers.html', content: answerSheet(paper) },
    { name: 'answers.json', content: json(answersJson(paper)) },
    { name: 'answers.csv', content: answersCsv(paper) },
    { name: 'candidates.csv', content: candidatesCsv(paper) },
    { name: 'plan.json', content: json(paper.plan) },
  ];
}
