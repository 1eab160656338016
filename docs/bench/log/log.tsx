/**
 * Log: what was sent and received here, kept in this browser alone.
 */
import { formatIdentity } from 'dotphase';
import { formatFrequency } from 'dotphase/frequencies';
import { logToCsv, logToJsonLines, sendingsOf, type LogDirection, type LogEntry } from 'dotphase/records';
import { useEffect, useRef, useState } from 'preact/hooks';
import { SelectField, TextField } from '../parts/fields.js';
import { saveFile } from '../parts/save.js';
import { sayMinutes } from '../parts/times.js';
import { clearLog, onLogChange, readLog } from './store.js';

type Shown = 'all' | LogDirection;

const SHOWN: readonly { value: Shown; text: string }[] = [
  { value: 'all', text: 'Sent and received' },
  { value: 'sent', text: 'Sent' },
  { value: 'received', text: 'Received' },
];

function day(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 10);
}

function clock(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(11, 19);
}

function identity(value: string | undefined): string {
  return value !== undefined && /^\d{9}$/.test(value) ? formatIdentity(value) : (value ?? '');
}

function matches(entry: LogEntry, shown: Shown, wanted: string): boolean {
  if (shown !== 'all' && entry.direction !== shown) return false;
  const text = `${entry.text} ${entry.from ?? ''} ${entry.to ?? ''} ${entry.kind}`.toLowerCase();
  return text.includes(wanted.trim().toLowerCase());
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

function Entry({ entry }: { entry: LogEntry }) {
  const sendings = sendingsOf(entry).length;
  return (
    <li class="entry">
      <p class="when">
        <time dateTime={new Date(entry.time).toISOString()}>{clock(entry.time)}</time>
        <span class={`badge ${entry.direction}`}>{entry.direction}</span>
        {entry.stopped && <span class="badge stopped">stopped before its end</span>}
        {entry.quality !== undefined && <span class={`badge ${entry.quality}`}>{entry.quality}</span>}
        {sendings > 1 && <span>{sendings} sendings</span>}
        {entry.frequencyHz !== undefined && <span>{formatFrequency(entry.frequencyHz)}</span>}
      </p>
      <p class="what">{entry.text}</p>
      <details>
        <summary>{sendings > 1 ? 'Characters and sendings' : 'Characters'}</summary>
        <p class="symbols">{entry.symbols.map((symbol) => symbol ?? '?').join(' ')}</p>
        <p>
          {entry.from !== undefined && `From ${identity(entry.from)}`}
          {entry.to !== undefined && ` to ${identity(entry.to)}`}
        </p>
        <Sendings entry={entry} />
      </details>
    </li>
  );
}

function ClearDialog({ count, onOver }: { count: number; onOver: (agreed: boolean) => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog
      ref={dialog}
      aria-labelledby="clear-title"
      onClose={() => {
        onOver(dialog.current?.returnValue === 'clear');
      }}
    >
      <form method="dialog">
        <h2 id="clear-title">Delete the log?</h2>
        <p>
          {count === 1 ? 'The one entry' : `All ${count} entries`} will be gone for good. Export first what
          you want to keep.
        </p>
        <p class="actions">
          <button value="keep">Keep</button>
          <button value="clear" class="grave">
            Delete
          </button>
        </p>
      </form>
    </dialog>
  );
}

export function LogView() {
  const [entries, setEntries] = useState<readonly LogEntry[]>([]);
  const [isKept, setKept] = useState(true);
  const [shown, setShown] = useState<Shown>('all');
  const [wanted, setWanted] = useState('');
  const [isClearing, setClearing] = useState(false);
  useEffect(() => {
    const load = () => {
      void readLog().then((log) => {
        setEntries(log.entries);
        setKept(log.isKept);
      });
    };
    load();
    return onLogChange(load);
  }, []);
  const chosen = entries.filter((entry) => matches(entry, shown, wanted)).reverse();
  const days = [...new Set(chosen.map(({ time }) => day(time)))];
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
            {chosen
              .filter(({ time }) => day(time) === date)
              .map((entry) => (
                <Entry key={entry.id} entry={entry} />
              ))}
          </ol>
        </section>
      ))}
      {isClearing && (
        <ClearDialog
          count={entries.length}
          onOver={(agreed) => {
            setClearing(false);
            if (agreed) void clearLog();
          }}
        />
      )}
    </>
  );
}
