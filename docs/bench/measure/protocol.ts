/**
 * What the page and the measuring worker say to each other.
 */
import type { Figure, MeteredCall } from 'dotphase/measure';

/** A tone or pulses of known frequency, by which the clock of the sound card is calibrated. */
export interface Reference {
  readonly hz: number;
  /** The channel of a recording that it is on, from 0. */
  readonly channel: number;
}

export type ToWorker =
  | { type: 'open'; sampleRate: number; reference?: Reference }
  | { type: 'samples'; samples: Float32Array<ArrayBuffer> }
  | { type: 'end' }
  /** A WAV file, read here by slices; it ends by itself. */
  | { type: 'file'; file: Blob; reference?: Reference }
  /** A slice of spectrum: WAV with I and Q, or the samples of a SigMF recording with its metadata. */
  | { type: 'slice'; file: Blob; metadata?: string; tunedHz?: number }
  /** Another recording, read by the browser. */
  | { type: 'recording'; channels: Float32Array<ArrayBuffer>[]; sampleRate: number; reference?: Reference };

export type FromWorker =
  | { type: 'call'; call: MeteredCall }
  /** Taken in so far, of how many seconds where that is known, and the highest amplitude of the last samples. */
  | { type: 'taken'; seconds: number; of?: number; peak: number }
  /** The clock, as the reference tells it. */
  | { type: 'clock'; clock: Figure }
  | { type: 'warning'; text: string }
  | { type: 'done'; seconds: number }
  | { type: 'failed'; reason: string };
