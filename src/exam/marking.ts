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

/** One thing that is wrong with a table. */
interface Flaw {
  /** Where, for example `row 3 (Ann Example), Q1.2`. */
  readonly place: string;
  readonly given: unknown;
  readonly expected: string;
}

/** The name of the first column, and the paper's number behind it where the table was made for one. */
const FIRST_COLUMN = /^candidate(?:\(paper([\d]+)\))?$/;

/** What is wrong with the first column of a table. */
function headFlaws({ cells, number }: CsvRow, paper: string): Flaw[] {
  const place = `row ${number}, column 1`;
  const head = FIRST_COLUMN.exec(columnKey(cells[0] ?? ''));
  if (!head) return [{ place, given: cells[0] ?? '', expected: 'candidate as the name of the column' }];
  const made = head.at(1);
  return made === undefined || made === columnKey(paper)
    ? []
    : [{ place, given: cells[0], expected: `a table of paper ${paper}: these answers are of that paper` }];
}

/** What is wrong with the columns of a table. */
function columnFlaws({ cells, number }: CsvRow, known: readonly string[]): Flaw[] {
  const keys = cells.map(columnKey);
  return cells.flatMap((given, i): Flaw[] => {
    if (i === 0 || keys[i] === '') return [];
    const place = `row ${number}, column ${i + 1}`;
    if (!known.includes(keys[i]))
      return [{ place, given, expected: 'a question of the paper, such as Q1.1' }];
    return keys.indexOf(keys[i]) === i ? [] : [{ place, given, expected: 'each question once' }];
  });
}

/** Questions that a table has no column for. */
function missingFlaws({ cells, number }: CsvRow, questions: readonly MarkedQuestion[]): Flaw[] {
  const keys = cells.map(columnKey);
  const missing = questions.filter(({ id }) => !keys.includes(columnKey(id))).map(({ id }) => id);
  const expected = `a column for each question; missing: ${missing.join(', ')}`;
  return missing.length === 0 ? [] : [{ place: `row ${number}`, given: 'columns', expected }];
}

/** A row as errors name it. */
const rowName = (number: number, candidate: string) => {
  const name = candidate.replace(/\p{C}/gu, '').slice(0, 40);
  return `row ${number}${name === '' ? '' : ` (${name})`}`;
};

/** What is wrong with the name of a candidate, and with the length of the row. */
function rowFlaws({ cells, number }: CsvRow, width: number, before: number | undefined): Flaw[] {
  const [candidate] = cells;
  const place = rowName(number, candidate);
  return [
    ...(cells.length > width
      ? [{ place, given: `${cells.length} cells`, expected: `at most ${width}, as in the first row` }]
      : []),
    ...(candidate === ''
      ? [{ place: `${place}, candidate`, given: candidate, expected: 'a name or number' }]
      : []),
    ...(before === undefined
      ? []
      : [
          {
            place: `row ${number}, candidate`,
            given: candidate,
            expected: `each candidate once; row ${before} has the same`,
          },
        ]),
  ];
}

/** The letter of a cell, as people write it: `a`, `A`, `a)` or `a.`. */
const letterOf = (cell: string) => cell.toLowerCase().replace(/[).]$/, '');

function markAnswer({ id, text, choices, answer, because }: MarkedQuestion, cell: string): MarkedAnswer {
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

/** What is wrong with the letters of a row. */
function letterFlaws(
  { cells, number }: CsvRow,
  columns: readonly (readonly [MarkedQuestion, number])[],
): Flaw[] {
  return columns.flatMap(([{ id, choices }, column]) => {
    const given = cells.at(column) ?? '';
    const letters = choices.map(({ letter }) => letter);
    return given === '' || letters.includes(letterOf(given))
      ? []
      : [
          {
            place: `${rowName(number, cells[0])}, ${id}`,
            given,
            expected: `one of ${letters.join(', ')}, or nothing`,
          },
        ];
  });
}

/** Most flaws that are told of one table. */
const MOST_FLAWS = 200;

/** Refuses a table with all that is wrong with it, a line for each. */
function refuse(flaws: readonly Flaw[]): void {
  if (flaws.length === 0) return;
  const errors = flaws
    .slice(0, MOST_FLAWS)
    .map(({ place, given, expected }) => new DotphaseError(place, given, expected));
  if (errors.length === 1) throw errors[0];
  const more = flaws.length - errors.length;
  const list = [...errors.map(({ message }) => message), ...(more > 0 ? [`and ${more} more`] : [])];
  throw new TableError(list);
}

/** A table with more than one thing wrong with it. Its message has a line for each. */
class TableError extends DotphaseError {
  constructor(list: readonly string[]) {
    super('table', `${list.length} faults`, 'none');
    this.message = `nothing was marked; mend these ${list.length} cells and mark again:\n${list.map((line) => `  ${line}`).join('\n')}`;
  }
}

/**
 * Marks the answers of candidates. Where anything in the table is wrong, nothing is marked and all of it is told.
 *
 * @param key - from {@link parsePaperKey}
 * @param csv - a table with a column `candidate` and one for each question (`Q1.1` …), a row for each candidate, in the
 *   cells the letters chosen, empty where a question was left out. Behind `candidate` the number of the paper may stand.
 * @throws DotphaseError that names every row and column that is wrong
 */
export function markAnswers(key: PaperKey, csv: string): CandidateMarks[] {
  const { questions } = key;
  const [header, ...rows] = readCsv(csv);
  if ((header as CsvRow | undefined) === undefined) {
    throw new DotphaseError('CSV', csv, 'a first row with candidate and the questions');
  }
  const known = questions.map(({ id }) => columnKey(id));
  refuse(headFlaws(header, key.number));
  refuse([...columnFlaws(header, known), ...missingFlaws(header, questions)]);
  const keys = header.cells.map(columnKey);
  const columns = questions.map((question, i) => [question, keys.indexOf(known[i])] as const);
  const seen = new Map<string, number>();
  const flaws = rows.flatMap((row) => {
    const [candidate] = row.cells;
    const before = candidate === '' ? undefined : seen.get(candidate);
    if (before === undefined) seen.set(candidate, row.number);
    return [...rowFlaws(row, header.cells.length, before), ...letterFlaws(row, columns)];
  });
  refuse(flaws);
  return rows.map(({ cells }) => {
    const answers = columns.map(([question, column]) => markAnswer(question, cells.at(column) ?? ''));
    const marks = answers.filter(({ isRight }) => isRight).length;
    const of = questions.length;
    return {
      candidate: cells[0],
      marks,
      of,
      percent: Math.round((1000 * marks) / of) / 10,
      answers,
    };
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
