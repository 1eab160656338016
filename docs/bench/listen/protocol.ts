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
  | { type: 'end' }
  /** A WAV file, read here by slices; it ends by itself. */
  | { type: 'file'; file: Blob; bands: readonly Band[]; columns: number; shortestColumn: number };

/** The sound of a call, with a little before and behind it. */
export interface Clip {
  readonly samples: Int16Array<ArrayBuffer>;
  readonly sampleRate: number;
  /** Seconds of the stream at its first sample. */
  readonly start: number;
}

export type FromWorker =
  | { type: 'call'; call: ReceivedCall; clip?: Clip }
  | { type: 'event'; event: ReceiverEvent }
  | { type: 'reading'; reading: LiveReading }
  | { type: 'column'; column: Uint8Array }
  /** Seconds taken in so far, and the highest amplitude of the last samples. */
  | { type: 'taken'; seconds: number; peak: number }
  /** What a file is, after it was looked through once; SHA-256 as 64 hexadecimal digits. */
  | { type: 'file'; recording: string; seconds: number; columnSeconds: number; warnings: readonly string[] }
  /** Which share of the first look is done. */
  | { type: 'looked'; share: number }
  | { type: 'done' }
  | { type: 'failed'; reason: string };
