/**
 * The log, kept in this browser's IndexedDB, or in memory where the browser keeps nothing.
 */
import type { Call, ReceivedCall } from 'dotphase';
import {
  callEntry,
  holdsSending,
  receivedEntry,
  withSending,
  type LogEntry,
  type LogContext,
  type NewLogEntry,
} from 'dotphase/records';
import { keep, kept } from '../parts/kept.js';
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';

interface Schema extends DBSchema {
  entries: { key: number; value: LogEntry };
}

interface Store {
  /** Whether entries are still there after the page was closed. */
  readonly isKept: boolean;
  /** Gives the id. */
  add(entry: Omit<LogEntry, 'id'>): Promise<number>;
  remove(id: number): Promise<void>;
  /** Puts what `act` makes of an entry in its place, and gives it; nothing where the entry is gone or `act` gives none. */
  change(id: number, act: (entry: LogEntry) => LogEntry | undefined): Promise<LogEntry | undefined>;
  /** Earliest first. */
  all(): Promise<LogEntry[]>;
  clear(): Promise<void>;
}

function databaseStore(database: IDBPDatabase<Schema>): Store {
  return {
    isKept: true,
    // The key generator sets the id.
    add: (entry) => database.add('entries', entry as LogEntry),
    async change(id, act) {
      const { store, done } = database.transaction('entries', 'readwrite');
      const entry = await store.get(id);
      const changed = entry && act(entry);
      if (changed) await store.put(changed);
      await done;
      return changed;
    },
    remove: (id) => database.delete('entries', id),
    all: () => database.getAll('entries'),
    clear: () => database.clear('entries'),
  };
}

function memoryStore(): Store {
  let entries: LogEntry[] = [];
  let last = 0;
  return {
    isKept: false,
    add(entry) {
      entries.push({ ...entry, id: ++last });
      return Promise.resolve(last);
    },
    change(id, act) {
      const at = entries.findIndex((entry) => entry.id === id);
      const changed = at < 0 ? undefined : act(entries[at]);
      if (changed) entries[at] = changed;
      return Promise.resolve(changed);
    },
    remove(id) {
      entries = entries.filter((entry) => entry.id !== id);
      return Promise.resolve();
    },
    all: () => Promise.resolve([...entries]),
    clear() {
      entries = [];
      return Promise.resolve();
    },
  };
}

async function openStore(): Promise<Store> {
  try {
    const database = await openDB<Schema>('dotphase-bench', 1, {
      upgrade(created) {
        created.createObjectStore('entries', { keyPath: 'id', autoIncrement: true });
      },
    });
    return databaseStore(database);
  } catch {
    return memoryStore();
  }
}

const BROKEN_OFF = 'broken off';

/** Notes that what an entry is of was broken off, at once: a page that goes away has no time for its database. */
export function noteBrokenOff(id: number): void {
  keep(BROKEN_OFF, JSON.stringify([...brokenOff(), id]));
}

function brokenOff(): readonly number[] {
  const found: unknown = kept(BROKEN_OFF, (text) => JSON.parse(text) as unknown);
  return Array.isArray(found) ? found.filter((id) => typeof id === 'number') : [];
}

/** Writes into the entries what a page that went away noted. */
async function openMended(): Promise<Store> {
  const found = await openStore();
  for (const id of brokenOff()) await found.change(id, (entry) => ({ ...entry, stopped: true }));
  keep(BROKEN_OFF, '[]');
  return found;
}

let store: Promise<Store> | undefined;
const listeners = new Set<() => void>();

function opened(): Promise<Store> {
  store ??= openMended();
  return store;
}

function tell(): void {
  for (const listener of listeners) listener();
}

async function add(entry: NewLogEntry): Promise<LogEntry> {
  const timed = { time: Date.now(), ...entry };
  const id = await (await opened()).add(timed);
  tell();
  return { ...timed, id };
}

async function change(...how: Parameters<Store['change']>): Promise<LogEntry | undefined> {
  const changed = await (await opened()).change(...how);
  tell();
  return changed;
}

async function findSending(sending: NewLogEntry & { readonly time: number }): Promise<LogEntry | undefined> {
  return (await (await opened()).all()).find((entry) => holdsSending(entry, sending));
}

/** What is known of the calls of one recording or input. */
export interface ReceptionPlace {
  /** SHA-256 of a file: what the log has of it already is not added again. */
  readonly recording?: string | undefined;
  /** The file's name. */
  readonly file?: string | undefined;
  /** The DSC frequency that a call came on, hertz, where it is known. */
  readonly frequencyOf?: ((received: ReceivedCall) => number | undefined) | undefined;
}

/** Logs the calls of one recording or input in the order received, the sendings of one attempt in one entry. */
export function receptionLog({ recording, file, frequencyOf }: ReceptionPlace = {}): (
  received: ReceivedCall,
) => Promise<void> {
  const entries = new Map<number, number>();
  let last = Promise.resolve();
  const log = async (received: ReceivedCall): Promise<void> => {
    // Without the time of the recording, a call has just ended when it is received.
    const time = Math.round(Date.now() - (received.end - received.start) * 1000);
    const place = {
      ...(recording !== undefined && { recording, offset: received.start }),
      ...(file !== undefined && { file }),
      frequencyHz: frequencyOf?.(received),
    };
    const sending = { ...receivedEntry(received, place), time };
    const before = entries.get(received.attempt.id);
    const entry =
      (await findSending(sending)) ??
      (before === undefined ? undefined : await change(before, (kept) => withSending(kept, sending))) ??
      (await add(sending));
    entries.set(received.attempt.id, entry.id);
  };
  // One after the other, for a sending joins the entry of the one before it.
  return (received) => (last = last.catch(() => undefined).then(() => log(received)));
}

/** Logs a call as sent, beginning now; where its sound is stopped before its end, that is noted. */
export async function logSent(
  call: Call,
  context: Pick<LogContext, 'frequencyHz'>,
  playing?: Promise<{ readonly wasStopped: boolean }>,
): Promise<void> {
  const entry = await add(callEntry(call, { direction: 'sent', ...context }));
  const leave = () => {
    noteBrokenOff(entry.id);
  };
  addEventListener('pagehide', leave);
  const end = await playing;
  removeEventListener('pagehide', leave);
  if (!end?.wasStopped) return;
  await change(entry.id, (kept) => ({ ...kept, stopped: true }));
}

/** Puts an entry in, or in the place of the one with an id, and gives its id; one that was deleted stays so. */
export async function putEntry(id: number | undefined, entry: Omit<LogEntry, 'id'>): Promise<number> {
  if (id === undefined) return (await add(entry)).id;
  await change(id, () => ({ ...entry, id }));
  return id;
}

export async function removeEntry(id: number): Promise<void> {
  await (await opened()).remove(id);
  tell();
}

/** Every entry, earliest first, and whether they are kept. */
export async function readLog(): Promise<{ entries: LogEntry[]; isKept: boolean }> {
  const log = await opened();
  return { entries: await log.all(), isKept: log.isKept };
}

export async function clearLog(): Promise<void> {
  await (await opened()).clear();
  tell();
}

/** Calls `listener` after every change; gives the function that ends that. */
export function onLogChange(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
