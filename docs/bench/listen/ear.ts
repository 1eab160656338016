/**
 * A receiver that listens beside the page.
 */
import type { Band, ReceivedCall, ReceiverEvent } from 'dotphase';
import { runWorker } from '../parts/running.js';
import type { LiveReading } from './livereader.js';
import type { Clip, FromWorker, ToWorker } from './protocol.js';
import ListeningWorker from './worker.js?worker&inline';

/** What an ear tells. */
export interface EarEvents {
  readonly onCall: (call: ReceivedCall, clip: Clip | undefined) => void;
  readonly onEvent?: (event: ReceiverEvent) => void;
  /** Told of the characters of a call while it comes in. */
  readonly onReading?: (reading: LiveReading) => void;
  readonly onColumn?: (column: Uint8Array) => void;
  readonly onTaken?: (seconds: number, peak: number) => void;
  readonly onFailure: (reason: string) => void;
}

export interface EarOptions extends EarEvents {
  readonly sampleRate: number;
  readonly bands: readonly Band[];
  readonly columnSeconds?: number;
}

/** What a file is. */
export type FileTold = Omit<Extract<FromWorker, { type: 'file' }>, 'type'>;

export interface FileEarOptions extends EarEvents {
  readonly bands: readonly Band[];
  /** Columns of the spectrogram, and the shortest that one may be, seconds. */
  readonly columns: number;
  readonly shortestColumn: number;
  /** Told how much of the file was looked through, 0 to 1. */
  readonly onLooked: (share: number) => void;
  readonly onFile: (file: FileTold) => void;
}

export interface Ear {
  /** Takes the next samples; their memory goes to the worker. */
  push(samples: Float32Array<ArrayBuffer>): void;
  /** Ends the stream; fulfilled when every call in it was told. */
  end(): Promise<void>;
  /** Stops at once. */
  close(): void;
}

/** Both bands. */
export const ALL_BANDS: readonly Band[] = ['mf-hf', 'vhf'];

const RUNNING_COLUMN_SECONDS = 1 / 30;

/** A worker, and what becomes of what it says. */
function startWorker(events: EarEvents & Partial<Pick<FileEarOptions, 'onLooked' | 'onFile'>>) {
  return runWorker<ToWorker>(new ListeningWorker(), (message: FromWorker) => {
    switch (message.type) {
      case 'call':
        events.onCall(message.call, message.clip);
        return;
      case 'event':
        events.onEvent?.(message.event);
        return;
      case 'reading':
        events.onReading?.(message.reading);
        return;
      case 'column':
        events.onColumn?.(message.column);
        return;
      case 'taken':
        events.onTaken?.(message.seconds, message.peak);
        return;
      case 'looked':
        events.onLooked?.(message.share);
        return;
      case 'file':
        events.onFile?.(message);
        return;
      case 'failed':
        events.onFailure(message.reason);
        return;
      case 'done':
    }
  });
}

/** Listens to samples as they come. */
export function openEar(options: EarOptions): Ear {
  const { sampleRate, bands, columnSeconds = RUNNING_COLUMN_SECONDS } = options;
  const { send, close, over } = startWorker(options);
  send({ type: 'open', sampleRate, bands, columnSeconds });
  return {
    push(samples) {
      send({ type: 'samples', samples }, [samples.buffer]);
    },
    end() {
      send({ type: 'end' });
      return over;
    },
    close,
  };
}

/** Reads a WAV file beside the page; `over` is fulfilled when it was read, could not be, or was closed. */
export function openFileEar(
  file: Blob,
  options: FileEarOptions,
): Pick<Ear, 'close'> & { over: Promise<void> } {
  const { bands, columns, shortestColumn } = options;
  const { send, close, over } = startWorker(options);
  send({ type: 'file', file, bands, columns, shortestColumn });
  return { close, over };
}
