/**
 * The log of an exchange: in memory for the procedures that write it, and as it changes in the log of the page.
 */
import { createMemoryLog, type CallLog, type LogEntry } from 'dotphase/records';
import { noteBrokenOff, putEntry } from './store.js';

/** A log whose entries stand in the page's log as well. */
export function mirroredLog(): CallLog {
  const log = createMemoryLog({ clock: Date.now });
  /** The page's id of each entry. */
  const ids = new Map<number, Promise<number>>();
  /** The same, once they are known. */
  const known = new Map<number, number>();
  const mirror = (entry: LogEntry): LogEntry => {
    const { id, ...content } = entry;
    const before = ids.get(id) ?? Promise.resolve(undefined);
    const put = before.then((place) => putEntry(place, content));
    ids.set(id, put);
    void put.then((place) => known.set(id, place));
    return entry;
  };
  return {
    add: (entry) => mirror(log.add(entry)),
    addSending: (id, entry) => mirror(log.addSending(id, entry)),
    acknowledge: (id, time) => mirror(log.acknowledge(id, time)),
    stop(id) {
      const place = known.get(id);
      if (place !== undefined) noteBrokenOff(place);
      return mirror(log.stop(id));
    },
    get: (id) => log.get(id),
    list: (filter) => log.list(filter),
    close: () => {
      log.close();
    },
  };
}
