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
 * The text of a table as spreadsheets save it: UTF-8 or UTF-16 with or without its mark, else Windows-1252, which older
 * programs write.
 */
export function tableText(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

const DELIMITERS = [',', ';', '\t'];
/** A first line in which a spreadsheet names the character between cells. */
const NAMED_DELIMITER = /^"?sep=([,;\t])"?\n/i;

/** What stands between the cells of a line: the commonest of the delimiters outside quoted cells. */
function delimiterOf(line: string): string {
  const plain = line.replace(/"[^"]*"/g, '');
  const counts = DELIMITERS.map((candidate) => plain.split(candidate).length);
  return DELIMITERS[counts.indexOf(Math.max(...counts))];
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
  const lines = given.replace(MARK, '').replace(/\r\n?/g, '\n');
  const named = NAMED_DELIMITER.exec(lines);
  const plain = lines.replace(NAMED_DELIMITER, '').replace(/^\s*\n/, '');
  const delimiter = named?.[1] ?? delimiterOf(/^[^\n]*/.exec(plain)?.[0] ?? '');
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
