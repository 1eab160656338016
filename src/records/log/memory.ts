/**
 * A log in memory, for browsers and tests. It forgets everything when the program ends.
 */
import { DotphaseError } from '../../errors.js';
import { checkEntry, checkTime, type CheckedEntry, type LogEntry } from './entry.js';
import { checkFilter, type CallLog, type LogFilter, type LogOptions } from './log.js';
import { holdsSending, withSending } from './sendings.js';

/** An entry as kept, its call as JSON text. */
type Kept = Omit<LogEntry, 'call'> & { readonly call: string };

const byTime = (a: Pick<LogEntry, 'id' | 'time'>, b: Pick<LogEntry, 'id' | 'time'>) =>
  a.time - b.time || a.id - b.id;

function meets(entry: Kept, filter: LogFilter): boolean {
  const { kind, identity, direction, recording, since, until } = filter;
  return (
    (kind === undefined || entry.kind === kind) &&
    (identity === undefined || [entry.from, entry.to, entry.casualty].includes(identity)) &&
    (direction === undefined || entry.direction === direction) &&
    (recording === undefined || entry.recording === recording) &&
    (since === undefined || entry.time >= since) &&
    (until === undefined || entry.time < until)
  );
}

function show(kept: Kept): LogEntry {
  const { symbols, sendings, call, ...rest } = kept;
  return {
    ...rest,
    symbols: [...symbols],
    ...(sendings && { sendings: sendings.map((sending) => ({ ...sending })) }),
    call: JSON.parse(call) as unknown,
  };
}

/** Opens an empty log in memory. */
export function createMemoryLog({ clock }: LogOptions): CallLog {
  const entries: Kept[] = [];
  const known = (id: number): Kept => {
    const kept = entries.at(id - 1);
    if (kept?.id !== id) throw new DotphaseError('id', id, 'the id of a logged call');
    return kept;
  };
  const replace = (kept: Kept): LogEntry => {
    entries[kept.id - 1] = kept;
    return show(kept);
  };
  const held = (entry: CheckedEntry) => entries.find((kept) => holdsSending(kept, entry));
  const insert = (entry: CheckedEntry): Kept => {
    const kept = { id: entries.length + 1, ...entry };
    entries.push(kept);
    return kept;
  };
  return {
    add(entry) {
      const given = checkEntry(entry, clock);
      return show(held(given) ?? insert(given));
    },
    addSending(id, entry) {
      const given = checkEntry(entry, clock);
      const before = known(id);
      const already = held(given);
      if (already) return show(already);
      const joined = withSending(before, given);
      return joined ? replace(joined) : show(insert(given));
    },
    acknowledge(id, time) {
      const kept = known(id);
      return replace({ ...kept, acknowledgedAt: kept.acknowledgedAt ?? checkTime(time ?? clock()) });
    },
    stop: (id) => replace({ ...known(id), stopped: true }),
    get(id) {
      const kept = entries.at(id - 1);
      return kept?.id === id ? show(kept) : undefined;
    },
    list(filter = {}) {
      const { limit, newestFirst, after, ...conditions } = checkFilter(filter);
      const sign = newestFirst ? -1 : 1;
      return entries
        .filter((entry) => meets(entry, conditions) && (!after || sign * byTime(entry, after) > 0))
        .sort((a, b) => sign * byTime(a, b))
        .slice(0, limit)
        .map(show);
    },
    close() {
      entries.length = 0;
    },
  };
}
