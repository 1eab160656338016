/**
 * Comma-separated values: RFC 4180, and safe to open in a spreadsheet.
 */
import Papa from 'papaparse';
import { DotphaseError } from '../errors.js';

/**
 * Text that a spreadsheet would run as a formula: it begins with = + - @, their full-width twins, a tab or a line break,
 * with or without blanks before. Apostrophes in front count too: {@link csvRow} puts one before such text, and
 * {@link unguarded} takes one away.
 */
const FORMULA = /^'*\s*[=+\-@\t\r\n＝＋－＠]/;

/** The longest text that is taken, characters. */
export const LONGEST_CSV = 16 * 1024 * 1024;

/** A cell without the apostrophe that guards it against being run. */
export function unguarded(cell: string): string {
  return FORMULA.test(cell) ? cell.replace(/^'/, '') : cell;
}

/**
 * One row as a line of CSV with its line break. Text that looks like a formula gets an apostrophe; numbers do not.
 *
 * @param cells - undefined stands for an empty cell
 */
export function csvRow(cells: readonly (string | number | undefined)[]): string {
  return `${Papa.unparse([[...cells]], { newline: '\r\n', escapeFormulae: FORMULA })}\r\n`;
}

/**
 * The rows below the header of CSV text, each by its column names, without guarding apostrophes. Cells are
 * separated by commas, semicolons or tabs, whichever the header uses; empty lines are skipped.
 *
 * @param text - with a header line
 * @param columns - the names that may stand in the header, in any order
 * @throws DotphaseError for a value that is not text or too long, an unknown or repeated column, an unclosed quote, or a row of another length
 */
export function parseCsv(text: string, columns: readonly string[]): Record<string, string>[] {
  const given: unknown = text;
  if (typeof given !== 'string' || given.length > LONGEST_CSV) {
    throw new DotphaseError('CSV', given, `text of at most ${LONGEST_CSV} characters`);
  }
  const plain = given.replace(/^\uFEFF/, '');
  const headerLine = /^[^\r\n]*/.exec(plain)?.[0] ?? '';
  const delimiter = [',', ';', '\t'].find((candidate) => headerLine.includes(candidate)) ?? ',';
  const { data, errors } = Papa.parse<string[]>(plain, { delimiter, skipEmptyLines: 'greedy' });
  if (errors.length > 0) {
    throw new DotphaseError(`row ${(errors[0].row ?? 0) + 1}`, errors[0].message, 'well-formed CSV');
  }
  const [header, ...rows] = data;
  const names = (header as string[] | undefined)?.map((name) => name.trim().toLowerCase()) ?? [];
  names.forEach((name, i) => {
    if (!columns.includes(name) || names.indexOf(name) !== i) {
      throw new DotphaseError(`column ${i + 1}`, name, `one of ${columns.join(', ')}, each once`);
    }
  });
  if (names.length === 0) throw new DotphaseError('CSV', text, `a header line with ${columns.join(', ')}`);
  return rows.map((cells, i) => {
    if (cells.length !== names.length) {
      throw new DotphaseError(`row ${i + 2}`, cells, `${names.length} cells as in the header`);
    }
    return Object.fromEntries(names.map((name, column) => [name, unguarded(cells[column])]));
  });
}
