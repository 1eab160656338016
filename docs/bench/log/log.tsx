/**
 * Log: what was sent and received here, kept in this browser alone.
 */
import { formatIdentity } from 'dotphase';
import { formatFrequency } from 'dotphase/frequencies';
import { logToCsv, logToJsonLines, sendingsOf, type LogDirection, type LogEntry } from 'dotphase/records';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { FIRST_DRAFT } from '../compose/draft.js';
import { draftFrom, linkTo } from '../compose/fromcall.js';
import { Ask } from '../parts/ask.js';
import { SelectField, TextField } from '../parts/fields.js';
import { saveFile } from '../parts/save.js';
import { sayMinutes } from '../parts/times.js';
import { clearLog, onLogChange, readLog, removeEntry } from './store.js';

type Shown = 'all' | LogDirection | 'distress' | 'other';

const SHOWN: readonly { value: Shown; text: string }[] = [
  { value: 'all', text: 'Sent and received' },
  { value: 'sent', text: 'Sent' },
  { value: 'received', text: 'Received' },
  { value: 'distress', text: 'Distress' },
  { value: 'other', text: 'All but distress' },
];

/** So many entries are shown at first, and so many more each time. */
const PAGE = 200;

/** An entry with what it is searched by. */
interface Searchable {
  readonly entry: LogEntry;
  readonly words: string;
  readonly isDistress: boolean;
}

/** Kinds of call that are about distress. */
const DISTRESS = /^(distress|ownAlert|relayAcknowledgement|irregularDistress)/;

function searchable(entry: LogEntry): Searchable {
  const { text, from, to, kind, file, frequencyHz } = entry;
  const where = frequencyHz === undefined ? '' : formatFrequency(frequencyHz);
  return {
    entry,
    words: `${text} ${from ?? ''} ${to ?? ''} ${kind} ${file ?? ''} ${where}`.toLowerCase(),
    isDistress: DISTRESS.test(kind),
  };
}

function day(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 10);
}

function clock(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(11, 19);
}

function identity(value: string | undefined): string {
  return value !== undefined && /^\d{9}$/.test(value) ? formatIdentity(value) : (value ?? '');
}

function matches({ entry, words, isDistress }: Searchable, shown: Shown, wanted: string): boolean {
  if (shown === 'distress' || shown === 'other') {
    if (isDistress !== (shown === 'distress')) return false;
  } else if (shown !== 'all' && entry.direction !== shown) return false;
  return words.includes(wanted);
}

/** How many sendings of an attempt were received, and where or when each began. */
function Sendings({ entry }: { entry: LogEntry }) {
  const sendings = sendingsOf(entry);
  if (sendings.length === 1) return null;
  return (
    <>
      <p>{sendings.length} sendings of one attempt; the call is shown as the surest was read.</p>
      <ol class="sendings">
        {sendings.map(({ time, offset, quality }, i) => (
          <li key={i}>
            {offset === undefined ? clock(time) : `${sayMinutes(offset)} in the recording`}{' '}
            {quality !== undefined && <span class={`badge ${quality}`}>{quality}</span>}
          </li>
        ))}
      </ol>
    </>
  );
}

/** The address of Compose with the call of an entry; undefined where the form cannot hold it. */
function composeLink({ call, frequencyHz }: LogEntry): string | undefined {
  try {
    draftFrom(call, FIRST_DRAFT);
    return linkTo(call, frequencyHz);
  } catch {
    return undefined;
  }
}

function More({ entry }: { entry: LogEntry }) {
  const link = composeLink(entry);
  return (
    <>
      <p class="symbols">{entry.symbols.map((symbol) => symbol ?? '?').join(' ')}</p>
      <p>
        {entry.from !== undefined && `From ${identity(entry.from)}`}
        {entry.to !== undefined && ` to ${identity(entry.to)}`}
      </p>
      <Sendings entry={entry} />
      <p class="actions">
        {link !== undefined && (
          <a class="button" href={link}>
            Back to Compose
          </a>
        )}
        <button
          type="button"
          class="quiet"
          onClick={() => {
            void removeEntry(entry.id);
          }}
        >
          Delete this entry
        </button>
      </p>
    </>
  );
}

function Entry({ item }: { item: Searchable }) {
  const { entry, isDistress } = item;
  const [isOpen, setOpen] = useState(false);
  const sendings = sendingsOf(entry).length;
  return (
    <li class={`entry${isDistress ? ' distress' : ''}`}>
      <p class="when">
        <time dateTime={new Date(entry.time).toISOString()}>{clock(entry.time)} UTC</time>
        <span class={`badge ${entry.direction}`}>{entry.direction}</span>
        {entry.stopped && <span class="badge stopped">stopped before its end</span>}
        {entry.quality !== undefined && <span class={`badge ${entry.quality}`}>{entry.quality}</span>}
        {sendings > 1 && <span>{sendings} sendings</span>}
        {entry.frequencyHz !== undefined && <span>{formatFrequency(entry.frequencyHz)}</span>}
      </p>
      <div>
        <p class="what">{entry.text}</p>
        {entry.file !== undefined && (
          <p class="place">
            {entry.file}
            {entry.offset !== undefined && `, at ${sayMinutes(entry.offset)}`}
          </p>
        )}
        {entry.acknowledgedAt !== undefined && (
          <p class="place">Acknowledged {clock(entry.acknowledgedAt)} UTC</p>
        )}
      </div>
      <details
        onToggle={(event) => {
          setOpen(event.currentTarget.open);
        }}
      >
        <summary>{sendings > 1 ? 'Characters and sendings' : 'Characters'}</summary>
        {isOpen && <More entry={entry} />}
      </details>
    </li>
  );
}

export function LogView() {
  const [entries, setEntries] = useState<readonly Searchable[]>([]);
  const [isKept, setKept] = useState(true);
  const [shown, setShown] = useState<Shown>('all');
  const [wanted, setWanted] = useState('');
  const [limit, setLimit] = useState(PAGE);
  const [isClearing, setClearing] = useState(false);
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const load = () => {
      timer = undefined;
      void readLog().then((log) => {
        setEntries(log.entries.map(searchable).reverse());
        setKept(log.isKept);
      });
    };
    // Many changes in a row are one.
    const later = () => {
      timer ??= setTimeout(load, 50);
    };
    load();
    return onLogChange(later);
  }, []);
  const text = wanted.trim().toLowerCase();
  const found = useMemo(() => entries.filter((each) => matches(each, shown, text)), [entries, shown, text]);
  useEffect(() => {
    setLimit(PAGE);
  }, [shown, text]);
  // What is printed is all that was found.
  useEffect(() => {
    const whole = () => {
      setLimit(Infinity);
    };
    addEventListener('beforeprint', whole);
    return () => {
      removeEventListener('beforeprint', whole);
    };
  }, []);
  const listed = found.slice(0, limit);
  const days = [...new Set(listed.map(({ entry }) => day(entry.time)))];
  const chosen = found.map(({ entry }) => entry);
  const save = (format: 'csv' | 'jsonl') => {
    const lines = format === 'csv' ? logToCsv([...chosen].reverse()) : logToJsonLines([...chosen].reverse());
    const type = format === 'csv' ? 'text/csv' : 'application/jsonl';
    saveFile(`dsc-log-${day(Date.now())}.${format}`, [...lines].join(''), type);
  };
  return (
    <>
      <header class="view-head">
        <h1>Log</h1>
        <p>What was sent and received on this page, in UTC. It stays in this browser until you delete it.</p>
      </header>
      {!isKept && (
        <p class="notice" role="status">
          This browser keeps nothing for the page: the log ends when you close it.
        </p>
      )}
      <div class="filters">
        <SelectField label="Show" value={shown} onValue={setShown} choices={SHOWN} />
        <TextField label="Containing" value={wanted} onValue={setWanted} />
        <p class="actions">
          <button
            type="button"
            disabled={chosen.length === 0}
            onClick={() => {
              save('csv');
            }}
          >
            Export CSV
          </button>
          <button
            type="button"
            disabled={chosen.length === 0}
            onClick={() => {
              save('jsonl');
            }}
          >
            Export JSON
          </button>
          <button
            type="button"
            class="quiet"
            disabled={entries.length === 0}
            onClick={() => {
              setClearing(true);
            }}
          >
            Delete all…
          </button>
        </p>
      </div>
      <p class="count" role="status">
        {chosen.length === entries.length
          ? `${entries.length} ${entries.length === 1 ? 'entry' : 'entries'}`
          : `${chosen.length} of ${entries.length} entries`}
      </p>
      {entries.length === 0 && (
        <p class="empty">Nothing yet. Play a call in Compose, or hear one in Listen, and it is noted here.</p>
      )}
      {days.map((date) => (
        <section key={date} aria-label={date}>
          <h2 class="day">{date}</h2>
          <ol class="entries" reversed>
            {listed
              .filter(({ entry }) => day(entry.time) === date)
              .map((item) => (
                <Entry key={item.entry.id} item={item} />
              ))}
          </ol>
        </section>
      ))}
      {found.length > listed.length && (
        <p class="actions more-entries">
          <button
            type="button"
            onClick={() => {
              setLimit(limit + PAGE);
            }}
          >
            Show {Math.min(PAGE, found.length - listed.length)} more of {found.length - listed.length}
          </button>
        </p>
      )}
      {isClearing && (
        <Ask
          question={{
            title: 'Delete the log?',
            text: `${
              entries.length === 1 ? 'The one entry' : `All ${entries.length} entries`
            } will be gone for good. Export first what you want to keep.`,
            yes: 'Delete',
            no: 'Keep',
            onYes: () => void clearLog(),
          }}
          onOver={() => {
            setClearing(false);
          }}
        />
      )}
    </>
  );
}
