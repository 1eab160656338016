/**
 * A log for other programs: CSV for spreadsheets, JSON lines for the rest.
 */
import { formatIdentity, type Call } from '../../calls/index.js';
import { csvRow } from '../../data/index.js';
import { followUp, followUpRequest, outlineCall } from '../../frequencies/index.js';
import type { LogEntry } from './entry.js';
import { sendingsOf } from './sendings.js';

/** Seven decimals of a degree are finer than 1/10000 minute, the finest that is sent. */
const DEGREE_DECIMALS = 7;

function utc(milliseconds: number | undefined): string | undefined {
  return milliseconds === undefined ? undefined : new Date(milliseconds).toISOString();
}

/** A field of what stands in a log as a call, if it is there; a log may hold calls that are no longer understood. */
function field(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>)[name] : undefined;
}

/** A field of a call that stands in the call itself or in its message. */
function place({ call }: LogEntry, name: string): unknown {
  return field(call, name) ?? field(field(call, 'message'), name);
}

function degrees(entry: LogEntry, name: 'latitude' | 'longitude'): number | undefined {
  const value = field(place(entry, 'position'), name);
  return typeof value === 'number' ? Number(value.toFixed(DEGREE_DECIMALS)) : undefined;
}

function word(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function timeOfPosition(entry: LogEntry): string | undefined {
  const time = word(place(entry, 'time'));
  return time !== undefined && /^\d\d:\d\d$/.test(time) ? time : undefined;
}

/** What `read` finds out about the call, or nothing where it is not understood. */
function ofCall<Result>({ call }: LogEntry, read: (call: Call) => Result): Result | undefined {
  try {
    return read(call as Call);
  } catch {
    return undefined;
  }
}

/** What follows on voice, seen from the called station. */
function voice(entry: LogEntry): { receiveHz?: number; transmitHz?: number } | undefined {
  const { frequencyHz } = entry;
  if (frequencyHz === undefined) return undefined;
  const follow = ofCall(entry, (call) => followUp(followUpRequest(call, frequencyHz)));
  return follow?.means === 'voice' ? follow : undefined;
}

type Column = readonly [string, (entry: LogEntry) => unknown];

/** What both forms hold, in order. */
const COLUMNS: readonly Column[] = [
  ['id', (entry) => entry.id],
  ['time', (entry) => utc(entry.time)],
  ['direction', (entry) => entry.direction],
  ['stopped', (entry) => entry.stopped],
  ['category', (entry) => ofCall(entry, (call) => outlineCall(call).category)],
  ['kind', (entry) => entry.kind],
  ['nature', (entry) => word(field(entry.call, 'nature'))],
  ['from', (entry) => entry.from],
  ['to', (entry) => entry.to],
  ['casualty', (entry) => entry.casualty],
  ['latitude', (entry) => degrees(entry, 'latitude')],
  ['longitude', (entry) => degrees(entry, 'longitude')],
  ['positionTime', timeOfPosition],
  ['frequencyHz', (entry) => entry.frequencyHz],
  ['voiceReceiveHz', (entry) => voice(entry)?.receiveHz],
  ['voiceTransmitHz', (entry) => voice(entry)?.transmitHz],
  ['quality', (entry) => entry.quality],
  ['snrDb', (entry) => entry.snrDb],
  ['errorProbability', (entry) => entry.errorProbability],
  ['file', (entry) => entry.file],
  ['recording', (entry) => entry.recording],
  ['offset', (entry) => entry.offset],
  ['sendings', (entry) => (entry.direction === 'received' ? sendingsOf(entry).length : undefined)],
  [
    'sendingOffsets',
    (entry) => (entry.offset === undefined ? undefined : entry.sendings?.map(({ offset }) => offset)),
  ],
  ['sendingTimes', (entry) => entry.sendings?.map(({ time }) => utc(time))],
  ['acknowledged', (entry) => utc(entry.acknowledgedAt)],
  ['text', (entry) => entry.text],
  ['symbols', (entry) => entry.symbols],
  ['call', (entry) => entry.call],
  ['timeSource', (entry) => entry.timeSource],
  ['input', (entry) => entry.input],
  ['sameAs', (entry) => entry.sameAs],
  ['multiFrequencyAttempt', (entry) => entry.multiFrequencyAttempt],
];

/** A cell: grouped digits of an identity, which a spreadsheet leaves as they are; plain ones would lose their zeros. */
function cell(value: unknown): string | number | undefined {
  if (value === undefined || typeof value === 'number') return value;
  if (Array.isArray(value))
    return (value as readonly (number | null)[]).map((symbol) => symbol ?? '?').join(' ');
  if (typeof value !== 'string') return JSON.stringify(value);
  return /^\d{9}$/.test(value) ? formatIdentity(value) : value;
}

/**
 * Entries as CSV (RFC 4180) with a header, a line at a time. Times are UTC by ISO 8601; `timeSource` is `decoded` where
 * `time` is only that of the decoding; `sameAs` is the id of the entry with the same call heard elsewhere, `multiFrequencyAttempt`
 * is the same number in each entry of an attempt on several frequencies; `positionTime` is UTC as HH:MM,
 * latitude and longitude are degrees, north and east positive. `voiceReceiveHz` and `voiceTransmitHz` are what the called
 * station receives and transmits on, on voice, after the call. `recording` is the SHA-256 of the file that the call was
 * read from, `offset` where it begins in it, in seconds. `sendings` is how many of the attempt were received,
 * `sendingOffsets` and `sendingTimes` are where and when each began, where it was more than one; the rest is of the surest.
 * Identities are grouped, symbols, offsets and times separated by spaces, `?` for a symbol that was not received, the call
 * is JSON. Text that a spreadsheet would take for a formula gets an apostrophe before it.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToCsv(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  yield csvRow(COLUMNS.map(([name]) => name));
  for (const entry of entries) yield csvRow(COLUMNS.map(([, read]) => cell(read(entry))));
}

/**
 * Entries as JSON lines, one object a line with the names that {@link logToCsv} has as columns; what is not known is left
 * out. Identities are nine digits, symbols a list of numbers, the call an object.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToJsonLines(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  for (const entry of entries) {
    const record = Object.fromEntries(COLUMNS.map(([name, read]) => [name, read(entry)]));
    yield `${JSON.stringify(record)}\n`;
  }
}
