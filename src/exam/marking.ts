/**
 * Marking: the letters that candidates chose against the answers of a paper.
 */
import { DotphaseError } from '../errors.js';
import { readCsv, writeCsv, type CsvRow } from './csv.js';
import type { MarkedQuestion, PaperKey } from './key.js';

/** One answer of a candidate. */
export interface MarkedAnswer {
  /** The question, such as `Q3.2`. */
  readonly id: string;
  readonly text: string;
  /** The letter that the candidate chose, and its text; absent where the question was left out. */
  readonly given?: { readonly letter: string; readonly text: string };
  /** The right one. */
  readonly right: { readonly letter: string; readonly text: string };
  readonly isRight: boolean;
  /** Why the right one is right. */
  readonly because: string;
}

/** The marks of a candidate. */
export interface CandidateMarks {
  /** As it stands in the table. */
  readonly candidate: string;
  /** One for each right answer. */
  readonly marks: number;
  /** The most that could be had. */
  readonly of: number;
  /** Marks in a hundred, rounded to a tenth. */
  readonly percent: number;
  /** Every question in the order of the paper. */
  readonly answers: readonly MarkedAnswer[];
}

/** The name of a column without its case, blanks and `Q`. */
const columnKey = (name: string) => name.toLowerCase().replace(/\s+/g, '').replace(/^q/, '');

/** Where each question stands in the table. */
function columnsOf({ cells, number }: CsvRow, questions: readonly MarkedQuestion[]): number[] {
  const keys = cells.map(columnKey);
  if (keys[0] !== 'candidate') {
    throw new DotphaseError(`row ${number}`, cells[0] ?? '', 'candidate as the name of the first column');
  }
  const known = questions.map(({ id }) => columnKey(id));
  keys.slice(1).forEach((key, i) => {
    if (key !== '' && (!known.includes(key) || keys.indexOf(key) !== i + 1)) {
      throw new DotphaseError(
        `row ${number}, column ${i + 2}`,
        cells[i + 1],
        'a question of the paper, each once',
      );
    }
  });
  const missing = questions.filter((_, i) => !keys.includes(known[i])).map(({ id }) => id);
  if (missing.length > 0) {
    throw new DotphaseError(
      `row ${number}`,
      'columns',
      `a column for each question; missing: ${missing.join(', ')}`,
    );
  }
  return known.map((key) => keys.indexOf(key));
}

function markAnswer(question: MarkedQuestion, cell: string, row: number): MarkedAnswer {
  const { id, text, choices, answer, because } = question;
  const find = (letter: string) => choices.find((choice) => choice.letter === letter);
  const right = find(answer);
  if (!right) throw new DotphaseError(`key ${id}`, answer, 'the letter of one of the choices');
  const letter = cell.toLowerCase().replace(/[).]$/, '');
  const given = letter === '' ? undefined : find(letter);
  if (letter !== '' && !given) {
    const letters = choices.map((choice) => choice.letter).join(', ');
    throw new DotphaseError(`row ${row}, ${id}`, cell, `one of ${letters}, or nothing`);
  }
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
 * Marks the answers of candidates.
 *
 * @param key - from {@link parsePaperKey}
 * @param csv - a table with a column `candidate` and one for each question (`Q1.1` …), a row for each candidate, in the
 *   cells the letters chosen, empty where a question was left out
 * @throws DotphaseError that names the row and column that is wrong
 */
export function markAnswers(key: PaperKey, csv: string): CandidateMarks[] {
  const { questions } = key;
  const [header, ...rows] = readCsv(csv);
  if ((header as CsvRow | undefined) === undefined) {
    throw new DotphaseError('CSV', csv, 'a first row with candidate and the questions');
  }
  const columns = columnsOf(header, questions);
  const seen = new Map<string, number>();
  return rows.map(({ cells, number }) => {
    const [candidate] = cells;
    if (cells.length > header.cells.length) {
      throw new DotphaseError(
        `row ${number}`,
        `${cells.length} cells`,
        `at most ${header.cells.length}, as in the first row`,
      );
    }
    if (candidate === '') throw new DotphaseError(`row ${number}, candidate`, candidate, 'a name or number');
    const before = seen.get(candidate);
    if (before !== undefined) {
      throw new DotphaseError(
        `row ${number}, candidate`,
        candidate,
        `each candidate once; row ${before} has the same`,
      );
    }
    seen.set(candidate, number);
    const answers = questions.map((question, i) => markAnswer(question, cells[columns[i]] ?? '', number));
    const marks = answers.filter(({ isRight }) => isRight).length;
    const of = questions.length;
    return { candidate, marks, of, percent: Math.round((1000 * marks) / of) / 10, answers };
  });
}

/** The reason for the mark of one answer, in a sentence. */
export function markReason({ given, right, isRight, because }: MarkedAnswer): string {
  if (isRight) return `right: ${right.text}`;
  const chosen = given ? `${given.letter}, ${given.text}` : 'no answer';
  return `wrong: ${chosen}. Right is ${right.letter}, ${right.text}. ${because}`;
}

/** Marks as a table: a row for each question of each candidate, and one for the whole. Safe to open in a spreadsheet. */
export function marksCsv(marks: readonly CandidateMarks[]): string {
  const rows = marks.flatMap((each) => [
    [each.candidate, 'all', '', '', each.marks, `${each.marks} of ${each.of}, ${each.percent} %`],
    ...each.answers.map((answer) => [
      each.candidate,
      answer.id,
      answer.given?.letter ?? '',
      answer.right.letter,
      answer.isRight ? 1 : 0,
      markReason(answer),
    ]),
  ]);
  return writeCsv([['candidate', 'question', 'given', 'right', 'mark', 'reason'], ...rows]);
}
