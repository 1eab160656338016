/**
 * What several machines logged, into one log.
 */
import {
  logEntries,
  sendingsOf,
  type CallLog,
  type LogEntry,
  type NewLogEntry,
} from '../../records/index.js';
import type { HeardStore } from '../../records/sqlite/index.js';

/** What was gathered. */
export interface Gathered {
  /** Calls that were not in the log. */
  added: number;
  /** Calls that were in it. */
  known: number;
  /** Calls that were not read from a recording: nothing would tell that they are in the log already. */
  left: number;
}

/** The sendings of an entry, each as it would be logged by itself. */
function apart(entry: LogEntry): NewLogEntry[] {
  const { id: _, stopped: __, acknowledgedAt: ___, sameAs: ____, sendings: _____, ...rest } = entry;
  return sendingsOf(entry).map((sending) => ({ ...rest, ...sending }));
}

/** Entries that are added at a time, so that others that write need not wait long. */
const AT_A_TIME = 500;

function add(entry: LogEntry, into: HeardStore, gathered: Gathered): void {
  if (entry.recording === undefined || entry.offset === undefined) {
    gathered.left++;
    return;
  }
  const latest = into.latestId();
  const [first, ...rest] = apart(entry);
  const { id } = into.calls.add(first);
  for (const sending of rest) into.calls.addSending(id, sending);
  if (id > latest) gathered.added++;
  else gathered.known++;
}

/** Adds the calls of one log that were read from recordings to another. */
export function gather(from: CallLog, into: HeardStore, gathered: Gathered): void {
  let batch: LogEntry[] = [];
  const addBatch = () => {
    into.together(() => {
      for (const entry of batch) add(entry, into, gathered);
    });
    batch = [];
  };
  try {
    for (const entry of logEntries(from)) {
      batch.push(entry);
      if (batch.length >= AT_A_TIME) addBatch();
    }
  } finally {
    // Also what stands before a damaged entry.
    if (batch.length > 0) addBatch();
  }
}
