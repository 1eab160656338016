/**
 * What the page and the listening worker say to each other.
 */
import type { Band, ReceivedCall, ReceiverEvent } from 'dotphase';
import type { LiveReading } from './livereader.js';

export type ToWorker =
  | {
      type: 'open';
      sampleRate: number;
      bands: readonly Band[];
      /** Seconds between two columns of the spectrogram. */
      columnSeconds: number;
    }
  | { type: 'samples'; samples: Float32Array<ArrayBuffer> }
  | { type: 'end' };

export type FromWorker =
  | { type: 'call'; call: ReceivedCall }
  | { type: 'event'; event: ReceiverEvent }
  | { type: 'reading'; reading: LiveReading }
  | { type: 'column'; column: Uint8Array }
  /** Seconds taken in so far, and the highest amplitude of the last samples. */
  | { type: 'taken'; seconds: number; peak: number }
  | { type: 'done' }
  | { type: 'failed'; reason: string };
