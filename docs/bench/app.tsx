/**
 * The page around its views. All of them stay alive, so that listening goes on while another is shown.
 */
import type { ComponentType } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { ComposeView } from './compose/compose.js';
import { ExchangeView } from './exchange/exchange.js';
import { ListenView } from './listen/listen.js';
import { PapersView } from './exam/papers.js';
import { PracticeView } from './exam/practice.js';
import { LogView } from './log/log.js';
import { MeasureView } from './measure/measure.js';
import { Masthead } from './parts/masthead.js';
import { useView } from './useview.js';
import { WallContext, isForWall } from './wall/wall.js';

interface View {
  readonly id: string;
  readonly title: string;
  readonly Content: ComponentType;
}

const VIEWS: readonly View[] = [
  { id: 'exchange', title: 'Exchange', Content: ExchangeView },
  { id: 'compose', title: 'Compose', Content: ComposeView },
  { id: 'listen', title: 'Listen', Content: ListenView },
  { id: 'measure', title: 'Measure', Content: MeasureView },
  { id: 'log', title: 'Log', Content: LogView },
  { id: 'practice', title: 'Practice', Content: PracticeView },
  { id: 'papers', title: 'Papers', Content: PapersView },
];

function chosenView(): string {
  const [wanted] = location.hash.slice(1).split('/');
  return VIEWS.some(({ id }) => id === wanted) ? wanted : VIEWS[0].id;
}

/** Views that have something for the wall. */
const ON_THE_WALL = ['exchange', 'compose'];

export function App() {
  const { view, main } = useView(chosenView);
  const [wall, setWall] = useState<string>();
  const wallState = useMemo(
    () => ({
      view: wall,
      open: setWall,
      close: () => {
        setWall(undefined);
      },
    }),
    [wall],
  );
  useEffect(() => {
    const toggle = (event: KeyboardEvent) => {
      if (!isForWall(event) || !ON_THE_WALL.includes(view)) return;
      setWall((before) => (before === undefined ? view : undefined));
    };
    addEventListener('keydown', toggle);
    return () => {
      removeEventListener('keydown', toggle);
    };
  }, [view]);
  useEffect(() => {
    const title = VIEWS.find(({ id }) => id === view)?.title ?? '';
    document.title = `${title} · dotphase test bench`;
  }, [view]);
  return (
    <WallContext.Provider value={wallState}>
      <Masthead what="test bench for digital selective calling" views={VIEWS} view={view} />
      <main ref={main} tabIndex={-1}>
        {VIEWS.map(({ id, Content }) => (
          <div key={id} class="view" hidden={id !== view}>
            <Content />
          </div>
        ))}
      </main>
      <footer>
        <div class="neatline" aria-hidden="true" />
        <p>
          For training and test. Never feed distress, urgency or safety audio to a transmitter on the air; a
          decoded distress alert is not a watch. Nothing you enter, hear or record leaves this page.
        </p>
      </footer>
    </WallContext.Provider>
  );
}
