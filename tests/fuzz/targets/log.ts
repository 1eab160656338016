/** Log entries: into the log, out as JSON and CSV, and in again. */
import { encodeCall, describeCall } from '../../../src/calls/index.js';
import {
  createMemoryLog,
  logEntries,
  logToCsv,
  logToJsonLines,
  type LogEntry,
  type NewLogEntry,
} from '../../../src/records/index.js';
import { requireSafeCsv } from '../csv.js';
import { SENDABLE } from '../good.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { orRefused, same, type Target } from '../target.js';

const GOOD: readonly unknown[] = SENDABLE.slice(0, 30).map((call, i) => ({
  entries: [
    {
      direction: i % 2 ? 'sent' : 'received',
      frequencyHz: 2_187_500,
      quality: 'clean',
      symbols: encodeCall(call).symbols,
      kind: call.kind,
      from: '299000001',
      to: '@x',
      text: describeCall(call),
      call,
      time: i,
    },
    { direction: 'sent', symbols: [], kind: '=x', text: '\r+1', call: null },
  ],
  filter: { kind: call.kind, since: 0, limit: 3, newestFirst: true },
}));

export const log: Target = {
  name: 'log',
  seeds: () => jsonSeeds(GOOD),
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 64,
  run(input) {
    const data = hostileJson(input, GOOD) as { entries?: unknown; filter?: unknown } | null | undefined;
    const kept = createMemoryLog({ clock: () => 1000 });
    const given = Array.isArray(data?.entries) ? data.entries.slice(0, 20) : [data];
    const ids = new Set<number>();
    for (const entry of given) {
      const added = orRefused(() => kept.add(entry as NewLogEntry));
      const joined = added && orRefused(() => kept.addSending(added.id, entry as NewLogEntry));
      for (const each of [added, joined]) if (each) ids.add(each.id);
    }
    const count = ids.size;
    orRefused(() => kept.acknowledge(given.length % 3, count));
    orRefused(() => kept.stop(given.length % 3));
    orRefused(() => kept.list(data?.filter as object));
    const entries = [...logEntries(kept)];
    same(entries.length, count, 'the number of entries logged');
    requireSafeCsv([...logToCsv(entries)].join(''));
    const lines = [...logToJsonLines(entries)].map((line) => JSON.parse(line) as LogEntry);
    const kernel = ({ id, text, symbols, call }: LogEntry) => ({ id, text, symbols, call });
    same(lines.map(kernel), entries.map(kernel), 'the log read from its lines of JSON');
  },
};
