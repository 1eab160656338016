/**
 * Data from outside: CSV, and JSON checked against a schema. Knows nothing of DSC.
 */
export { checked } from './checked.js';
export { csvRow, parseCsv } from './csv.js';
