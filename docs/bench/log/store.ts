/**
 * The log, kept in this browser's IndexedDB, or in memory where the browser keeps nothing.
 */
import type { Call, ReceivedCall } from 'dotphase';
import { callEntry, receivedEntry, type LogEntry, type LogFacts, type NewLogEntry } from 'dotphase/records';
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';

interface Schema extends DBSchema {
  entries: { key: number; value: LogEntry };
}

interface Store {
  /** Whether entries are still there after the page was closed. */
  readonly isKept: boolean;
  /** Gives the id. */
  add(entry: Omit<LogEntry, 'id'>): Promise<number>;
  /** Notes that a sending was broken off. */
  stop(id: number): Promise<void>;
  /** Earliest first. */
  all(): Promise<LogEntry[]>;
  clear(): Promise<void>;
}

function databaseStore(database: IDBPDatabase<Schema>): Store {
  return {
    isKept: true,
    // The key generator sets the id.
    add: (entry) => database.add('entries', entry as LogEntry),
    async stop(id) {
      const entry = await database.get('entries', id);
      if (entry) await database.put('entries', { ...entry, stopped: true });
    },
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
    stop(id) {
      entries = entries.map((entry) => (entry.id === id ? { ...entry, stopped: true } : entry));
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

let store: Promise<Store> | undefined;
const listeners = new Set<() => void>();

function opened(): Promise<Store> {
  store ??= openStore();
  return store;
}

function tell(): void {
  for (const listener of listeners) listener();
}

async function add(entry: NewLogEntry): Promise<number> {
  const id = await (await opened()).add({ time: Date.now(), ...entry });
  tell();
  return id;
}

/** Logs a received call. */
export async function logReceived(received: ReceivedCall): Promise<void> {
  // Without the time of the recording, a call has just ended when it is received.
  const time = Date.now() - (received.end - received.start) * 1000;
  await add(receivedEntry(received, { time }));
}

/** Logs a call as sent, beginning now; where its sound is stopped before its end, that is noted. */
export async function logSent(
  call: Call,
  facts: Pick<LogFacts, 'frequencyHz'>,
  playing?: Promise<{ readonly wasStopped: boolean }>,
): Promise<void> {
  const id = await add(callEntry(call, { direction: 'sent', ...facts }));
  if (!(await playing)?.wasStopped) return;
  await (await opened()).stop(id);
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
