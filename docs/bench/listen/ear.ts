/**
 * A receiver that listens beside the page.
 */
import type { Band, ReceivedCall, ReceiverEvent } from 'dotphase';
import type { LiveReading } from './livereader.js';
import type { FromWorker, ToWorker } from './protocol.js';
import ListeningWorker from './worker.js?worker&inline';

export interface EarOptions {
  readonly sampleRate: number;
  readonly bands: readonly Band[];
  readonly columnSeconds?: number;
  readonly onCall: (call: ReceivedCall) => void;
  readonly onEvent?: (event: ReceiverEvent) => void;
  /** Told of the characters of a call while it comes in. */
  readonly onReading?: (reading: LiveReading) => void;
  readonly onColumn?: (column: Uint8Array) => void;
  readonly onTaken?: (seconds: number, peak: number) => void;
  readonly onFailure: (reason: string) => void;
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

export function openEar(options: EarOptions): Ear {
  const { sampleRate, bands, columnSeconds = RUNNING_COLUMN_SECONDS } = options;
  const worker = new ListeningWorker();
  let finish: () => void = () => undefined;
  const over = new Promise<void>((resolve) => {
    finish = resolve;
  });
  const close = () => {
    worker.terminate();
    finish();
  };
  worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
    switch (data.type) {
      case 'call':
        options.onCall(data.call);
        return;
      case 'event':
        options.onEvent?.(data.event);
        return;
      case 'reading':
        options.onReading?.(data.reading);
        return;
      case 'column':
        options.onColumn?.(data.column);
        return;
      case 'taken':
        options.onTaken?.(data.seconds, data.peak);
        return;
      case 'failed':
        options.onFailure(data.reason);
        close();
        return;
      case 'done':
        close();
    }
  };
  worker.onerror = (event) => {
    options.onFailure(event.message);
    close();
  };
  const send = (message: ToWorker, transfer: Transferable[] = []) => {
    worker.postMessage(message, transfer);
  };
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
