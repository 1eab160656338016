/**
 * The log, kept in this browser's IndexedDB, or in memory where the browser keeps nothing.
 */
import type { DecodedCall } from 'dotphase';
import { callEntry, type LogEntry, type LogFacts } from 'dotphase/records';
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';

interface Schema extends DBSchema {
  entries: { key: number; value: LogEntry };
}

interface Store {
  /** Whether entries are still there after the page was closed. */
  readonly isKept: boolean;
  add(entry: Omit<LogEntry, 'id'>): Promise<void>;
  /** Earliest first. */
  all(): Promise<LogEntry[]>;
  clear(): Promise<void>;
}

function databaseStore(database: IDBPDatabase<Schema>): Store {
  return {
    isKept: true,
    async add(entry) {
      // The key generator sets the id.
      await database.add('entries', entry as LogEntry);
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

/** Logs a call as sent or received now. */
export async function logCall(call: DecodedCall, facts: LogFacts): Promise<void> {
  await (await opened()).add({ time: Date.now(), ...callEntry(call, facts) });
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
