/**
 * A log for other programs: CSV for spreadsheets, JSON for the rest.
 */
import { formatIdentity } from '../../calls/index.js';
import { csvRow } from '../../data/index.js';
import type { LogEntry } from './entry.js';

/** Grouped digits, which a spreadsheet leaves as they are; plain ones would lose their leading zeros. */
function grouped(identity: string | undefined): string | undefined {
  return identity !== undefined && /^\d{9}$/.test(identity) ? formatIdentity(identity) : identity;
}

function utc(milliseconds: number | undefined): string | undefined {
  return milliseconds === undefined ? undefined : new Date(milliseconds).toISOString();
}

/** The columns in order, each with its cell. */
const COLUMNS: readonly (readonly [string, (entry: LogEntry) => string | number | undefined])[] = [
  ['id', (entry) => entry.id],
  ['time', (entry) => utc(entry.time)],
  ['direction', (entry) => entry.direction],
  ['frequency Hz', (entry) => entry.frequencyHz],
  ['kind', (entry) => entry.kind],
  ['quality', (entry) => entry.quality],
  ['from', (entry) => grouped(entry.from)],
  ['to', (entry) => grouped(entry.to)],
  ['casualty', (entry) => grouped(entry.casualty)],
  ['acknowledged', (entry) => utc(entry.acknowledgedAt)],
  ['text', (entry) => entry.text],
  ['symbols', (entry) => entry.symbols.map((symbol) => symbol ?? '?').join(' ')],
  ['call', (entry) => JSON.stringify(entry.call)],
];

/**
 * Entries as CSV (RFC 4180) with a header, a line at a time. Times are UTC by ISO 8601, identities grouped, symbols
 * separated by spaces, `?` for one that was not received, the call as JSON. Text that a spreadsheet would take for a formula gets an apostrophe before it.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToCsv(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  yield csvRow(COLUMNS.map(([name]) => name));
  for (const entry of entries) yield csvRow(COLUMNS.map(([, cell]) => cell(entry)));
}

/**
 * Entries as one JSON array, piece by piece, an entry on each line.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToJson(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  let separator = '[\n';
  for (const entry of entries) {
    yield separator + JSON.stringify(entry);
    separator = ',\n';
  }
  yield separator === '[\n' ? '[]\n' : '\n]\n';
}
