/**
 * What the Listen view knows while it listens, to a file or to an input.
 */
import {
  DotphaseError,
  addToAttempts,
  createAttemptNumbering,
  groupAttempts,
  type AttemptGroup,
  type Band,
  type ReceivedCall,
  type ReceiverEvent,
} from 'dotphase';
import { useEffect, useRef, useState } from 'preact/hooks';
import { openCapture, sayRefusal, type Capture } from '../audio/capture.js';
import { readRecording } from '../audio/files.js';
import { receptionLog } from '../log/store.js';
import { sayMinutes } from '../parts/times.js';
import { openEar, type Ear } from './ear.js';
import { heardAs, type Heard } from './heard.js';
import { COLUMNS, type Drawing } from './spectrogram.js';

/** A call that began and was given up. */
export interface NearMiss {
  readonly when: string;
  readonly event: Extract<ReceiverEvent, { type: 'lost' }>;
}

export type Source =
  | { readonly type: 'none' }
  | { readonly type: 'file'; readonly name: string; readonly seconds: number; readonly isOver: boolean }
  | { readonly type: 'input'; readonly label: string };

const RUNNING_COLUMN = 1 / 30;
const LEAST_COLUMN = 1 / 400;
const MISSES_KEPT = 50;

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

export function useListening() {
  const [source, setSource] = useState<Source>({ type: 'none' });
  const [columnSeconds, setColumnSeconds] = useState(RUNNING_COLUMN);
  const [attempts, setAttempts] = useState<Attempts>([]);
  const [sayWhen, setSayWhen] = useState<(seconds: number) => string>(() => sayMinutes);
  const [misses, setMisses] = useState<readonly NearMiss[]>([]);
  const [progress, setProgress] = useState({ seconds: 0, peak: 0 });
  const [notices, setNotices] = useState<readonly string[]>([]);
  const [phasing, setPhasing] = useState(false);
  const drawing = useRef<Drawing>(undefined);
  const ear = useRef<Ear>(undefined);
  const capture = useRef<Capture>(undefined);
  const session = useRef(0);

  function release(): void {
    session.current++;
    capture.current?.close();
    capture.current = undefined;
    ear.current?.close();
    ear.current = undefined;
  }
  useEffect(() => release, []);

  function begin(next: Source, column: number): number {
    release();
    setSource(next);
    setColumnSeconds(column);
    setAttempts([]);
    setMisses([]);
    setProgress({ seconds: 0, peak: 0 });
    setNotices([]);
    setPhasing(false);
    drawing.current?.clear();
    return session.current;
  }

  const notice = (text: string) => {
    setNotices((before) => (before.includes(text) ? before : [...before, text]));
  };

  const open = (
    sampleRate: number,
    bands: readonly Band[],
    column: number,
    told: (call: ReceivedCall) => void,
    when: (seconds: number) => string,
  ) =>
    openEar({
      sampleRate,
      bands,
      columnSeconds: column,
      onCall(call) {
        drawing.current?.outline(call);
        setPhasing(false);
        told(call);
      },
      onEvent(event) {
        setPhasing(event.type === 'phasing');
        if (event.type === 'lost') {
          setMisses((before) => [...before, { when: when(event.time), event }].slice(-MISSES_KEPT));
        }
      },
      onColumn(column) {
        drawing.current?.column(column);
      },
      onTaken(seconds, peak) {
        setProgress({ seconds, peak });
      },
      onFailure: notice,
    });

  async function listenToFile(file: File, bands: readonly Band[]): Promise<void> {
    const mine = begin({ type: 'file', name: file.name, seconds: 0, isOver: false }, RUNNING_COLUMN);
    try {
      const { sampleRate, channels, seconds, warnings, recording } = await readRecording(file);
      if (session.current !== mine) return;
      setSayWhen(() => sayMinutes);
      for (const warning of warnings) notice(warning);
      const column = Math.max(LEAST_COLUMN, seconds / COLUMNS);
      setSource({ type: 'file', name: file.name, seconds, isOver: false });
      setColumnSeconds(column);
      let found: ReceivedCall[] = [];
      for (const channel of channels) {
        drawing.current?.clear();
        const one = open(
          sampleRate,
          bands,
          column,
          (call) => {
            found = merge(found, call);
            setAttempts(groupAttempts(numberedTogether(found)));
          },
          sayMinutes,
        );
        ear.current = one;
        one.push(channel);
        await one.end();
        if (session.current !== mine) return;
      }
      const log = receptionLog(recording);
      for (const call of numberedTogether(found)) await log(call);
      if (session.current !== mine) return;
      setSource({ type: 'file', name: file.name, seconds, isOver: true });
    } catch (error) {
      if (session.current !== mine) return;
      notice(error instanceof DotphaseError ? `This file cannot be read: ${error.message}.` : String(error));
      setSource({ type: 'none' });
    }
  }

  async function listenToInput(inputId: string | undefined, bands: readonly Band[]): Promise<void> {
    const mine = begin({ type: 'input', label: 'the input' }, RUNNING_COLUMN);
    try {
      const opened = await openCapture(inputId, (samples) => {
        ear.current?.push(samples);
      });
      if (session.current !== mine) {
        opened.close();
        return;
      }
      capture.current = opened;
      const began = Date.now();
      const when = (seconds: number) => utc(began + 1000 * seconds);
      setSayWhen(() => when);
      const log = receptionLog();
      ear.current = open(
        opened.sampleRate,
        bands,
        RUNNING_COLUMN,
        (call) => {
          void log(call);
          setAttempts((before) => addToAttempts(before, call));
        },
        when,
      );
      setSource({ type: 'input', label: opened.label });
    } catch (error) {
      if (session.current !== mine) return;
      notice(sayRefusal(error));
      setSource({ type: 'none' });
    }
  }

  /** Stops an input, with the call that was still open, or gives up a file. */
  async function stop(): Promise<void> {
    capture.current?.close();
    capture.current = undefined;
    if (source.type === 'input') await ear.current?.end();
    release();
    setSource(source.type === 'file' ? { ...source, isOver: true } : { type: 'none' });
  }

  return {
    source,
    columnSeconds,
    heard: attempts.map((group): Heard => heardAs(group, sayWhen)),
    misses,
    progress,
    notices,
    phasing,
    drawing,
    listenToFile,
    listenToInput,
    stop,
  };
}
