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

/** Adds the calls of one log that were read from recordings to another. */
export function gather(from: CallLog, into: HeardStore, gathered: Gathered): void {
  for (const entry of logEntries(from)) {
    if (entry.recording === undefined || entry.offset === undefined) {
      gathered.left++;
      continue;
    }
    const latest = into.latestId();
    const [first, ...rest] = apart(entry);
    const { id } = into.calls.add(first);
    for (const sending of rest) into.calls.addSending(id, sending);
    if (id > latest) gathered.added++;
    else gathered.known++;
  }
}
