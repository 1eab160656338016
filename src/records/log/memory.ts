/**
 * A log in memory, for browsers and tests. It forgets everything when the program ends.
 */
import { DotphaseError } from '../../errors.js';
import { checkEntry, checkTime, type CheckedEntry, type LogEntry } from './entry.js';
import { checkFilter, type CallLog, type LogFilter, type LogOptions } from './log.js';
import { attemptChanges } from './multifrequency.js';
import { holdsSending, isReadBetter, sameCall, withSending } from './sendings.js';

/** An entry as kept, its call as JSON text. */
type Kept = Omit<LogEntry, 'call'> & { readonly call: string };

const byTime = (a: Pick<LogEntry, 'id' | 'time'>, b: Pick<LogEntry, 'id' | 'time'>) =>
  a.time - b.time || a.id - b.id;

/** Letters A to Z as small ones, as SQLite compares them. */
const inSmall = (text: string) => text.replace(/[A-Z]/g, (letter) => letter.toLowerCase());

function meets(entry: Kept, filter: LogFilter): boolean {
  const { kind, identity, direction, recording, input, frequencyHz, quality, since, until, text } = filter;
  return (
    (input === undefined || entry.input === input) &&
    (frequencyHz === undefined || entry.frequencyHz === frequencyHz) &&
    (quality === undefined || entry.quality === quality) &&
    (!filter.sure || entry.quality !== 'doubtful') &&
    (!filter.once || entry.sameAs === undefined) &&
    (filter.multiFrequencyAttempt === undefined ||
      entry.multiFrequencyAttempt === filter.multiFrequencyAttempt) &&
    (text === undefined || inSmall(entry.text).includes(inSmall(text))) &&
    (kind === undefined || entry.kind === kind) &&
    (identity === undefined || [entry.from, entry.to, entry.casualty].includes(identity)) &&
    (direction === undefined || entry.direction === direction) &&
    (recording === undefined || entry.recording === recording) &&
    (since === undefined || entry.time >= since) &&
    (until === undefined || entry.time < until)
  );
}

/** The first in time of each multi-frequency attempt, and all that is part of none. */
function oncePerAttempt(entries: readonly Kept[]): Kept[] {
  const first = new Map<number, Kept>();
  for (const entry of [...entries].sort(byTime)) {
    const { multiFrequencyAttempt: id } = entry;
    if (id !== undefined && !first.has(id)) first.set(id, entry);
  }
  return entries.filter(
    (entry) => entry.multiFrequencyAttempt === undefined || first.get(entry.multiFrequencyAttempt) === entry,
  );
}

function withoutLink({ sameAs: _, ...kept }: Kept): Kept {
  return kept;
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
  /** Links an entry with others of the same call, so that all of them name the surest. */
  const linkSame = (kept: Kept): Kept => {
    const headOf = ({ id, sameAs }: Kept) => sameAs ?? id;
    const [surest, ...rest] = sameCall(kept, entries, (one) =>
      entries.filter((entry) => headOf(entry) === headOf(one)),
    );
    if (rest.length === 0) return kept;
    entries[surest.id - 1] = withoutLink(surest);
    for (const one of rest) entries[one.id - 1] = { ...one, sameAs: surest.id };
    return entries[kept.id - 1];
  };
  /** Links an entry with what it was sent together with. */
  const link = (kept: Kept): Kept => {
    const linked = linkSame(kept);
    for (const { id, multiFrequencyAttempt: attempt } of attemptChanges(linked, entries)) {
      const { multiFrequencyAttempt: _, ...rest } = entries[id - 1];
      entries[id - 1] = { ...rest, ...(attempt !== undefined && { multiFrequencyAttempt: attempt }) };
    }
    return entries[kept.id - 1];
  };
  const held = (entry: CheckedEntry) => entries.find((kept) => holdsSending(kept, entry));
  const insert = (entry: CheckedEntry): Kept => {
    const kept = { id: entries.length + 1, ...entry };
    entries.push(kept);
    return link(kept);
  };
  /** An entry with another sending, or a surer reading of one; undefined where it cannot take it. */
  const join = (before: Kept, given: CheckedEntry): Kept | undefined => {
    const joined = withSending(before, given);
    if (!joined) return undefined;
    entries[joined.id - 1] = joined;
    return link(joined);
  };
  const better = (already: Kept, given: CheckedEntry): Kept =>
    (isReadBetter(already, given) ? join(already, given) : undefined) ?? already;
  return {
    add(entry) {
      const given = checkEntry(entry, clock);
      const already = held(given);
      return show(already ? better(already, given) : insert(given));
    },
    addSending(id, entry) {
      const given = checkEntry(entry, clock);
      const before = known(id);
      const already = held(given);
      if (already) return show(better(already, given));
      return show(join(before, given) ?? insert(given));
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
      const { limit, newestFirst, after, together, ...conditions } = checkFilter(filter);
      const sign = newestFirst ? -1 : 1;
      const met = entries.filter((entry) => meets(entry, conditions));
      return (together ? oncePerAttempt(met) : met)
        .filter((entry) => !after || sign * byTime(entry, after) > 0)
        .sort((a, b) => sign * byTime(a, b))
        .slice(0, limit)
        .map(show);
    },
    close() {
      entries.length = 0;
    },
  };
}
