/**
 * What the Listen view knows while it listens, to files or to an input.
 */
import {
  BIT_RATE,
  DotphaseError,
  addToAttempts,
  createAttemptNumbering,
  groupAttempts,
  type AttemptGroup,
  type Band,
  type ReceivedCall,
  type ReceiverEvent,
} from 'dotphase';
import { VHF_DSC_HZ } from 'dotphase/frequencies';
import { useEffect, useRef, useState } from 'preact/hooks';
import { openCapture, sayRefusal, type Capture } from '../audio/capture.js';
import { isReadBySlices, readByBrowser } from '../audio/files.js';
import { receptionLog } from '../log/store.js';
import { sayMinutes } from '../parts/times.js';
import { openEar, openFileEar, type EarEvents } from './ear.js';
import { heardAs, type Heard } from './heard.js';
import { shownReading, type LiveReading } from './livereader.js';
import type { Clip } from './protocol.js';
import { COLUMNS, type Drawing } from './spectrogram.js';

/** A call that began and was given up. */
export interface NearMiss {
  readonly when: string;
  readonly event: Extract<ReceiverEvent, { type: 'lost' }>;
}

/** How far a file or an input is. */
export type Progress =
  /** A file is looked through for the first time; this share of it is done. */
  | { readonly type: 'looking'; readonly share: number }
  | { readonly type: 'reading' }
  | { readonly type: 'over' }
  /** Stopped by hand, after so many seconds. */
  | { readonly type: 'stopped'; readonly after: number }
  | { readonly type: 'failed' };

/** A file or an input, and what was heard of it. */
export interface Batch {
  readonly id: number;
  readonly isInput: boolean;
  readonly name: string;
  /** Of a file as far as known; 0 before. */
  readonly seconds: number;
  readonly progress: Progress;
  readonly heard: readonly Heard[];
}

const RUNNING_COLUMN = 1 / 30;
const LEAST_COLUMN = 1 / 400;
const MISSES_KEPT = 50;
/** The sound of so many calls is kept. */
const CLIPS_KEPT = 300;

const RANK = { clean: 0, recovered: 1, doubtful: 2 } as const;

/** The same characters at the same time, as on two channels of a recording; sendings follow each other. */
function sameCall(a: ReceivedCall, b: ReceivedCall): boolean {
  return a.start < b.end && b.start < a.end && a.symbols.join() === b.symbols.join();
}

/** The calls of several channels as one list: where two channels carry the same, the better reading stays. */
function merge(found: ReceivedCall[], call: ReceivedCall): ReceivedCall[] {
  const twin = found.find((other) => sameCall(other, call));
  if (!twin) return [...found, call];
  return RANK[call.quality] < RANK[twin.quality] ? found.map((each) => (each === twin ? call : each)) : found;
}

/** Calls of several channels in the order received, each with its attempt among those of all channels. */
function numberedTogether(calls: readonly ReceivedCall[]): ReceivedCall[] {
  const attemptOf = createAttemptNumbering();
  return [...calls].sort((a, b) => a.end - b.end).map((call) => ({ ...call, attempt: attemptOf(call) }));
}

type Attempts = readonly AttemptGroup<ReceivedCall>[];

function utc(milliseconds: number): string {
  return `${new Date(milliseconds).toISOString().slice(11, 19)} UTC`;
}

/** What a sound is kept by: a call is told in new objects as more of it is known. */
function clipKey(batch: number, { start, centreHz, baud }: ReceivedCall): string {
  return `${batch} ${start} ${centreHz} ${baud}`;
}

/** How calls are listened for. */
export interface ListenSettings {
  readonly bands: readonly Band[];
  /** The DSC frequency that 100 Bd audio came from, hertz, where it is known. */
  readonly frequencyHz: number | undefined;
}

export function useListening() {
  const [batches, setBatches] = useState<readonly Batch[]>([]);
  const [columnSeconds, setColumnSeconds] = useState(RUNNING_COLUMN);
  const [sayWhen, setSayWhen] = useState<(seconds: number) => string>(() => sayMinutes);
  const [misses, setMisses] = useState<readonly NearMiss[]>([]);
  const [taken, setTaken] = useState({ seconds: 0, peak: 0 });
  const [notices, setNotices] = useState<readonly string[]>([]);
  const [reading, setReading] = useState<LiveReading>();
  const [file, setFile] = useState<File>();
  const drawing = useRef<Drawing>(undefined);
  const clips = useRef(new Map<string, Clip>());
  const capture = useRef<Capture>(undefined);
  /** Ends what is being listened to; what was heard of a file is logged then. */
  const stopping = useRef<(() => Promise<void>) | undefined>(undefined);
  const session = useRef(0);
  const nextId = useRef(1);
  const seconds = useRef(0);

  function release(): void {
    session.current++;
    capture.current?.close();
    capture.current = undefined;
    void stopping.current?.();
    stopping.current = undefined;
  }
  useEffect(() => release, []);

  function clear(): void {
    setBatches([]);
    setMisses([]);
    setNotices([]);
    clips.current.clear();
  }

  function begin(isInput: boolean, name: string): Batch {
    const batch: Batch = {
      id: nextId.current++,
      isInput,
      name,
      seconds: 0,
      progress: isInput ? { type: 'reading' } : { type: 'looking', share: 0 },
      heard: [],
    };
    seconds.current = 0;
    setBatches((before) => [...before, batch]);
    setTaken({ seconds: 0, peak: 0 });
    setColumnSeconds(RUNNING_COLUMN);
    setReading(undefined);
    drawing.current?.clear();
    return batch;
  }

  const change = (id: number, part: Partial<Batch>) => {
    setBatches((before) => before.map((each) => (each.id === id ? { ...each, ...part } : each)));
  };

  const notice = (text: string) => {
    setNotices((before) => (before.includes(text) ? before : [...before, text]));
  };

  const keepClip = (batch: number, call: ReceivedCall, clip: Clip | undefined) => {
    if (!clip) return;
    clips.current.set(clipKey(batch, call), clip);
    const [oldest] = clips.current.keys();
    if (clips.current.size > CLIPS_KEPT) clips.current.delete(oldest);
  };

  const eventsOf = (when: (seconds: number) => string): Omit<EarEvents, 'onCall' | 'onFailure'> => ({
    onEvent(event) {
      if (event.type === 'lost') {
        setMisses((before) => [...before, { when: when(event.time), event }].slice(-MISSES_KEPT));
      }
    },
    onReading(next) {
      setReading((before) => shownReading(before, next));
    },
    onColumn(column) {
      drawing.current?.column(column);
    },
    onTaken(at, peak) {
      seconds.current = at;
      setTaken({ seconds: at, peak });
    },
  });

  async function listenToFile(chosen: File, { bands, frequencyHz }: ListenSettings): Promise<void> {
    const mine = session.current;
    const { id } = begin(false, chosen.name);
    setFile(chosen);
    setSayWhen(() => sayMinutes);
    let found: ReceivedCall[] = [];
    let recording: string | undefined;
    let isLogged = false;
    const outcome = { isFailed: false };
    const logAll = async () => {
      if (isLogged) return;
      isLogged = true;
      const log = receptionLog({ recording, file: chosen.name, frequencyOf: frequencyOfCall(frequencyHz) });
      for (const call of numberedTogether(found)) await log(call);
    };
    const fail = (reason: string) => {
      outcome.isFailed = true;
      if (session.current !== mine) return;
      notice(`${chosen.name} cannot be read: ${reason}.`);
      change(id, { progress: { type: 'failed' } });
    };
    const told: EarEvents = {
      ...eventsOf(sayMinutes),
      onCall(call, clip) {
        keepClip(id, call, clip);
        found = merge(found, call);
        const heard = groupAttempts(numberedTogether(found)).map((group) => heardAs(group, sayMinutes));
        change(id, { heard });
      },
      onFailure: fail,
    };
    const known = (length: number, column: number) => {
      setColumnSeconds(column);
      change(id, { seconds: length, progress: { type: 'reading' } });
    };
    try {
      if (await isReadBySlices(chosen)) {
        const ear = openFileEar(chosen, {
          bands,
          columns: COLUMNS,
          shortestColumn: LEAST_COLUMN,
          ...told,
          onLooked: (share) => {
            change(id, { progress: { type: 'looking', share } });
          },
          onFile: (read) => {
            recording = read.recording;
            for (const warning of read.warnings) notice(`${chosen.name}: ${warning}`);
            known(read.seconds, read.columnSeconds);
          },
        });
        stopping.current = async () => {
          ear.close();
          await logAll();
        };
        await ear.over;
      } else {
        const read = await readByBrowser(chosen);
        if (session.current !== mine) return;
        recording = read.recording;
        const column = Math.max(LEAST_COLUMN, read.seconds / COLUMNS);
        known(read.seconds, column);
        for (const channel of read.channels) {
          drawing.current?.clear();
          const ear = openEar({ sampleRate: read.sampleRate, bands, columnSeconds: column, ...told });
          stopping.current = async () => {
            ear.close();
            await logAll();
          };
          ear.push(channel);
          await ear.end();
          if (session.current !== mine) return;
        }
      }
    } catch (error) {
      fail(error instanceof DotphaseError ? error.message : String(error));
    }
    if (session.current !== mine || outcome.isFailed) return;
    stopping.current = undefined;
    await logAll();
    if (session.current === mine) change(id, { progress: { type: 'over' } });
  }

  /** Listens to files one after the other. */
  async function listenToFiles(files: readonly File[], settings: ListenSettings): Promise<void> {
    release();
    clear();
    const mine = session.current;
    for (const each of files) {
      if (session.current !== mine) return;
      await listenToFile(each, settings);
    }
  }

  async function listenToInput(
    inputId: string | undefined,
    { bands, frequencyHz }: ListenSettings,
  ): Promise<void> {
    release();
    clear();
    setFile(undefined);
    const mine = session.current;
    const { id } = begin(true, 'the input');
    try {
      let push: (samples: Float32Array<ArrayBuffer>) => void = () => undefined;
      const gone = () => {
        if (session.current !== mine) return;
        notice('The input has gone: it was unplugged or given to another program.');
        void stop();
      };
      const opened = await openCapture(
        inputId,
        (samples) => {
          push(samples);
        },
        gone,
      );
      if (session.current !== mine) {
        opened.close();
        return;
      }
      capture.current = opened;
      const began = Date.now();
      const when = (at: number) => utc(began + 1000 * at);
      setSayWhen(() => when);
      const log = receptionLog({ frequencyOf: frequencyOfCall(frequencyHz) });
      let attempts: Attempts = [];
      const ear = openEar({
        sampleRate: opened.sampleRate,
        bands,
        columnSeconds: RUNNING_COLUMN,
        ...eventsOf(when),
        onCall(call, clip) {
          keepClip(id, call, clip);
          void log(call);
          attempts = addToAttempts(attempts, call);
          change(id, { heard: attempts.map((group) => heardAs(group, when)) });
        },
        onFailure: notice,
      });
      push = (samples) => {
        ear.push(samples);
      };
      stopping.current = () => ear.end();
      change(id, { name: opened.label === '' ? 'the input' : opened.label });
    } catch (error) {
      if (session.current !== mine) return;
      notice(sayRefusal(error));
      change(id, { progress: { type: 'failed' } });
    }
  }

  /** Stops an input with the call that was still open, or a file with what was heard of it so far. */
  async function stop(): Promise<void> {
    session.current++;
    capture.current?.close();
    capture.current = undefined;
    const last = batches.at(-1);
    const after = seconds.current;
    const end = stopping.current;
    stopping.current = undefined;
    await end?.();
    setReading(undefined);
    if (last) change(last.id, { progress: { type: 'stopped', after } });
  }

  return {
    batches,
    columnSeconds,
    sayWhen,
    misses,
    taken,
    notices,
    reading,
    /** The file that is shown, to be played. */
    file,
    drawing,
    clipOf: (batch: number, call: ReceivedCall) => clips.current.get(clipKey(batch, call)),
    listenToFiles,
    listenToInput,
    stop,
  };
}

function frequencyOfCall(frequencyHz: number | undefined) {
  return ({ baud }: ReceivedCall) => (baud === BIT_RATE.vhf ? VHF_DSC_HZ : frequencyHz);
}
