/**
 * Listen: calls out of a recording, a microphone or a line input.
 */
import { describeReceived, type Band } from 'dotphase';
import { useCallback, useEffect, useState } from 'preact/hooks';
import { deviceChoices, listDevices, type Device } from '../audio/devices.js';
import { WatchCaution } from '../parts/cautions.js';
import { SelectField } from '../parts/fields.js';
import { ALL_BANDS } from './ear.js';
import { HeardList, isDistress } from './heard.js';
import { Level } from './level.js';
import { useListening, type NearMiss, type Source } from './listening.js';
import { COLUMNS, Spectrogram, type Drawing } from './spectrogram.js';

type BandChoice = 'both' | Band;

const BAND_CHOICES: readonly { value: BandChoice; text: string }[] = [
  { value: 'both', text: 'MF/HF and VHF' },
  { value: 'mf-hf', text: 'MF/HF, 100 Bd' },
  { value: 'vhf', text: 'VHF channel 70, 1200 Bd' },
];

function DropZone({ onFile }: { onFile: (file: File) => void }) {
  const [isOver, setOver] = useState(false);
  return (
    <label
      class={`drop${isOver ? ' over' : ''}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => {
        setOver(false);
      }}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        const file = event.dataTransfer?.files[0];
        if (file) onFile(file);
      }}
    >
      <input
        type="file"
        accept="audio/*,.wav"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file) onFile(file);
          event.currentTarget.value = '';
        }}
      />
      <span>
        <b>Drop a recording here</b> or choose one. WAV of any kind, and whatever else this browser plays.
      </span>
    </label>
  );
}

function sayState(source: Source, calls: number, phasing: boolean): string {
  const found = calls === 1 ? 'one call' : `${calls} calls`;
  switch (source.type) {
    case 'none':
      return calls > 0 ? `Stopped, ${found}.` : '';
    case 'file':
      return source.isOver
        ? `${source.name}: ${found} in ${source.seconds.toFixed(0)} s.`
        : `Reading ${source.name}…`;
    case 'input':
      return `Listening to ${source.label === '' ? 'the input' : source.label}: ${found}${phasing ? ', another began' : ''}.`;
  }
}

function Misses({ misses }: { misses: readonly NearMiss[] }) {
  if (misses.length === 0) return null;
  return (
    <details class="misses">
      <summary>
        {misses.length === 1
          ? 'One call began and was given up'
          : `${misses.length} calls began and were given up`}
      </summary>
      <ul>
        {misses.map(({ when, event }, i) => (
          <li key={i}>
            {when}, {event.baud} Bd around {event.centreHz.toFixed(0)} Hz: {event.reason}
          </li>
        ))}
      </ul>
    </details>
  );
}

export function ListenView() {
  const listening = useListening();
  const [band, setBand] = useState<BandChoice>('both');
  const [inputs, setInputs] = useState<readonly Device[]>([]);
  const [input, setInput] = useState('');
  const { source, heard, progress, drawing } = listening;
  const bands = band === 'both' ? ALL_BANDS : [band];
  const isInput = source.type === 'input';
  const isReading = source.type === 'file' && !source.isOver;
  const takeDrawing = useCallback(
    (created: Drawing) => {
      drawing.current = created;
    },
    [drawing],
  );
  useEffect(() => {
    if (isInput) void listDevices('audioinput').then(setInputs);
  }, [isInput]);
  const seconds = Math.round(COLUMNS * listening.columnSeconds);
  return (
    <>
      <header class="view-head">
        <h1>Listen</h1>
        <p>
          Calls are found and read here in the page, from a recording or from a receiver’s audio on the
          microphone or line input. Nothing is uploaded.
        </p>
      </header>
      <div class="sources">
        <DropZone
          onFile={(file) => {
            void listening.listenToFile(file, bands);
          }}
        />
        <div class="input-source">
          <SelectField label="Look for" value={band} onValue={setBand} choices={BAND_CHOICES} />
          {inputs.length > 1 && (
            <SelectField
              label="Input"
              value={input}
              onValue={setInput}
              choices={deviceChoices(inputs, 'Input')}
            />
          )}
          <p class="actions">
            {isInput || isReading ? (
              <button type="button" class="main" onClick={() => void listening.stop()}>
                Stop
              </button>
            ) : (
              <button
                type="button"
                class="main"
                onClick={() => void listening.listenToInput(input === '' ? undefined : input, bands)}
              >
                Use the microphone or line input
              </button>
            )}
          </p>
          {isInput && <Level peak={progress.peak} />}
          {isReading && (
            <progress aria-label="Read so far" max={source.seconds || 1} value={progress.seconds} />
          )}
        </div>
      </div>
      <Spectrogram
        columnSeconds={listening.columnSeconds}
        label={`Spectrogram, 0 to 4 kHz, ${isInput || source.type === 'none' ? `the last ${seconds} s` : `${source.seconds.toFixed(0)} s in all`}; calls are outlined`}
        onDrawing={takeDrawing}
      />
      <p class="state" role="status">
        {sayState(source, heard.length, listening.phasing)}
      </p>
      {listening.notices.length > 0 && (
        <ul class="notice" role="alert">
          {listening.notices.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      {heard.some(({ call }) => isDistress(call)) && <WatchCaution />}
      <section aria-label="Calls heard">
        <HeardList
          heard={heard}
          empty={source.type === 'none' ? 'Calls appear here as they end.' : 'No call so far.'}
        />
        <p class="hidden" role="status">
          {heard.length > 0 && `Heard: ${describeReceived(heard[heard.length - 1].call)}`}
        </p>
      </section>
      <Misses misses={listening.misses} />
    </>
  );
}
