/**
 * The page around its views.
 */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { Masthead } from '../bench/parts/masthead.js';
import { useView } from '../bench/useview.js';
import { CallsView } from './calls.js';
import { askSummary, isDistress, listen, moment, type Call, type Summary } from './data.js';
import { InputsView } from './inputs.js';
import { MapView } from './map.js';
import { TimesView } from './times.js';

const VIEWS = [
  { id: 'calls', title: 'Calls' },
  { id: 'chart', title: 'Chart' },
  { id: 'times', title: 'Times' },
  { id: 'inputs', title: 'Inputs' },
] as const;

type View = (typeof VIEWS)[number]['id'];

function chosenView(): View {
  const wanted = location.hash.slice(1);
  return VIEWS.find(({ id }) => id === wanted)?.id ?? 'calls';
}

/** What comes in quick succession is shown together, milliseconds. */
const TOGETHER_MS = 500;

export function App() {
  const { view, main } = useView(chosenView);
  const [summary, setSummary] = useState<Summary>();
  const [fresh, setFresh] = useState<readonly Call[]>([]);
  const [isOpen, setOpen] = useState(true);
  const [problem, setProblem] = useState<string>();
  const waiting = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const refresh = useCallback(() => {
    waiting.current ??= setTimeout(() => {
      waiting.current = undefined;
      askSummary().then(
        (answer) => {
          setSummary(answer);
          setProblem(undefined);
        },
        (error: unknown) => {
          setProblem(String(error));
        },
      );
    }, TOGETHER_MS);
  }, []);
  useEffect(() => {
    refresh();
    return listen({
      call: (call) => {
        setFresh((before) => [call, ...before].slice(0, 20));
        refresh();
      },
      other: refresh,
      state: setOpen,
    });
  }, [refresh]);
  useEffect(() => {
    document.title = `${VIEWS.find(({ id }) => id === view)?.title ?? ''} · dotphase watch`;
  }, [view]);
  const latest = fresh.at(0);
  return (
    <>
      <Masthead what="what was heard" views={VIEWS} view={view} />
      <main ref={main} tabIndex={-1}>
        <h1 class="hidden">{VIEWS.find(({ id }) => id === view)?.title}</h1>
        {!isOpen && (
          <p class="complaint" role="status">
            The connection is lost; the page tries again by itself.
          </p>
        )}
        {problem !== undefined && <p class="complaint">{problem}</p>}
        {summary?.heldSince !== undefined && (
          <p class="complaint" role="status">
            Another program has held the log since {moment(summary.heldSince)}. Calls are heard, but shown
            only once they are logged.
          </p>
        )}
        {latest && (
          <p class={`latest ${isDistress(latest) ? 'distress' : ''}`} role="status">
            <strong>Just heard:</strong> {latest.quality === 'doubtful' && 'Doubtful: '}
            {latest.text}
          </p>
        )}
        {view === 'calls' && <CallsView summary={summary} fresh={fresh} />}
        {view === 'chart' && <MapView places={summary?.places ?? []} />}
        {view === 'times' && summary && <TimesView {...summary} />}
        {view === 'inputs' && summary && <InputsView {...summary} />}
      </main>
      <footer>
        <div class="neatline" aria-hidden="true" />
        <p>
          A decoded distress alert is not a watch: keep the watch your station must keep on its own equipment.
          If what you see may be real and new, tell the rescue services of your country. Times are UTC.
        </p>
      </footer>
    </>
  );
}
