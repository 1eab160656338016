/** Whether a table can be opened in a spreadsheet without anything in it being run. */
import Papa from 'papaparse';
import { hold } from './target.js';

/** A cell that a spreadsheet takes for a formula (OWASP, "CSV Injection", from memory); a plain number is none. */
const RISKY = /^[\s\u00a0]*[=+\-@\t\r＝＋－＠]/;
const NUMBER = /^-?\d+(\.\d+)?$/;

/** Throws a Violation where a cell would be run, or a row has not as many cells as the first. */
export function requireSafeCsv(text: string): void {
  const { data, errors } = Papa.parse<string[]>(text.replace(/^\uFEFF/, ''), {
    delimiter: ',',
    skipEmptyLines: true,
  });
  hold(errors.length === 0, () => `a table that is not well formed: ${errors[0].message}`);
  for (const row of data) {
    hold(row.length === data[0].length, () => `a row of ${row.length} cells, not ${data[0].length}`);
    for (const cell of row) {
      hold(
        !RISKY.test(cell) || NUMBER.test(cell),
        () => `a cell that a spreadsheet would run: ${JSON.stringify(cell)}`,
      );
    }
  }
}
