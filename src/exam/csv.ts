/**
 * Comma-separated values: RFC 4180, with cells that a spreadsheet would run as formulas guarded.
 */
import Papa from 'papaparse';
import { LONGEST_CSV, csvRow, unguarded } from '../data/index.js';
import { DotphaseError } from '../errors.js';

/** Tells spreadsheets that the text is UTF-8. */
const MARK = '\uFEFF';

/** Rows as CSV text. Text that looks like a formula gets an apostrophe before it, which keeps it text. */
export function writeCsv(rows: readonly (readonly (string | number)[])[]): string {
  return MARK + rows.map(csvRow).join('');
}

/** A row of CSV text and its number, from 1 for the first line that is not empty. */
export interface CsvRow {
  readonly number: number;
  readonly cells: readonly string[];
}

/**
 * The rows of CSV text, guarding apostrophes taken off, cells trimmed, empty rows left out. Commas, semicolons and
 * tabs are understood between cells, whichever the first line uses.
 *
 * @throws DotphaseError for what is no text, too long, or not well formed
 */
export function readCsv(text: string): CsvRow[] {
  const given: unknown = text;
  if (typeof given !== 'string' || given.length > LONGEST_CSV) {
    throw new DotphaseError('CSV', given, `text of at most ${LONGEST_CSV} characters`);
  }
  // Rows that were added by another program may end otherwise than the first.
  const plain = given.replace(MARK, '').replace(/\r\n?/g, '\n');
  const first = /^[^\r\n]*/.exec(plain)?.[0] ?? '';
  const delimiter = [',', ';', '\t'].find((candidate) => first.includes(candidate)) ?? ',';
  const { data, errors } = Papa.parse<string[]>(plain, { delimiter });
  if (errors.length > 0) {
    throw new DotphaseError(`row ${(errors[0].row ?? 0) + 1}`, errors[0].message, 'well-formed CSV');
  }
  return data
    .map((cells, i) => ({
      number: i + 1,
      cells: cells.map((cell) => unguarded(cell).trim()),
    }))
    .filter(({ cells }) => cells.some((cell) => cell !== ''));
}
