/**
 * What a receiver gives, into a log.
 */
import type { ReceivedCall } from '../../receiver/index.js';
import { receivedEntry, type LogEntry } from './entry.js';
import type { CallLog } from './log.js';

/** Attempts whose entries are remembered: more than can be open at a time. */
const REMEMBERED = 256;

/** Logs a received call; throws what the log throws. */
export type AttemptLogger = (
  log: CallLog,
  received: Parameters<typeof receivedEntry>[0] & Pick<ReceivedCall, 'attempt'>,
  context: Parameters<typeof receivedEntry>[1],
) => LogEntry;

/**
 * Logs the calls of one stream in the order received, the sendings of one attempt in one entry.
 *
 * @returns logs a call and gives its entry; `context` are those of {@link receivedEntry}, `time` that of this sending
 */
export function attemptLogger(): AttemptLogger {
  const entries = new Map<number, number>();
  return (log, received, context) => {
    const { id } = received.attempt;
    const before = entries.get(id);
    const sending = receivedEntry(received, context);
    const entry = before === undefined ? log.add(sending) : log.addSending(before, sending);
    entries.delete(id);
    entries.set(id, entry.id);
    const [oldest] = entries.keys();
    if (entries.size > REMEMBERED) entries.delete(oldest);
    return entry;
  };
}
