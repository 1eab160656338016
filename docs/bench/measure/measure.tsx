/**
 * Measure: what a set sends, in figures with their uncertainties and verdicts; and signals to adjust it by.
 */
import { DotphaseError } from 'dotphase';
import {
  remarksOn,
  clockWithin,
  createReport,
  figureText,
  judgeCall,
  judgeTogether,
  readReport,
  reportHtml,
  reportJson,
  type EarlierReport,
  type JudgedCall,
} from 'dotphase/measure';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { deviceChoices, listDevices, type Device } from '../audio/devices.js';
import { useDrops } from '../listen/drops.js';
import { DropZone } from '../listen/dropzone.js';
import { isDistress } from '../listen/heard.js';
import { Level } from '../listen/level.js';
import { WatchCaution } from '../parts/cautions.js';
import { RadioRow, SelectField, TextField } from '../parts/fields.js';
import { useKept } from '../parts/kept.js';
import { saveFile } from '../parts/save.js';
import { takeHandedOver } from './handover.js';
import { useMeasuring, type Progress, type SourcedCall } from './measuring.js';
import { Drawings, FigureTable, Notes, Result, earlierFigures, isOfBand, sayFrequency } from './results.js';
import {
  FIRST_SETTINGS,
  settingsOf,
  type ClockKind,
  type RecordingKind,
  type Settings,
  type SettingsDraft,
} from './settings.js';
import { BenchSignals } from './signals.js';

const CLOCKS: readonly { value: ClockKind; text: string }[] = [
  { value: 'unknown', text: 'Not known: ±100 ppm' },
  { value: 'within', text: 'Known' },
  { value: 'reference', text: 'By a reference in the sound' },
];

const KINDS: readonly { value: RecordingKind; text: string }[] = [
  { value: 'audio', text: 'Audio' },
  { value: 'slice', text: 'A slice of spectrum, I and Q' },
];

/** The draft of the settings, what is wrong with it, and how a part of it is changed. */
interface DraftProps {
  readonly draft: SettingsDraft;
  readonly complaints: Settings['complaints'];
  readonly change: (part: Partial<SettingsDraft>) => void;
}

/** Settings that are text. */
type TextName = Exclude<keyof SettingsDraft, 'kind' | 'clock' | 'referenceChannel'>;

/** One of the settings as a line of text. */
function DraftField({
  name,
  draft,
  complaints,
  change,
  ...look
}: DraftProps & { name: TextName } & Pick<
    Parameters<typeof TextField>[0],
    'label' | 'numeric' | 'size' | 'reading'
  >) {
  return (
    <TextField
      {...look}
      value={draft[name]}
      complaint={complaints[name]}
      onValue={(value) => {
        change({ [name]: value });
      }}
    />
  );
}

/** What recordings hold. */
function KindFields(props: DraftProps) {
  const { draft, change } = props;
  return (
    <>
      <RadioRow
        legend="Recordings hold"
        value={draft.kind}
        onValue={(kind) => {
          change({ kind });
        }}
        choices={KINDS}
      />
      {draft.kind === 'slice' && (
        <DraftField
          name="tuned"
          label="Tuned to, kHz: the middle of the slice"
          numeric
          size={10}
          reading="WAV with two channels. SigMF, both files together, tells it itself."
          {...props}
        />
      )}
    </>
  );
}

function ClockFields(props: DraftProps) {
  const { draft, change } = props;
  return (
    <>
      <RadioRow
        legend={`Clock of the ${draft.kind === 'slice' ? 'receiver' : 'sound card'}`}
        value={draft.kind === 'slice' && draft.clock === 'reference' ? 'unknown' : draft.clock}
        onValue={(clock) => {
          change({ clock });
        }}
        choices={draft.kind === 'slice' ? CLOCKS.filter(({ value }) => value !== 'reference') : CLOCKS}
      />
      {draft.clock === 'within' && (
        <DraftField name="clockPpm" label="Off by at most, ppm either way" numeric size={8} {...props} />
      )}
      {draft.clock === 'reference' && draft.kind === 'audio' && (
        <div class="pair">
          <DraftField
            name="referenceHz"
            label="True frequency, Hz"
            numeric
            size={10}
            reading="A steady tone; below 20 Hz pulses, 1 for one a second."
            {...props}
          />
          <SelectField
            label="It is"
            value={draft.referenceChannel}
            onValue={(referenceChannel) => {
              change({ referenceChannel });
            }}
            choices={[
              { value: '0', text: 'with the calls, before or beside them' },
              { value: '1', text: 'on the second channel of the recording' },
            ]}
          />
        </div>
      )}
    </>
  );
}

function KnownFields(props: DraftProps) {
  const { draft, complaints, change } = props;
  return (
    <details class="known-of-set">
      <summary>What it ought to send, and limits of your own</summary>
      <div class="pair">
        <DraftField name="identity" label="Identity" numeric size={12} {...props} />
        <DraftField name="latitude" label="Latitude, degrees (south −)" numeric size={10} {...props} />
        <DraftField name="longitude" label="Longitude, degrees (west −)" numeric size={10} {...props} />
        <DraftField name="time" label="Time, HH:MM in UTC" size={8} {...props} />
      </div>
      <label class="field">
        <span>Limits in JSON, by the names of figures</span>
        <textarea
          rows={3}
          spellcheck={false}
          placeholder={'{"levelDifferenceDb": [-1, 1], "droopDb": [-0.5, 0.5]}'}
          value={draft.limits}
          aria-invalid={complaints.limits !== undefined}
          onInput={(event) => {
            change({ limits: event.currentTarget.value });
          }}
        />
      </label>
      {complaints.limits !== undefined && <p class="complaint">{complaints.limits}</p>}
    </details>
  );
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

function sayProgress(progress: Progress | undefined, calls: number): string {
  if (!progress) return '';
  const { name, isInput, isRunning, seconds, of } = progress;
  const found = calls === 0 ? 'no call' : calls === 1 ? 'one call' : `${calls} calls`;
  if (isRunning)
    return isInput
      ? `Listening to ${name}: ${found} measured so far.`
      : `Reading ${name}${of === undefined ? '' : `, ${percent(seconds / of)}`}: ${found} measured so far.`;
  return `${name}: ${found} measured in ${seconds.toFixed(0)} s.`;
}

/** Fields and buttons of the report. */
function Report({
  calls,
  settings,
  clock,
  draft,
  change,
  before,
  onBefore,
}: {
  calls: readonly JudgedCall[];
  settings: Settings;
  clock: ReturnType<typeof clockWithin>;
  draft: SettingsDraft;
  change: (part: Partial<SettingsDraft>) => void;
  before: EarlierReport | undefined;
  onBefore: (report: EarlierReport | undefined) => void;
}) {
  const [said, setSaid] = useState('');
  const fields = { draft, complaints: settings.complaints, change };
  const make = () =>
    createReport({
      bands: judgeTogether(calls, { ...settings.judge, clock }),
      clock,
      clockSource: settings.clockSource,
      set: draft.set.trim() === '' ? 'A set' : draft.set.trim(),
      by: draft.by.trim(),
      setup: draft.setup.trim(),
      when: new Date().toISOString(),
    });
  const takeBefore = async (file: File) => {
    try {
      onBefore(readReport(JSON.parse(await file.text())));
      setSaid(`Compared with ${file.name}.`);
    } catch (error) {
      const expected =
        error instanceof DotphaseError ? error.expected : 'a report in JSON, as this page saves it';
      setSaid(`${file.name}: expected ${expected}.`);
    }
  };
  return (
    <section class="measured-report" aria-labelledby="measured-report">
      <h2 id="measured-report">Report</h2>
      <div class="pair">
        <DraftField name="set" label="Which set" {...fields} />
        <DraftField name="by" label="Measured by" {...fields} />
        <DraftField name="setup" label="With what: cable or dummy load, pick-up, sound card" {...fields} />
      </div>
      <p class="actions">
        <button
          type="button"
          class="main"
          onClick={() => {
            saveFile('report.html', reportHtml(make(), before), 'text/html');
            setSaid('Saved as report.html: it prints on two A4 pages.');
          }}
        >
          Save report
        </button>
        <button
          type="button"
          onClick={() => {
            saveFile('report.json', reportJson(make()), 'application/json');
            setSaid('Saved as report.json: keep it to compare with later.');
          }}
        >
          Save JSON
        </button>
        <button
          type="button"
          onClick={() => {
            print();
          }}
        >
          Print this page
        </button>
        <label class="file-button">
          Compare with an earlier report (JSON)
          <input
            type="file"
            accept=".json,application/json"
            onChange={(event) => {
              const [file] = event.currentTarget.files ?? [];
              event.currentTarget.value = '';
              void takeBefore(file);
            }}
          />
        </label>
        {before && (
          <button
            type="button"
            class="quiet"
            onClick={() => {
              onBefore(undefined);
              setSaid('');
            }}
          >
            Compare no more
          </button>
        )}
        <span class="said" role="status">
          {said}
        </span>
      </p>
    </section>
  );
}

/** The calls one by one; one can be chosen in place of all together. */
function CallList({
  calls,
  chosen,
  onChosen,
}: {
  calls: readonly (SourcedCall & JudgedCall)[];
  chosen: number | undefined;
  onChosen: (id: number | undefined) => void;
}) {
  const saySome = (count: number, words: string) => (count === 0 ? '' : `${count} ${words}`);
  const sayVerdicts = ({ verdicts }: JudgedCall) => {
    const count = (wanted: string) => verdicts.filter(({ verdict }) => verdict === wanted).length;
    return (
      [saySome(count('outside'), 'outside'), saySome(count('cannotTell'), 'can’t tell')]
        .filter((text) => text !== '')
        .join(', ') || 'all within'
    );
  };
  return (
    <ol class="measured-calls" aria-label="Calls measured">
      {calls.map((call) => (
        <li key={call.id}>
          <button
            type="button"
            aria-pressed={call.id === chosen}
            onClick={() => {
              onChosen(call.id === chosen ? undefined : call.id);
            }}
          >
            <span class="when">{call.when}</span>
            <span class="what">
              {call.text}
              {sayFrequency(call.measured)}
            </span>
            <span class="verdicts">{sayVerdicts(call)}</span>
          </button>
        </li>
      ))}
    </ol>
  );
}

/** Calls listed at once; more are in the figures all the same. */
const LISTED = 100;

export function MeasureView() {
  const measuring = useMeasuring();
  const [draft, setDraft] = useKept('measure', FIRST_SETTINGS);
  const [inputs, setInputs] = useState<readonly Device[]>([]);
  const [input, setInput] = useState('');
  const [chosen, setChosen] = useState<number>();
  const [before, setBefore] = useState<EarlierReport>();
  const settings = useMemo(() => settingsOf(draft), [draft]);
  const { progress, notices } = measuring;
  const isRunning = progress?.isRunning === true;
  const isInput = isRunning && progress.isInput;
  const change = (part: Partial<SettingsDraft>) => {
    setDraft((old) => ({ ...old, ...part }));
  };
  const fields = { draft, complaints: settings.complaints, change };
  const measureFiles = (files: readonly File[]) => {
    setChosen(undefined);
    if (settings.complaints.tuned === undefined) void measuring.measureFiles(files, draft.kind, settings);
  };
  const isOver = useDrops('measure', measureFiles);
  useEffect(
    () =>
      takeHandedOver((recording) => {
        setChosen(undefined);
        measuring.measureRecording(recording);
      }),
    [],
  );
  useEffect(() => {
    void listDevices('audioinput').then(setInputs);
  }, [isInput]);
  const clock = settings.clock ?? measuring.clock ?? clockWithin(100);
  const calls = useMemo(
    () => measuring.calls.map((call) => ({ ...call, ...judgeCall(call, { ...settings.judge, clock }) })),
    [measuring.calls, settings, clock.value, clock.uncertainty],
  );
  const bands = useMemo(
    () => (calls.length === 0 ? [] : judgeTogether(calls, { ...settings.judge, clock })),
    [calls],
  );
  const one = calls.find(({ id }) => id === chosen);
  const isWaiting = settings.clock === undefined && measuring.clock === undefined;
  return (
    <div class={isOver ? 'dropping' : ''}>
      <header class="view-head">
        <h1>Measure</h1>
        <p>
          What a set sends, in figures with their uncertainty: from recordings, or live from a cable or a
          pick-up at its dummy load. <a href="#measure/signals">Signals to adjust by</a> stand below.
        </p>
      </header>
      <div class="sources">
        <DropZone onFiles={measureFiles} accept="audio/*,.wav,.sigmf-meta,.sigmf-data" />
        <div class="input-source">
          {inputs.length > 1 && (
            <SelectField
              label="Input"
              value={input}
              onValue={setInput}
              choices={deviceChoices(inputs, 'Input', input)}
            />
          )}
          <p class="actions">
            {isRunning ? (
              <button
                type="button"
                class="main"
                onClick={() => {
                  measuring.stop();
                }}
              >
                Stop
              </button>
            ) : (
              <button
                type="button"
                class="main"
                onClick={() => {
                  setChosen(undefined);
                  void measuring.measureInput(input === '' ? undefined : input, settings.reference);
                }}
              >
                Measure the line input
              </button>
            )}
          </p>
          {isInput && <Level peak={progress.peak} />}
          {isRunning && !isInput && progress.of !== undefined && (
            <progress aria-label="Read so far" max={1} value={progress.seconds / progress.of} />
          )}
          <KindFields {...fields} />
          <ClockFields {...fields} />
        </div>
      </div>
      <KnownFields {...fields} />
      <p class="state" role="status">
        {sayProgress(progress, calls.length)}
      </p>
      {notices.length > 0 && (
        <ul class="notice" role="alert">
          {notices.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      {calls.some(({ received }) => isDistress(received)) && <WatchCaution />}
      {progress && !isRunning && calls.length === 0 && (
        <p class="empty">No call was measured. It must be whole, and clear enough to be read.</p>
      )}
      {calls.length > 0 && (
        <>
          <p class="clock-said">
            Clock of the {draft.kind === 'slice' ? 'receiver' : 'sound card'}: {figureText(clock, 'ppm')}{' '}
            fast, {isWaiting ? 'its reference was not found yet' : settings.clockSource}.
          </p>
          {calls.length > 1 && <CallList calls={calls.slice(-LISTED)} chosen={chosen} onChosen={setChosen} />}
          {calls.length > LISTED && (
            <p class="reading">
              The last {LISTED} of {calls.length} calls are listed.
            </p>
          )}
          {one ? (
            <>
              <Result verdicts={one.verdicts} />
              <FigureTable
                caption={`${one.when}${sayFrequency(one.measured)}: ${one.text}`}
                figures={one.figures}
                verdicts={one.verdicts}
                earlier={earlierFigures(before, one.measured)}
              />
              <Notes
                sequence={one.measured.sequence}
                lines={one.measured.lines}
                truth={one.truth}
                remarks={remarksOn(one.measured)}
              />
            </>
          ) : (
            bands.map((band) => {
              const single =
                band.calls === 1 ? calls.find(({ measured }) => isOfBand(measured, band)) : undefined;
              const kind = `${band.baud === 100 ? 'MF/HF, 100 Bd' : 'VHF, 1200 Bd'}${sayFrequency(band)}`;
              const many = band.calls === 1 ? band.texts[0] : `${band.calls} calls together`;
              return (
                <section key={kind} aria-label={kind}>
                  <Result verdicts={band.verdicts} />
                  <FigureTable
                    caption={`${kind}: ${many}`}
                    figures={band.figures}
                    verdicts={band.verdicts}
                    earlier={earlierFigures(before, band)}
                  />
                  <Notes
                    lines={band.lines}
                    {...(single && {
                      sequence: single.measured.sequence,
                      truth: single.truth,
                      remarks: remarksOn(single.measured),
                    })}
                  />
                  <Drawings band={band} />
                </section>
              );
            })
          )}
          <p class="reading">
            Within: the whole interval of ±1.96 standard uncertainties lies within the limits. Can’t tell: it
            reaches over one. These figures are no type approval.
          </p>
          <Report
            calls={calls}
            settings={settings}
            clock={clock}
            draft={draft}
            change={change}
            before={before}
            onBefore={setBefore}
          />
        </>
      )}
      <BenchSignals />
    </div>
  );
}
