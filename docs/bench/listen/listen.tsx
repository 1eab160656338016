/**
 * Listen: calls out of a recording, a microphone or a line input.
 */
import { describeReceived, type Band } from 'dotphase';
import { DSC_FREQUENCIES, VHF_DSC_HZ, formatFrequency } from 'dotphase/frequencies';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { deviceChoices, listDevices, type Device } from '../audio/devices.js';
import { joinSpeaker } from '../audio/player.js';
import { ReadingLanes } from '../exchange/lanes.js';
import { WatchCaution } from '../parts/cautions.js';
import { SelectField } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { DropZone } from './dropzone.js';
import { useDrops } from './drops.js';
import { ALL_BANDS } from './ear.js';
import { HeardList, isDistress } from './heard.js';
import { Level } from './level.js';
import { LiveTones } from './livetones.js';
import { useListening, type Batch, type NearMiss } from './listening.js';
import { COLUMNS, Spectrogram, WHOLE_BAND, rangeAround, type Box, type Drawing } from './spectrogram.js';

type BandChoice = 'both' | Band;

const BAND_CHOICES: readonly { value: BandChoice; text: string }[] = [
  { value: 'both', text: 'MF/HF and VHF' },
  { value: 'mf-hf', text: 'MF/HF, 100 Bd' },
  { value: 'vhf', text: 'VHF channel 70, 1200 Bd' },
];

function sayBatch({ isInput, name, seconds, progress, heard }: Batch): string {
  const found = heard.length === 1 ? 'one call' : heard.length === 0 ? 'no calls' : `${heard.length} calls`;
  switch (progress.type) {
    case 'looking':
      return `Looking through ${name}: ${Math.round(100 * progress.share)} %.`;
    case 'reading':
      return isInput ? `Listening to ${name}: ${found} so far.` : `Reading ${name}: ${found} so far.`;
    case 'over':
      return `${name}: ${found} in ${seconds.toFixed(0)} s.`;
    case 'stopped':
      return isInput
        ? `Stopped, ${found}.`
        : `${name}: stopped after ${progress.after.toFixed(0)} of ${seconds.toFixed(0)} s, ${found} so far.`;
    case 'failed':
      return '';
  }
}

function sayEmpty(batch: Batch | undefined): string {
  if (!batch || batch.progress.type === 'failed') return 'Calls appear here as they end.';
  const isRunning = batch.progress.type === 'looking' || batch.progress.type === 'reading';
  return isRunning ? 'No call so far.' : 'No call was found.';
}

/** The recording itself, to be heard; the cursor in the spectrogram follows it. */
function Recording({ file, onCursor }: { file: File; onCursor: (seconds: number | undefined) => void }) {
  const element = useRef<HTMLAudioElement>(null);
  const [url, setUrl] = useState('');
  useEffect(() => {
    const created = URL.createObjectURL(file);
    setUrl(created);
    return () => {
      URL.revokeObjectURL(created);
      onCursor(undefined);
    };
  }, [file]);
  useEffect(() => (element.current ? joinSpeaker(element.current) : undefined), [url]);
  return (
    <audio
      ref={element}
      controls
      preload="metadata"
      aria-label="The recording"
      src={url === '' ? undefined : url}
      onTimeUpdate={(event) => {
        onCursor(event.currentTarget.currentTime);
      }}
    />
  );
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

const FREQUENCIES: readonly { readonly value: string; readonly text: string }[] = [
  { value: '', text: 'not told' },
  ...DSC_FREQUENCIES.filter(({ band }) => band !== 'VHF').map(({ hz }) => ({
    value: String(hz),
    text: formatFrequency(hz),
  })),
];

/** A call among all batches. */
interface Chosen {
  readonly batch: number;
  readonly id: number;
}

export function ListenView() {
  const listening = useListening();
  const [band, setBand] = useKept<BandChoice>('listen band', 'both');
  const [frequency, setFrequency] = useKept('listen frequency', '');
  const [view, setView] = useState<'calls' | 'whole'>('calls');
  const [inputs, setInputs] = useState<readonly Device[]>([]);
  const [input, setInput] = useState('');
  const [chosen, setChosen] = useState<Chosen>();
  const [cursor, setCursor] = useState<number>();
  const { batches, taken, drawing, sayWhen, reading } = listening;
  const batch = batches.at(-1);
  const bands = band === 'both' ? ALL_BANDS : [band];
  const settings = { bands, frequencyHz: frequency === '' ? undefined : Number(frequency) };
  const isRunning = batch?.progress.type === 'looking' || batch?.progress.type === 'reading';
  const isInput = batch?.isInput === true && isRunning;
  const listenTo = (files: readonly File[]) => {
    setChosen(undefined);
    void listening.listenToFiles(files, settings);
  };
  const isOver = useDrops('listen', listenTo);
  const takeDrawing = useCallback(
    (created: Drawing) => {
      drawing.current = created;
    },
    [drawing],
  );
  useEffect(() => {
    void listDevices('audioinput').then(setInputs);
  }, [isInput]);
  const list = useRef<HTMLElement>(null);
  useEffect(() => {
    list.current?.querySelector('[aria-expanded=true]')?.scrollIntoView({ block: 'nearest' });
  }, [chosen]);
  const heard = batches.flatMap((each) => each.heard);
  const boxes = (batch?.heard ?? []).flatMap(({ id, sendings }) =>
    sendings.map(({ call }): Box => ({ ...call, id, text: describeReceived(call) })),
  );
  const range = view === 'whole' ? WHOLE_BAND : rangeAround(boxes);
  const seconds = Math.round(COLUMNS * listening.columnSeconds);
  const length = batch && !batch.isInput ? `${batch.seconds.toFixed(0)} s in all` : `the last ${seconds} s`;
  const frequencyOf = ({ baud }: { baud: number }) => (baud === 1200 ? VHF_DSC_HZ : settings.frequencyHz);
  return (
    <div class={isOver ? 'dropping' : ''}>
      <header class="view-head">
        <h1>Listen</h1>
        <p>
          Calls are found and read here in the page, from recordings or from a receiver’s audio on the
          microphone or line input. Nothing is uploaded.
        </p>
      </header>
      <div class="sources">
        <DropZone onFiles={listenTo} />
        <div class="input-source">
          <fieldset class="plain pair" disabled={isRunning}>
            <SelectField label="Look for" value={band} onValue={setBand} choices={BAND_CHOICES} />
            <SelectField
              label="Receiver tuned to (100 Bd)"
              value={frequency}
              onValue={setFrequency}
              choices={FREQUENCIES}
            />
            {inputs.length > 1 && (
              <SelectField
                label="Input"
                value={input}
                onValue={setInput}
                choices={deviceChoices(inputs, 'Input', input)}
              />
            )}
          </fieldset>
          <p class="actions">
            {isRunning ? (
              <button type="button" class="main" onClick={() => void listening.stop()}>
                Stop
              </button>
            ) : (
              <button
                type="button"
                class="main"
                onClick={() => {
                  setChosen(undefined);
                  void listening.listenToInput(input === '' ? undefined : input, settings);
                }}
              >
                Use the microphone or line input
              </button>
            )}
          </p>
          {isInput && <Level peak={taken.peak} />}
          {isRunning && !isInput && (
            <progress
              aria-label="Read so far"
              max={1}
              value={
                batch.progress.type === 'looking'
                  ? 0.1 * batch.progress.share
                  : 0.1 + (0.9 * taken.seconds) / (batch.seconds || 1)
              }
            />
          )}
        </div>
      </div>
      <div class="spectrum-head">
        {batches.map((each) => (
          <p key={each.id} class="state" role="status">
            {sayBatch(each)}
          </p>
        ))}
        {boxes.length > 0 && (
          <button
            type="button"
            class="quiet"
            onClick={() => {
              setView(view === 'whole' ? 'calls' : 'whole');
            }}
          >
            {view === 'whole' ? 'Close up on the calls' : 'Show the whole band'}
          </button>
        )}
      </div>
      <Spectrogram
        columnSeconds={listening.columnSeconds}
        seconds={taken.seconds}
        range={range}
        boxes={boxes}
        chosen={chosen && chosen.batch === batch?.id ? chosen.id : undefined}
        cursor={cursor}
        say={sayWhen}
        label={`Spectrogram, ${range.low.toFixed(0)} to ${range.high.toFixed(0)} Hz, ${length}; calls are outlined`}
        onDrawing={takeDrawing}
        onBox={(id) => {
          if (batch) setChosen({ batch: batch.id, id });
        }}
      />
      {listening.file && !isRunning && <Recording file={listening.file} onCursor={setCursor} />}
      {reading && (
        <div class="came">
          <p class="on-air">
            <b class="sounding">A call comes in</b> {reading.slots.length} characters at {reading.baud} Bd
            around {reading.centreHz.toFixed(0)} Hz
          </p>
          <LiveTones slots={reading.latest} />
          <p class="reading">Energy of the tone of B upwards, of Y downwards, in each of the latest bits.</p>
          <ReadingLanes slots={reading.slots} />
        </div>
      )}
      {listening.notices.length > 0 && (
        <ul class="notice" role="alert">
          {listening.notices.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      {heard.some(({ call }) => isDistress(call)) && <WatchCaution />}
      <section ref={list} aria-label="Calls heard">
        {heard.length === 0 && <p class="empty">{sayEmpty(batch)}</p>}
        {batches
          .filter((each) => each.heard.length > 0)
          .map((each) => (
            <div key={each.id}>
              {batches.length > 1 && <h2 class="day">{each.name}</h2>}
              <HeardList
                heard={each.heard}
                chosen={chosen?.batch === each.id ? chosen.id : undefined}
                frequencyOf={frequencyOf}
                clipOf={(call) => listening.clipOf(each.id, call)}
                onChosen={(id) => {
                  setChosen(id === undefined ? undefined : { batch: each.id, id });
                }}
              />
            </div>
          ))}
        <p class="hidden" role="status">
          {heard.length > 0 && `Heard: ${describeReceived(heard[heard.length - 1].call)}`}
        </p>
      </section>
      <Misses misses={listening.misses} />
    </div>
  );
}
