/**
 * The log of an exchange: in memory for the procedures that write it, and as it changes in the log of the page.
 */
import { createMemoryLog, type CallLog, type LogEntry } from 'dotphase/records';
import { putEntry } from './store.js';

/** A log whose entries stand in the page's log as well. */
export function mirroredLog(): CallLog {
  const log = createMemoryLog({ clock: Date.now });
  /** The page's id of each entry. */
  const ids = new Map<number, Promise<number>>();
  const mirror = (entry: LogEntry): LogEntry => {
    const { id, ...content } = entry;
    const before = ids.get(id) ?? Promise.resolve(undefined);
    ids.set(
      id,
      before.then((known) => putEntry(known, content)),
    );
    return entry;
  };
  return {
    add: (entry) => mirror(log.add(entry)),
    addSending: (id, entry) => mirror(log.addSending(id, entry)),
    acknowledge: (id, time) => mirror(log.acknowledge(id, time)),
    stop: (id) => mirror(log.stop(id)),
    get: (id) => log.get(id),
    list: (filter) => log.list(filter),
    close: () => {
      log.close();
    },
  };
}
