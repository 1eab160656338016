/**
 * Tables of answers as examiners type them: every flaw is found and told at once, and no row is lost.
 */
import { DotphaseError } from '../errors.js';
import { readCsv, type CsvRow } from './csv.js';
import type { MarkedQuestion, PaperKey } from './key.js';

/** The answers of one candidate, by the questions of the paper. */
export interface AnswerRow {
  readonly candidate: string;
  readonly key: PaperKey;
  readonly cells: ReadonlyMap<string, string>;
}

/** The letter of a cell, as people write it: `a`, `A`, `a)`, `(a)` or `a.`. */
export const letterOf = (cell: string) =>
  cell
    .normalize('NFKC')
    .toLowerCase()
    .replace(/^\(|[).]$/g, '')
    .trim();

/** One thing that is wrong with a table. */
interface Flaw {
  /** Where, for example `row 3 (Ann Example), Q1.2`. */
  readonly place: string;
  readonly given: unknown;
  readonly expected: string;
}

/** The name of a column without its case, blanks and `Q`. */
const columnKey = (name: string) =>
  name
    .normalize('NFKC')
    .toLowerCase()
    .replace(/\s+/g, '')
    .replace(/^q(?=\d)/, '');

/** The name of the column of candidates, and the paper's number behind it where the table was made for one. */
const CANDIDATE = /^candidate(?:\(paper(\d+)\))?$/;
/** The column that says for each row which version it was. */
const VERSION_COLUMNS = ['version', 'paper'];

const digitsOf = (number: string) => number.replace(/\s/g, '');

/** Where things stand in a table. */
interface Columns {
  readonly candidate: number;
  readonly version: number | undefined;
  /** The number of the paper that the table was made for. */
  readonly made: string | undefined;
  /** Column of each question by its name without `Q`. */
  readonly questions: ReadonlyMap<string, number>;
}

const nameOf = ({ number, version }: PaperKey) =>
  version === undefined ? number : `${number} (version ${version})`;

/** What is wrong with the first row of a table. */
function readHead({ cells, number }: CsvRow, keys: readonly PaperKey[]): { columns: Columns; flaws: Flaw[] } {
  const names = cells.map(columnKey);
  const candidate = names.findIndex((name) => CANDIDATE.test(name));
  const version = names.findIndex((name) => VERSION_COLUMNS.includes(name));
  const known = new Set(keys.flatMap(({ questions }) => questions.map(({ id }) => columnKey(id))));
  const questions = new Map<string, number>();
  const flaws: Flaw[] = [];
  if (candidate < 0) {
    flaws.push({
      place: `row ${number}, column 1`,
      given: cells[0],
      expected: 'candidate as the name of the column',
    });
  }
  names.forEach((name, i) => {
    if (i === candidate || i === version || name === '') return;
    const place = `row ${number}, column ${i + 1}`;
    if (!known.has(name))
      flaws.push({ place, given: cells[i], expected: 'a question of the paper, such as Q1.1' });
    else if (questions.has(name)) flaws.push({ place, given: cells[i], expected: 'each question once' });
    else questions.set(name, i);
  });
  const made = candidate < 0 ? undefined : CANDIDATE.exec(names[candidate])?.at(1);
  if (made !== undefined && !keys.some((key) => digitsOf(key.number) === made)) {
    const papers = keys.map(nameOf).join(', ');
    const expected = `a table of paper ${papers}: these answers are of that paper`;
    return {
      columns: { candidate, version: undefined, made, questions },
      flaws: [{ place: `row ${number}, column ${candidate + 1}`, given: cells[candidate], expected }],
    };
  }
  return { columns: { candidate, version: version < 0 ? undefined : version, made, questions }, flaws };
}

/** Questions of a paper that a table has no column for. */
function missingFlaws(columns: Columns, key: PaperKey, number: number): Flaw[] {
  const missing = key.questions.filter(({ id }) => !columns.questions.has(columnKey(id))).map(({ id }) => id);
  const expected = `a column for each question; missing: ${missing.join(', ')}`;
  return missing.length === 0 ? [] : [{ place: `row ${number}`, given: 'columns', expected }];
}

/** A row as errors name it. */
const rowName = (number: number, candidate: string) => {
  const name = candidate.replace(/\p{C}/gu, '').slice(0, 40);
  return `row ${number}${name === '' ? '' : ` (${name})`}`;
};

/** The paper of a row: by its own cell, by the head of the table, or the only one there is. */
function keyFor(
  cell: string | undefined,
  { made }: Columns,
  keys: readonly PaperKey[],
): PaperKey | undefined {
  if (cell !== undefined && cell !== '') {
    const plain = columnKey(cell).replace(/^(?:version|paper)/, '');
    return keys.find(({ number, version }) => plain === digitsOf(number) || plain === version?.toLowerCase());
  }
  if (made !== undefined) return keys.find(({ number }) => digitsOf(number) === made);
  return keys.length === 1 ? keys[0] : undefined;
}

/** What is wrong with the answer to a question. */
function cellFlaws({ id, choices, typed }: MarkedQuestion, given: string, place: string): Flaw[] {
  // What was typed is never refused: it is right or wrong.
  if (given === '' || typed) return [];
  const letters = choices.map(({ letter }) => letter);
  return letters.includes(letterOf(given))
    ? []
    : [{ place: `${place}, ${id}`, given, expected: `one of ${letters.join(', ')}, or nothing` }];
}

/** Candidates are the same where their names differ in case and blanks alone. */
const personOf = (candidate: string) => candidate.normalize('NFKC').toLowerCase().replace(/\s+/g, ' ').trim();

/** Answers of a table, and what is wrong with it. */
function readTable(
  table: string,
  keys: readonly PaperKey[],
  seen: Map<string, string>,
  prefix: string,
): { rows: AnswerRow[]; flaws: Flaw[] } {
  const [header, ...rest] = readCsv(table);
  if ((header as CsvRow | undefined) === undefined) {
    throw new DotphaseError(`${prefix}CSV`, table, 'a first row with candidate and the questions');
  }
  const { columns, flaws } = readHead(header, keys);
  const named = (list: readonly Flaw[]) => list.map((flaw) => ({ ...flaw, place: prefix + flaw.place }));
  const alone = columns.version === undefined ? keyFor(undefined, columns, keys) : undefined;
  const all = [...flaws, ...(alone ? missingFlaws(columns, alone, header.number) : [])];
  if (all.length > 0 || columns.candidate < 0) return { rows: [], flaws: named(all) };
  const width = header.cells.length;
  const complete = new Set<PaperKey>(alone ? [alone] : []);
  const rows: AnswerRow[] = [];
  const found = rest.flatMap(({ cells, number }): Flaw[] => {
    const candidate = cells.at(columns.candidate) ?? '';
    const place = rowName(number, candidate);
    const versionCell = columns.version === undefined ? undefined : (cells.at(columns.version) ?? '');
    const key = keyFor(versionCell, columns, keys);
    const person = personOf(candidate);
    const before = person === '' ? undefined : seen.get(person);
    if (before === undefined && person !== '') seen.set(person, `${prefix}row ${number}`);
    const others = key ? new Set(key.questions.map(({ id }) => columnKey(id))) : new Set<string>();
    const isFirst = key !== undefined && !complete.has(key);
    if (isFirst) complete.add(key);
    if (key) {
      const own = key.questions.map(({ id }) => {
        const column = columns.questions.get(columnKey(id));
        return [id, column === undefined ? '' : (cells.at(column) ?? '')] as const;
      });
      rows.push({ candidate, key, cells: new Map(own) });
    }
    return [
      ...(cells.slice(width).some((cell) => cell !== '')
        ? [{ place, given: `${cells.length} cells`, expected: `at most ${width}, as in the first row` }]
        : []),
      ...cells.slice(0, width).flatMap((given, column) =>
        given !== '' && header.cells[column] === ''
          ? [
              {
                place: `${place}, column ${column + 1}`,
                given,
                expected: 'a name for this column in the first row',
              },
            ]
          : [],
      ),
      ...(candidate === ''
        ? [{ place: `${place}, candidate`, given: candidate, expected: 'a name or number' }]
        : []),
      ...(before === undefined
        ? []
        : [
            {
              place: `row ${number}, candidate`,
              given: candidate,
              expected: `each candidate once; ${before} has the same`,
            },
          ]),
      ...(key === undefined
        ? [
            {
              place: `${place}, version`,
              given: versionCell ?? '',
              expected: `the paper that was sat, one of ${keys.map(nameOf).join(', ')}`,
            },
          ]
        : []),
      ...(isFirst ? missingFlaws(columns, key, header.number) : []),
      ...(key?.questions.flatMap((question) => {
        const column = columns.questions.get(columnKey(question.id));
        return column === undefined ? [] : cellFlaws(question, cells.at(column) ?? '', place);
      }) ?? []),
      ...[...columns.questions].flatMap(([name, column]) =>
        key === undefined || others.has(name) || (cells.at(column) ?? '') === ''
          ? []
          : [
              {
                place: `${place}, Q${name}`,
                given: cells.at(column),
                expected: `nothing: paper ${nameOf(key)} has no such question`,
              },
            ],
      ),
    ];
  });
  return { rows, flaws: named(found) };
}

/** Most flaws that are told at once. */
const MOST_FLAWS = 200;

/** Refuses tables with all that is wrong with them, a line for each. */
function refuse(flaws: readonly Flaw[]): void {
  if (flaws.length === 0) return;
  const errors = flaws
    .slice(0, MOST_FLAWS)
    .map(({ place, given, expected }) => new DotphaseError(place, given, expected));
  if (errors.length === 1) throw errors[0];
  const more = flaws.length - errors.length;
  throw new TableError(flaws.length, [
    ...errors.map(({ message }) => message),
    ...(more > 0 ? [`and ${more} more`] : []),
  ]);
}

/** A table with more than one thing wrong with it. Its message has a line for each. */
class TableError extends DotphaseError {
  constructor(count: number, list: readonly string[]) {
    super('table', `${count} faults`, 'none');
    this.message = `nothing was marked; mend these ${count} cells and mark again:\n${list.map((line) => `  ${line}`).join('\n')}`;
  }
}

/**
 * The answers of candidates, in the order of the tables.
 *
 * @throws DotphaseError that names every row and column that is wrong, in all tables
 */
export function readAnswers(keys: readonly PaperKey[], tables: readonly string[]): AnswerRow[] {
  const seen = new Map<string, string>();
  const read = tables.map((table, i) =>
    readTable(table, keys, seen, tables.length > 1 ? `table ${i + 1}, ` : ''),
  );
  refuse(read.flatMap(({ flaws }) => flaws));
  return read.flatMap(({ rows }) => rows);
}
