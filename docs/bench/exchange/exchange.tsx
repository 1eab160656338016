/**
 * Exchange: a test call and its answer, with a real radio or within the page.
 */
import { useState } from 'preact/hooks';
import { RadioRow } from '../parts/fields.js';
import { InPage } from './inpage.js';
import { OnAir } from './onair.js';

type Mode = 'radio' | 'page';

export function ExchangeView() {
  const [mode, setMode] = useState<Mode>('page');
  const [delay, setDelay] = useState(5);
  return (
    <>
      <header class="view-head">
        <h1>Exchange</h1>
        <p>A coast station that exists in this page alone hears a test call and acknowledges it.</p>
      </header>
      <div class="exchange-settings">
        <RadioRow
          legend="Who calls"
          value={mode}
          onValue={setMode}
          choices={[
            { value: 'page', text: 'A vessel in this page' },
            { value: 'radio', text: 'A radio on the microphone' },
          ]}
        />
        <div class="field">
          <label for="delay">The answer comes after {delay} s</label>
          <input
            id="delay"
            type="range"
            min="0"
            max="30"
            value={delay}
            onInput={(event) => {
              setDelay(Number(event.currentTarget.value));
            }}
          />
        </div>
      </div>
      {mode === 'page' ? <InPage delay={delay} /> : <OnAir delay={delay} />}
    </>
  );
}
