/**
 * Compose: a call from plain words to characters, slots, sound and a file.
 */
import {
  DotphaseError,
  bandOf,
  checkCall,
  describeCall,
  explainFields,
  type Call,
  type Problem,
} from 'dotphase';
import { checkFrequency, followUp, followUpRequest, outlineCall } from 'dotphase/frequencies';
import { writeWav } from 'dotphase/wav';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { usePlayer } from '../audio/player.js';
import { SentLanes, useSeconds } from '../exchange/lanes.js';
import { priorityOf } from '../exchange/say.js';
import { logSent } from '../log/store.js';
import { NoTransmitterTick, TransmitCaution } from '../parts/cautions.js';
import { SelectField, TextField, Tick } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { copyText, saveFile } from '../parts/save.js';
import { Slider } from '../parts/slider.js';
import { findRuns } from '../strip/model.js';
import { Strip } from '../strip/strip.js';
import { TimeLanes } from '../wall/timelanes.js';
import { Wall, WallButton } from '../wall/wall.js';
import { compose, FIRST_DRAFT, type Draft } from './draft.js';
import { CallFields, FrequencyField, KindFields } from './form.js';
import { draftFromJson, draftOfLink, linkTo } from './fromcall.js';
import { kindText } from './kinds.js';
import { settle } from './settle.js';
import { PLAYED_RATE } from './sound.js';
import {
  CONDITIONS,
  NOTHING_BETWEEN,
  NO_FAULTS,
  leadOf,
  signalOf,
  soundThrough,
  type Between,
  type Faults,
  type Signal,
} from './signal.js';

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

/** Examples bear the MID that is allotted to nobody, which stands beside the identity: nothing unusual is said of it. */
function isAboutExample({ value, expected }: Problem): boolean {
  return expected === 'allocated digits in place of 299' && typeof value === 'string';
}

/** All that is wrong or unusual about a call on its frequency. */
function remarksOn(call: Call, dscHz: number): Remark[] {
  const misplaced = checkFrequency(outlineCall(call), dscHz);
  const problems = checkCall(call, { frequencyHz: dscHz }).filter((problem) => !isAboutExample(problem));
  return [
    ...problems.map(({ level, field, expected, rule }): Remark => ({
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

function Timing({ signal }: { signal: Signal }) {
  const { frame, bits } = signal;
  const [sending] = frame.sendings;
  const times = frame.sendings.length === 1 ? '' : ` × ${frame.sendings.length}`;
  const shown = (frame.duration * bits) / frame.bits.length;
  return (
    <p class="timing">
      <b>{shown.toFixed(2)} s</b> on the air: {sending.dots} dots and {sending.slots.length} slots
      {times} at {frame.band === 'vhf' ? '1200 Bd' : '100 Bd'}
      {bits < frame.bits.length && `, cut off before ${frame.duration.toFixed(2)} s`}
    </p>
  );
}

function Lesson({
  faults,
  between,
  isVhf,
  onFaults,
  onBetween,
}: {
  faults: Faults;
  between: Between;
  isVhf: boolean;
  onFaults: (part: Partial<Faults>) => void;
  onBetween: (part: Partial<Between>) => void;
}) {
  return (
    <details class="lesson">
      <summary>Noise, fading and faults on purpose</summary>
      <div class="pair">
        <SelectField<Between['condition']>
          label="It goes through"
          value={between.condition}
          onValue={(condition) => {
            onBetween({ condition });
          }}
          groups={CONDITIONS.map(({ title, choices }) => ({
            title,
            choices: choices.filter(({ onVhf }) => !isVhf || onVhf === true),
          })).filter(({ choices }) => choices.length > 0)}
        />
        {between.condition !== 'none' && (
          <>
            <Slider
              label="Signal to noise in 3 kHz"
              value={between.snrDb}
              min={-20}
              max={40}
              unit="dB"
              onValue={(snrDb) => {
                onBetween({ snrDb });
              }}
            />
            <TextField
              label="Seed: the same gives the same noise"
              numeric
              size={8}
              value={String(between.seed)}
              onValue={(text) => {
                if (/^\d{1,9}$/.test(text)) onBetween({ seed: Number(text) });
              }}
            />
          </>
        )}
      </div>
      <Tick
        label="A wrong error check"
        checked={faults.wrongCheck}
        onValue={(wrongCheck) => {
          onFaults({ wrongCheck });
        }}
      />
      <Tick
        label="DX lost: only the repetitions in RX are left"
        checked={faults.lostDx}
        onValue={(lostDx) => {
          onFaults({ lostDx });
        }}
      />
      <Slider
        label="Ends after"
        value={faults.cutPercent}
        min={20}
        max={100}
        unit="% of its length"
        onValue={(cutPercent) => {
          onFaults({ cutPercent });
        }}
      />
    </details>
  );
}

/** What stands on the wall while a call is composed or plays. */
function ComposeWall({
  call,
  dscHz,
  signal,
  clock,
}: {
  call: Call;
  dscHz: number;
  signal: Signal;
  clock?: (() => number) | undefined;
}) {
  const began = useMemo(() => (clock ? Date.now() - 1000 * clock() : 0), [clock]);
  const seconds = useSeconds(began, clock !== undefined);
  return (
    <>
      <SentLanes
        call={call}
        frequencyHz={dscHz}
        repeat={signal.frame.sendings.length}
        seconds={clock ? seconds : Infinity}
      />
      <p class="wall-phase">{sayFollowUp(call, dscHz)}</p>
      <TimeLanes
        names={['This call', '']}
        times={[{ lane: 0, from: 0, to: 1000 * signal.frame.duration, text: call.kind }]}
        isRunning={false}
      />
    </>
  );
}

function Output({ call, draft, isStale }: { call: Call; draft: Draft; isStale: boolean }) {
  const player = usePlayer();
  const [said, setSaid] = useState('');
  const [rate, setRate] = useState<(typeof FILE_RATES)[number]>('48000');
  const [isSafe, setSafe] = useState(false);
  const [faults, setFaults] = useState(NO_FAULTS);
  const [chosenBetween, setBetween] = useKept('compose channel', NOTHING_BETWEEN);
  const { dscHz, sendings, kind } = draft;
  const isVhf = bandOf(dscHz) === 'vhf';
  const isOffered = CONDITIONS.some(({ choices }) =>
    choices.some(({ value, onVhf }) => value === chosenBetween.condition && (!isVhf || onVhf === true)),
  );
  const between = isOffered ? chosenBetween : NOTHING_BETWEEN;
  const { signal, runs } = useMemo(() => {
    const made = signalOf(call, bandOf(dscHz), sendings, faults);
    const characters = made.frame.sendings[0].slots.filter(
      (slot) => slot.position === 'DX' && slot.character !== undefined,
    ).length;
    return { signal: made, runs: findRuns(explainFields(made.symbols), made.expansions, characters) };
  }, [JSON.stringify(call), dscHz, sendings, faults]);
  const { priority } = kindText(kind);
  const { playing } = player;
  // What is drawn is what sounds: a change ends the sound of before.
  useEffect(() => {
    player.stop();
  }, [signal, between, isStale]);
  const start = () => {
    const samples = soundThrough(signal, between, PLAYED_RATE);
    const over = player.start(samples, PLAYED_RATE);
    over.then(
      () => undefined,
      (error: unknown) => {
        setSaid(error instanceof Error ? error.message : String(error));
      },
    );
    setSaid('Playing, and noted in the log.');
    void logSent(call, { frequencyHz: dscHz }, over);
  };
  const save = () => {
    const sampleRate = Number(rate);
    const bytes = writeWav({ sampleRate, channels: [soundThrough(signal, between, sampleRate)] });
    saveFile(`${kind}.wav`, bytes as Uint8Array<ArrayBuffer>, 'audio/wav');
    setSaid(`Saved as ${kind}.wav.`);
  };
  const copy = async (text: string) => {
    setSaid((await copyText(text)) ? 'Copied.' : 'The browser did not allow copying.');
  };
  const isGrave = priority === 'distress' || priority === 'urgency';
  const lead = leadOf(between);
  const clock = useMemo(() => playing && (() => Math.max(0, playing.clock() - lead)), [playing, lead]);
  return (
    <>
      <div class={`strip-part${isStale ? ' stale' : ''}`}>
        <p class={`sentence of-${priority ?? 'routine'}`} role="status">
          {describeCall(call)}
        </p>
        {priority !== undefined && <TransmitCaution priority={priority} />}
        <Timing signal={signal} />
        <Strip sequence={signal.frame} runs={runs} clock={clock} isLost={signal.isLost} end={signal.bits} />
      </div>
      <div class="output-actions">
        {isGrave && <NoTransmitterTick checked={isSafe} onValue={setSafe} />}
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
            <button type="button" class="main" disabled={isStale || (isGrave && !isSafe)} onClick={start}>
              Play
            </button>
          )}
          <span class="joined">
            <button type="button" disabled={isStale} onClick={save}>
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
          <button type="button" disabled={isStale} onClick={() => void copy(JSON.stringify(call, null, 2))}>
            Copy JSON
          </button>
          <button
            type="button"
            disabled={isStale}
            onClick={() => void copy(location.href.replace(/#.*/, '') + linkTo(call, dscHz))}
          >
            Copy link
          </button>
          <span class="said" role="status">
            {said}
          </span>
        </div>
      </div>
      <div class="output-part">
        <Remarks call={call} dscHz={dscHz} />
        <Lesson
          faults={faults}
          between={between}
          isVhf={isVhf}
          onFaults={(part) => {
            setFaults((before) => ({ ...before, ...part }));
          }}
          onBetween={(part) => {
            setBetween((before) => ({ ...before, ...part }));
          }}
        />
      </div>
      <Wall view="compose" category={priorityOf(call)} label="The call, large">
        <ComposeWall call={call} dscHz={dscHz} signal={signal} clock={clock} />
      </Wall>
    </>
  );
}

/** A call in JSON, put in. */
function PutIn({ onText }: { onText: (text: string) => string }) {
  const [text, setText] = useState('');
  const [said, setSaid] = useState('');
  return (
    <details class="put-in">
      <summary>Put in a call as JSON</summary>
      <label class="field">
        <span>JSON of a call</span>
        <textarea
          rows={5}
          spellcheck={false}
          value={text}
          onInput={(event) => {
            setText(event.currentTarget.value);
          }}
        />
      </label>
      <p class="actions">
        <button
          type="button"
          disabled={text.trim() === ''}
          onClick={() => {
            setSaid(onText(text));
          }}
        >
          Put it in
        </button>
        <span class="said" role="status">
          {said}
        </span>
      </p>
    </details>
  );
}

function sayError(error: unknown): string {
  if (!(error instanceof DotphaseError)) throw error;
  return `${error.field}: expected ${error.expected}.`;
}

const SENDINGS = [
  { value: '1', text: 'Once' },
  { value: '5', text: 'Five times in a row: one attempt' },
] as const;

export function ComposeView() {
  const [draft, setDraft] = useKept('draft', FIRST_DRAFT);
  const [complaint, setComplaint] = useState('');
  const composed = useMemo(() => compose(draft), [draft]);
  /** The last draft that was a call: what is drawn while a field is being typed. */
  const good = useRef<{ call: Call; draft: Draft }>(undefined);
  if (composed.call) good.current = { call: composed.call, draft };
  const change = (part: Partial<Draft>) => {
    setDraft((before) => settle(before, part));
  };
  useEffect(() => {
    const follow = () => {
      const { hash } = location;
      if (!hash.startsWith('#compose/')) return;
      try {
        setDraft((before) => draftOfLink(hash, before) ?? before);
        setComplaint('');
      } catch (error) {
        setComplaint(sayError(error));
      }
      // A reload keeps the draft, not the call of the link.
      history.replaceState(null, '', '#compose');
    };
    follow();
    addEventListener('hashchange', follow);
    return () => {
      removeEventListener('hashchange', follow);
    };
  }, []);
  const putIn = (text: string): string => {
    try {
      setDraft(draftFromJson(text, draft));
      return 'It stands in the form.';
    } catch (error) {
      return sayError(error);
    }
  };
  return (
    <>
      <header class="view-head with-action">
        <div>
          <h1>Compose</h1>
          <p>
            Say what the call is to do; see its characters, slots and timing; hear it or save it as a file.
          </p>
        </div>
        <WallButton view="compose" />
      </header>
      {complaint !== '' && (
        <p class="notice" role="alert">
          {complaint}
        </p>
      )}
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
          <PutIn onText={putIn} />
        </form>
        <section class="result" aria-label="The call on the air">
          {!composed.call && (
            <p class="empty" role="status">
              {Object.keys(composed.complaints).length === 1 ? 'One field needs' : 'Some fields need'} another
              look before this is a call.
            </p>
          )}
          {good.current && (
            <Output
              key={good.current.draft.kind}
              call={good.current.call}
              draft={good.current.draft}
              isStale={!composed.call}
            />
          )}
        </section>
      </div>
    </>
  );
}
