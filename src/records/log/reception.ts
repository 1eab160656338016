/**
 * What a receiver gives, into a log.
 */
import type { ReceivedCall } from '../../receiver/index.js';
import { receivedEntry, type LogEntry } from './entry.js';
import type { CallLog } from './log.js';

/** Attempts whose entries are remembered: more than can be open at a time. */
const REMEMBERED = 256;

/** What of a received call is logged. */
export type ReceivedForLog = Parameters<typeof receivedEntry>[0] & Pick<ReceivedCall, 'attempt'>;

/** Logs a received call; throws what the log throws. */
export type AttemptLogger<Received extends ReceivedForLog = ReceivedForLog> = (
  log: CallLog,
  received: Received,
  context: Parameters<typeof receivedEntry>[1],
) => LogEntry;

/**
 * Logs the calls of one stream in the order received, the sendings of one attempt in one entry.
 *
 * @param before - gives the id of an entry that holds sendings of the same attempt from before the stream, for the first
 *   sending of each attempt and the time it began
 * @returns logs a call and gives its entry; `context` are those of {@link receivedEntry}, `time` that of this sending
 */
export function attemptLogger<Received extends ReceivedForLog = ReceivedForLog>(
  before?: (time: number, received: Received) => number | undefined,
): AttemptLogger<Received> {
  const entries = new Map<number, number>();
  return (log, received, context) => {
    const { id } = received.attempt;
    const sending = receivedEntry(received, context);
    const known =
      entries.get(id) ?? (sending.time === undefined ? undefined : before?.(sending.time, received));
    const entry = known === undefined ? log.add(sending) : log.addSending(known, sending);
    entries.delete(id);
    entries.set(id, entry.id);
    const [oldest] = entries.keys();
    if (entries.size > REMEMBERED) entries.delete(oldest);
    return entry;
  };
}
