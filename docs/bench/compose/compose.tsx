/**
 * Compose: a call from plain words to characters, slots, sound and a file.
 */
import {
  checkCall,
  describeCall,
  encodeCall,
  explainFields,
  type Frame,
  type Call,
  type Problem,
} from 'dotphase';
import { checkFrequency, followUp, followUpRequest, outlineCall } from 'dotphase/frequencies';
import { writeWav } from 'dotphase/wav';
import { useMemo, useState } from 'preact/hooks';
import { usePlayer } from '../audio/player.js';
import { logSent } from '../log/store.js';
import { TransmitCaution } from '../parts/cautions.js';
import { SelectField, Tick } from '../parts/fields.js';
import { copyText, saveFile } from '../parts/save.js';
import { findRuns } from '../strip/model.js';
import { Strip } from '../strip/strip.js';
import { compose, FIRST_DRAFT, type Draft } from './draft.js';
import { CallFields, FrequencyField, KindFields } from './form.js';
import { kindText } from './kinds.js';
import { settle } from './settle.js';
import { PLAYED_RATE, airSequence, bandOf, soundOf } from './sound.js';

const FILE_RATES = ['8000', '11025', '22050', '44100', '48000'] as const;

function sayFollowUp(call: Call | undefined, dscHz: number): string {
  if (!call) return '';
  const { text, receiveHz, transmitHz } = followUp(followUpRequest(call, dscHz));
  return `Then: ${text}${receiveHz === transmitHz ? '' : ', for the station that the call is addressed to'}`;
}

interface Remark {
  readonly level: Problem['level'];
  readonly title: string;
  readonly text: string;
  readonly rule?: string;
}

/** All that is wrong or unusual about a call on its frequency. */
function remarksOn(call: Call, dscHz: number): Remark[] {
  const misplaced = checkFrequency(outlineCall(call), dscHz);
  return [
    ...checkCall(call, { frequencyHz: dscHz }).map(({ level, field, expected, rule }): Remark => ({
      level,
      title: level === 'error' ? 'Against the standard' : 'Unusual',
      text: `${field}: expected ${expected}`,
      rule,
    })),
    ...(misplaced ? [{ level: 'warning' as const, title: 'Wrong frequency', ...misplaced }] : []),
    ...followUp(followUpRequest(call, dscHz)).warnings.map((text): Remark => ({
      level: 'warning',
      title: 'What follows',
      text,
    })),
  ];
}

function RemarkList({ remarks }: { remarks: readonly Remark[] }) {
  return (
    <ul class="problems">
      {remarks.map(({ level, title, text, rule }, i) => (
        <li key={i} class={level}>
          <b>{title}</b> {text} {rule !== undefined && <span class="rule">{rule}</span>}
        </li>
      ))}
    </ul>
  );
}

function Remarks({ call, dscHz }: { call: Call; dscHz: number }) {
  const remarks = remarksOn(call, dscHz);
  const grave = remarks.filter(({ level }) => level === 'error');
  const light = remarks.filter(({ level }) => level === 'warning');
  return (
    <>
      {grave.length > 0 && <RemarkList remarks={grave} />}
      {light.length > 0 && (
        <details>
          <summary>{light.length === 1 ? 'One thing is' : `${light.length} things are`} unusual</summary>
          <RemarkList remarks={light} />
        </details>
      )}
    </>
  );
}

function Timing({ sequence }: { sequence: Frame }) {
  const [sending] = sequence.sendings;
  const times = sequence.sendings.length === 1 ? '' : ` × ${sequence.sendings.length}`;
  return (
    <p class="timing">
      <b>{sequence.duration.toFixed(2)} s</b> on the air: {sending.dots} dots and {sending.slots.length} slots
      {times} at {sequence.band === 'vhf' ? '1200 Bd' : '100 Bd'}
    </p>
  );
}

function Output({ call, draft }: { call: Call; draft: Draft }) {
  const player = usePlayer();
  const [said, setSaid] = useState('');
  const [rate, setRate] = useState<(typeof FILE_RATES)[number]>('48000');
  const [isSafe, setSafe] = useState(false);
  const { dscHz, sendings, kind } = draft;
  const { sequence, runs } = useMemo(() => {
    const symbols = encodeCall(call).symbols;
    const expansions = encodeCall(call).expansions;
    const framed = airSequence(call, bandOf(dscHz), sendings);
    const slots = framed.sendings[0].slots;
    const characters = slots.filter((slot) => slot.position === 'DX' && slot.character !== undefined).length;
    return { sequence: framed, runs: findRuns(explainFields(symbols), expansions, characters) };
  }, [call, dscHz, sendings]);
  const { priority } = kindText(kind);
  const { playing } = player;
  const start = () => {
    void logSent(call, { frequencyHz: dscHz }, player.start(soundOf(sequence), PLAYED_RATE));
    setSaid('Playing, and noted in the log.');
  };
  const save = () => {
    const sampleRate = Number(rate);
    const bytes = writeWav({ sampleRate, channels: [soundOf(sequence, sampleRate)] });
    saveFile(`${kind}.wav`, bytes as Uint8Array<ArrayBuffer>, 'audio/wav');
    setSaid(`Saved as ${kind}.wav.`);
  };
  const copy = async () => {
    setSaid(
      (await copyText(JSON.stringify(call, null, 2))) ? 'Copied.' : 'The browser did not allow copying.',
    );
  };
  return (
    <>
      <p class="sentence" role="status">
        {describeCall(call)}
      </p>
      <Remarks call={call} dscHz={dscHz} />
      {priority !== undefined && (
        <>
          <TransmitCaution priority={priority} />
          <Tick
            label="No transmitter on the air is connected to this sound"
            checked={isSafe}
            onValue={setSafe}
          />
        </>
      )}
      <div class="actions">
        {playing ? (
          <button
            type="button"
            class="main"
            onClick={() => {
              player.stop();
            }}
          >
            Stop
          </button>
        ) : (
          <button type="button" class="main" disabled={priority !== undefined && !isSafe} onClick={start}>
            Play
          </button>
        )}
        <span class="joined">
          <button type="button" onClick={save}>
            Save WAV
          </button>
          <label>
            <span class="hidden">Sample rate of the file</span>
            <select
              value={rate}
              onChange={(event) => {
                setRate(event.currentTarget.value as typeof rate);
              }}
            >
              {FILE_RATES.map((hz) => (
                <option key={hz} value={hz}>
                  {hz} Hz
                </option>
              ))}
            </select>
          </label>
        </span>
        <button type="button" onClick={() => void copy()}>
          Copy JSON
        </button>
        <span class="said" role="status">
          {said}
        </span>
      </div>
      <Timing sequence={sequence} />
      <Strip sequence={sequence} runs={runs} clock={playing?.clock} />
    </>
  );
}

const SENDINGS = [
  { value: '1', text: 'Once' },
  { value: '5', text: 'Five times in a row: one attempt' },
] as const;

export function ComposeView() {
  const [draft, setDraft] = useState(FIRST_DRAFT);
  const composed = useMemo(() => compose(draft), [draft]);
  const change = (part: Partial<Draft>) => {
    setDraft((before) => settle(before, part));
  };
  return (
    <>
      <header class="view-head">
        <h1>Compose</h1>
        <p>Say what the call is to do; see its characters, slots and timing; hear it or save it as a file.</p>
      </header>
      <div class="compose">
        <form
          class="sheet"
          aria-label="The call"
          onSubmit={(event) => {
            event.preventDefault();
          }}
        >
          <KindFields draft={draft} change={change} />
          <CallFields draft={draft} complaints={composed.complaints} change={change} />
          <FrequencyField
            draft={draft}
            composed={composed}
            change={change}
            reading={sayFollowUp(composed.call, draft.dscHz)}
          />
          {draft.kind === 'distressAlert' && (
            <SelectField
              label="Sendings"
              value={String(draft.sendings) as '1' | '5'}
              onValue={(sendings) => {
                change({ sendings: Number(sendings) });
              }}
              choices={SENDINGS}
            />
          )}
        </form>
        <section class="result" aria-label="The call on the air">
          {composed.call ? (
            <Output key={draft.kind} call={composed.call} draft={draft} />
          ) : (
            <p class="empty" role="status">
              {Object.keys(composed.complaints).length === 1 ? 'One field needs' : 'Some fields need'} another
              look before this is a call.
            </p>
          )}
        </section>
      </div>
    </>
  );
}
