/**
 * Data from outside: CSV, and JSON checked against a schema. Knows nothing of DSC.
 */
export { atPlace, checked } from './checked.js';
export { LONGEST_CSV, csvRow, parseCsv, unguarded } from './csv.js';
export { escapeMarkup } from './markup.js';
