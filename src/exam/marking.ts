/**
 * Marking: what candidates chose and typed against the answers of a paper, or of several versions of one.
 */
import { DotphaseError } from '../errors.js';
import { writeCsv } from './csv.js';
import type { MarkedQuestion, PaperKey } from './key.js';
import { letterOf, readAnswers, type AnswerRow } from './answertable.js';
import { judgeTyped, toleranceText } from './typed.js';

/** An answer as it is shown. */
export interface ShownAnswer {
  /** Absent where the answer is typed. */
  readonly letter?: string | undefined;
  readonly text: string;
}

/** One answer of a candidate. */
export interface MarkedAnswer {
  /** The question, such as `Q3.2`. */
  readonly id: string;
  readonly text: string;
  /** What the candidate chose or typed; absent where the question was left out. */
  readonly given?: ShownAnswer;
  /** The right one. */
  readonly right: ShownAnswer;
  readonly isRight: boolean;
  /** What is wrong with what was typed. */
  readonly fault?: string;
  /** Why the right one is right. */
  readonly because: string;
}

/** The marks of a candidate. */
export interface CandidateMarks {
  /** As it stands in the table. */
  readonly candidate: string;
  /** The number of the paper, and its letter where there are several versions. */
  readonly paper: string;
  readonly version?: string | undefined;
  /** One for each right answer. */
  readonly marks: number;
  /** The most that could be had. */
  readonly of: number;
  /** Marks in a hundred, rounded to a tenth. */
  readonly percent: number;
  /** Every question in the order of the paper. */
  readonly answers: readonly MarkedAnswer[];
}

function markTyped(
  question: MarkedQuestion,
  typed: NonNullable<MarkedQuestion['typed']>,
  cell: string,
): MarkedAnswer {
  const { id, text, answer, because } = question;
  const tolerance = toleranceText(typed);
  const right = { text: tolerance === '' ? answer : `${answer}, ${tolerance}` };
  if (cell === '') return { id, text, right, isRight: false, because };
  const judged = judgeTyped(typed, cell);
  const shared = { id, text, given: { text: cell }, right, because };
  return judged.isRight ? { ...shared, isRight: true } : { ...shared, isRight: false, fault: judged.reason };
}

function markAnswer(question: MarkedQuestion, cell: string): MarkedAnswer {
  const { id, text, choices, answer, typed, because } = question;
  if (typed) return markTyped(question, typed, cell);
  const find = (letter: string) => choices.find((choice) => choice.letter === letter);
  const right = find(answer);
  if (!right) throw new DotphaseError(`key ${id}`, answer, 'the letter of one of the choices');
  const given = find(letterOf(cell));
  return {
    id,
    text,
    ...(given && { given: { letter: given.letter, text: given.text } }),
    right: { letter: right.letter, text: right.text },
    isRight: given === right,
    because,
  };
}

/**
 * Marks single answers, without a table.
 *
 * @param answers - what was chosen or typed, by the questions' names; a letter that is none counts as no answer
 */
export function markQuestions(
  questions: readonly MarkedQuestion[],
  answers: Readonly<Record<string, string>>,
): MarkedAnswer[] {
  const given = new Map(Object.entries(answers));
  return questions.map((question) => markAnswer(question, (given.get(question.id) ?? '').trim()));
}

function markRow({ candidate, key, cells }: AnswerRow): CandidateMarks {
  const answers = key.questions.map((question) => markAnswer(question, cells.get(question.id) ?? ''));
  const marks = answers.filter(({ isRight }) => isRight).length;
  const of = key.questions.length;
  return {
    candidate,
    paper: key.number,
    ...(key.version !== undefined && { version: key.version }),
    marks,
    of,
    percent: Math.round((1000 * marks) / of) / 10,
    answers,
  };
}

/**
 * Marks the answers of candidates. Where anything in a table is wrong, nothing is marked and all of it is told.
 *
 * @param key - from {@link parsePaperKey}; of several versions all of them
 * @param tables - one or several. Each has a column `candidate`, one for each question (`Q1.1` …) and a row for each
 *   candidate; in the cells stand the letters chosen or what was typed, empty where a question was left out. Behind
 *   `candidate` the number of the paper may stand; or a column `version` says for each row which one it was.
 * @throws DotphaseError that names every row and column that is wrong
 */
export function markAnswers(
  key: PaperKey | readonly PaperKey[],
  tables: string | readonly string[],
): CandidateMarks[] {
  const keys: readonly PaperKey[] = 'questions' in key ? [key] : key;
  const given: unknown = typeof tables === 'string' ? [tables] : tables;
  if (!Array.isArray(given) || !given.every((table) => typeof table === 'string'))
    throw new DotphaseError('table', tables, 'CSV as text, or a list of such texts');
  return readAnswers(keys, given).map(markRow);
}

/** An answer with its letter, where it has one. */
export const shownText = ({ letter, text }: ShownAnswer) =>
  letter === undefined ? text : `${letter}, ${text}`;

/** The reason for the mark of one answer, in a sentence. */
export function markReason({ given, right, isRight, fault, because }: MarkedAnswer): string {
  if (isRight) return `right: ${right.text}`;
  const chosen = given ? `${shownText(given)}${fault === undefined ? '' : ` (${fault})`}` : 'no answer';
  return `wrong: ${chosen}. Right is ${shownText(right)}. ${because}`;
}

/** Marks as a table: a row for each question of each candidate, and one for the whole. Safe to open in a spreadsheet. */
export function marksCsv(marks: readonly CandidateMarks[]): string {
  const rows = marks.flatMap((each) => [
    [each.candidate, 'all', '', '', each.marks, `${each.marks} of ${each.of}, ${each.percent} %`],
    ...each.answers.map((answer) => [
      each.candidate,
      answer.id,
      answer.given?.letter ?? answer.given?.text ?? '',
      answer.right.letter ?? answer.right.text,
      answer.isRight ? 1 : 0,
      markReason(answer),
    ]),
  ]);
  return writeCsv([['candidate', 'question', 'given', 'right', 'mark', 'reason'], ...rows]);
}
