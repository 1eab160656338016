/**
 * What the Measure view knows while it measures recordings or an input.
 */
import {
  addJudged,
  clockWithin,
  judgeCall,
  type Figure,
  type JudgedCall,
  type MeteredCall,
} from 'dotphase/measure';
import { useEffect, useRef, useState } from 'preact/hooks';
import { openCapture, sayRefusal, type Capture } from '../audio/capture.js';
import { isReadBySlices, readByBrowser } from '../audio/files.js';
import type { HandedOver } from './handover.js';
import { runWorker, type Running } from '../parts/running.js';
import { sortedFiles, type SliceFiles } from './slicefiles.js';
import type { RecordingKind, Settings } from './settings.js';
import type { FromWorker, Reference, ToWorker } from './protocol.js';
import MeasuringWorker from './worker.js?worker&inline';

/** How far a source is. */
export interface Progress {
  readonly name: string;
  readonly isInput: boolean;
  readonly isRunning: boolean;
  readonly seconds: number;
  /** Seconds in all, where known. */
  readonly of: number | undefined;
  readonly peak: number;
}

/** A measured call, with where it came from. */
export interface SourcedCall extends JudgedCall {
  readonly id: number;
  readonly source: string;
  /** When it began, for people. */
  readonly when: string;
}

/** Verdicts are made anew with the settings of the moment; these stand for none. */
const PROVISIONAL = { clock: clockWithin(0) };

const sayMinutes = (seconds: number) => {
  const minutes = Math.floor(seconds / 60);
  return `${minutes}:${(seconds - 60 * minutes).toFixed(1).padStart(4, '0')}`;
};

/** How many calls are kept; of more the oldest go. */
const MOST_CALLS = 2000;

const startWorker = (take: (message: FromWorker) => void) => runWorker<ToWorker>(new MeasuringWorker(), take);

export function useMeasuring() {
  const [calls, setCalls] = useState<readonly SourcedCall[]>([]);
  const [clock, setClock] = useState<Figure>();
  const [progress, setProgress] = useState<Progress>();
  const [notices, setNotices] = useState<readonly string[]>([]);
  const capture = useRef<Capture>(undefined);
  const running = useRef<Running<ToWorker>>(undefined);
  const session = useRef(0);
  const nextId = useRef(1);

  const notice = (text: string) => {
    setNotices((before) => (before.includes(text) ? before : [...before, text]));
  };

  function release(): void {
    session.current++;
    capture.current?.close();
    capture.current = undefined;
    running.current?.close();
    running.current = undefined;
  }
  useEffect(() => release, []);

  /** Makes room for new figures: calls of different sets are not put together. */
  function clear(): void {
    release();
    setCalls([]);
    setClock(undefined);
    setProgress(undefined);
    setNotices([]);
  }

  const add = (source: string, when: (seconds: number) => string, { received, measured }: MeteredCall) => {
    const judged = judgeCall({ received, measured }, PROVISIONAL);
    if (!judged) {
      notice(
        `${source}, ${when(received.start)}: a call was received, but not whole or not clearly enough to be measured.`,
      );
      return;
    }
    const call: SourcedCall = { ...judged, id: nextId.current++, source, when: when(judged.measured.start) };
    setCalls((before) => addJudged(before, call).slice(-MOST_CALLS));
  };

  function start(name: string, isInput: boolean, when: (seconds: number) => string): Running<ToWorker> {
    const mine = session.current;
    setProgress({ name, isInput, isRunning: true, seconds: 0, of: undefined, peak: 0 });
    const worker = startWorker((message) => {
      if (session.current !== mine) return;
      switch (message.type) {
        case 'call':
          add(name, when, message.call);
          return;
        case 'taken': {
          const { seconds, of, peak } = message;
          setProgress({ name, isInput, isRunning: true, seconds, of, peak });
          return;
        }
        case 'clock':
          setClock(message.clock);
          return;
        case 'warning':
          notice(`${name}: ${message.text}`);
          return;
        case 'done':
          setProgress((before) => before && { ...before, isRunning: false, of: message.seconds });
          return;
        case 'failed':
          notice(`${name} cannot be read: ${message.reason}.`);
          setProgress(undefined);
      }
    });
    running.current = worker;
    return worker;
  }

  async function measureSlice({ name, samples, metadata }: SliceFiles, tunedHz: number | undefined) {
    const worker = start(name, false, sayMinutes);
    const text = metadata && (await metadata.text());
    worker.send({
      type: 'slice',
      file: samples,
      ...(text !== undefined && { metadata: text }),
      ...(tunedHz !== undefined && { tunedHz }),
    });
    await worker.over;
  }

  async function measureFile(file: File, reference: Reference | undefined): Promise<void> {
    const mine = session.current;
    const told = reference && { reference };
    if (await isReadBySlices(file)) {
      if (session.current !== mine) return;
      const worker = start(file.name, false, sayMinutes);
      worker.send({ type: 'file', file, ...told });
      await worker.over;
      return;
    }
    try {
      const { channels, sampleRate } = await readByBrowser(file);
      if (session.current !== mine) return;
      const worker = start(file.name, false, sayMinutes);
      worker.send({ type: 'recording', channels: [...channels], sampleRate, ...told });
      await worker.over;
    } catch (error) {
      notice(`${file.name} cannot be read: ${error instanceof Error ? error.message : String(error)}.`);
    }
  }

  return {
    calls,
    /** The clock as the reference tells it; undefined where none was asked for or found yet. */
    clock,
    progress,
    notices,
    clear,
    async measureFiles(
      files: readonly File[],
      kind: RecordingKind,
      { reference, tunedHz }: Pick<Settings, 'reference' | 'tunedHz'>,
    ): Promise<void> {
      clear();
      const mine = session.current;
      const { slices, others, lone } = sortedFiles(files, kind);
      for (const name of lone)
        notice(`${name}: a SigMF recording is two files; take .sigmf-meta and .sigmf-data together.`);
      for (const slice of slices) {
        if (session.current !== mine) return;
        await measureSlice(slice, tunedHz);
      }
      for (const file of others) {
        if (session.current !== mine) return;
        await measureFile(file, reference);
      }
    },
    measureRecording({ name, samples, sampleRate }: HandedOver): void {
      clear();
      start(name, false, sayMinutes).send({ type: 'recording', channels: [samples], sampleRate });
    },
    async measureInput(inputId: string | undefined, reference: Reference | undefined): Promise<void> {
      clear();
      const mine = session.current;
      let push: (samples: Float32Array<ArrayBuffer>) => void = () => undefined;
      try {
        const opened = await openCapture(
          inputId,
          (samples) => {
            push(samples);
          },
          () => {
            notice('The input ended: it was unplugged or taken away.');
            running.current?.send({ type: 'end' });
          },
        );
        if (session.current !== mine) {
          opened.close();
          return;
        }
        capture.current = opened;
        const began = Date.now();
        const name = opened.label === '' ? 'the input' : opened.label;
        const worker = start(
          name,
          true,
          (at) => `${new Date(began + 1000 * at).toISOString().slice(11, 19)} UTC`,
        );
        worker.send({ type: 'open', sampleRate: opened.sampleRate, ...(reference && { reference }) });
        push = (samples) => {
          worker.send({ type: 'samples', samples }, [samples.buffer]);
        };
      } catch (error) {
        if (session.current === mine) notice(sayRefusal(error));
      }
    },
    /** Ends an input with the call that was still open, or breaks a recording off; what was measured stays. */
    stop(): void {
      capture.current?.close();
      capture.current = undefined;
      if (progress?.isInput) running.current?.send({ type: 'end' });
      else {
        session.current++;
        running.current?.close();
        setProgress((before) => before && { ...before, isRunning: false });
      }
    },
  };
}
