/**
 * Calls as they come, a search in them, and one of them whole.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import {
  askCall,
  askCalls,
  frequenciesOf,
  frequency,
  isDistress,
  moment,
  words,
  type Call,
  type Search,
  type Summary,
  type WholeCall,
} from './data.js';

const NOTHING_SOUGHT: Search = { text: '', kind: '', frequency: '', isSure: false };
/** A search begins when nothing was typed for so long, milliseconds. */
const TYPING_MS = 250;

function Row({ call, isOpen, onOpen }: { call: Call; isOpen: boolean; onOpen: () => void }) {
  const { sendings } = call;
  const frequencies = frequenciesOf(call);
  const facts = [
    frequencies > 1
      ? `${sendings.length} sendings on ${frequencies} frequencies`
      : frequency(call.frequencyHz),
    call.input ?? call.file?.split(/[\\/]/).at(-1) ?? '',
    frequencies === 1 && sendings.length > 1 ? `${sendings.length} sendings` : '',
    call.snrDb === undefined ? '' : `${call.snrDb.toFixed(0)} dB`,
  ].filter((fact) => fact !== '');
  return (
    <li class={`call ${isDistress(call) ? 'distress' : ''} ${call.quality ?? ''}`}>
      <button type="button" aria-expanded={isOpen} onClick={onOpen}>
        <span class="when">{call.timeSource === 'decoded' ? 'time not known' : moment(call.time)}</span>
        <span class="what">
          {call.quality === 'doubtful' && <strong class="doubt">Doubtful: </strong>}
          {call.text}
        </span>
        <span class="facts">{facts.join(' · ')}</span>
      </button>
      {isOpen && <Whole id={call.id} />}
    </li>
  );
}

/** The strip of its characters, what they say, and its sound. */
function Whole({ id }: { id: number }) {
  const [call, setCall] = useState<WholeCall>();
  const [problem, setProblem] = useState<string>();
  const [isSilent, setSilent] = useState(false);
  useEffect(() => {
    askCall(id).then(setCall, (error: unknown) => {
      setProblem(String(error));
    });
  }, [id]);
  if (problem !== undefined) return <p class="complaint">{problem}</p>;
  if (!call) return <p class="reading">…</p>;
  return (
    <div class="whole">
      <div class="strip" tabIndex={0} role="group" aria-label="Its characters">
        <ol class="characters">
          {call.fields.map(({ field, label, symbols }, i) => (
            <li key={i} class={`tint-${field}`}>
              <span class="label">{label}</span>
              <span class="cells">
                {symbols.map((symbol, j) => (
                  <b key={j}>{symbol ?? '?'}</b>
                ))}
              </span>
            </li>
          ))}
        </ol>
      </div>
      <dl>
        {call.fields.map(({ label, meaning }, i) => (
          <div key={i}>
            <dt>{label}</dt>
            <dd>{meaning}</dd>
          </div>
        ))}
        <div>
          <dt>heard</dt>
          <dd>
            {call.sendings
              .map(({ time, frequencyHz }) =>
                frequenciesOf(call) > 1 ? `${moment(time)} on ${frequency(frequencyHz)}` : moment(time),
              )
              .join(', ')}
          </dd>
        </div>
      </dl>
      {isSilent ? (
        <p class="reading">Its sound is not kept.</p>
      ) : (
        <audio
          controls
          preload="metadata"
          src={`data/calls/${id}/sound`}
          onError={() => {
            setSilent(true);
          }}
        />
      )}
    </div>
  );
}

export function CallsView({ summary, fresh }: { summary: Summary | undefined; fresh: readonly Call[] }) {
  const [search, setSearch] = useState(NOTHING_SOUGHT);
  const [found, setFound] = useState<{ calls: Call[]; isAll: boolean }>();
  const [open, setOpen] = useState<number>();
  const [problem, setProblem] = useState<string>();
  const latest = useRef(0);
  useEffect(() => {
    const mine = ++latest.current;
    const wait = setTimeout(() => {
      askCalls(search).then(
        (answer) => {
          if (mine !== latest.current) return;
          setFound(answer);
          setProblem(undefined);
        },
        (error: unknown) => {
          setProblem(String(error));
        },
      );
    }, TYPING_MS);
    return () => {
      clearTimeout(wait);
    };
  }, [search, fresh]);
  const more = () => {
    const last = found?.calls.at(-1);
    if (!last) return;
    askCalls(search, last.id).then(
      ({ calls, isAll }) => {
        setFound((before) => ({ calls: [...(before?.calls ?? []), ...calls], isAll }));
      },
      (error: unknown) => {
        setProblem(String(error));
      },
    );
  };
  const change = (part: Partial<Search>) => {
    setSearch((before) => ({ ...before, ...part }));
  };
  return (
    <>
      <form
        class="search"
        role="search"
        onSubmit={(event) => {
          event.preventDefault();
        }}
      >
        <label>
          Words or identity
          <input
            type="text"
            value={search.text}
            maxLength={200}
            onInput={({ currentTarget }) => {
              change({ text: currentTarget.value });
            }}
          />
        </label>
        <label>
          Kind
          <select
            value={search.kind}
            onChange={({ currentTarget }) => {
              change({ kind: currentTarget.value });
            }}
          >
            <option value="">all</option>
            {summary?.kinds.map(({ key, calls }) => (
              <option key={key} value={key}>
                {words(String(key))} ({calls})
              </option>
            ))}
          </select>
        </label>
        <label>
          Frequency
          <select
            value={search.frequency}
            onChange={({ currentTarget }) => {
              change({ frequency: currentTarget.value });
            }}
          >
            <option value="">all</option>
            {summary?.frequencies
              .filter(({ key }) => key !== undefined)
              .map(({ key, calls }) => (
                <option key={key} value={key}>
                  {frequency(Number(key))} ({calls})
                </option>
              ))}
          </select>
        </label>
        <label class="tick">
          <input
            type="checkbox"
            checked={search.isSure}
            onChange={({ currentTarget }) => {
              change({ isSure: currentTarget.checked });
            }}
          />
          no doubtful calls
        </label>
      </form>
      {problem !== undefined && <p class="complaint">{problem}</p>}
      {found?.calls.length === 0 && <p class="reading">No call fits.</p>}
      <ol class="calls" aria-live="polite">
        {found?.calls.map((call) => (
          <Row
            key={call.id}
            call={call}
            isOpen={open === call.id}
            onOpen={() => {
              setOpen((before) => (before === call.id ? undefined : call.id));
            }}
          />
        ))}
      </ol>
      {found && !found.isAll && (
        <button type="button" class="more" onClick={more}>
          Earlier calls
        </button>
      )}
    </>
  );
}
