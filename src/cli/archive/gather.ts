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
import { isCounted, isOneMore } from './counting.js';
import type { HeardStore } from '../../records/sqlite/index.js';

/** What was gathered. */
export interface Gathered {
  /** Calls that the log has more. */
  added: number;
  /** Calls that it had. */
  known: number;
  /** Entries that are another reading of a call, or a sending of it on another frequency. */
  elsewhere: number;
  /** Calls that were not read from a recording: nothing would tell that they are in the log already. */
  left: number;
}

/** The sendings of an entry, each as it would be logged by itself; what links entries holds in one log alone. */
function apart(entry: LogEntry): NewLogEntry[] {
  const { id, stopped, acknowledgedAt, sameAs, multiFrequencyAttempt, sendings, ...rest } = entry;
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
  let added = into.calls.add(first);
  for (const sending of rest) added = into.calls.addSending(added.id, sending);
  if (isOneMore(added, latest, into.calls)) gathered.added++;
  else if (added.id <= latest && isCounted(added)) gathered.known++;
  else gathered.elsewhere++;
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
