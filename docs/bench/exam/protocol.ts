/**
 * What the page and the worker that makes papers say to each other.
 */
import type { PaperExercise, PaperKey, PaperPlan, PaperFile } from 'dotphase/exam';

export type ToMaker =
  /** Every version of a paper, with a recording for a room if wanted. */
  | { type: 'paper'; plan: PaperPlan; room?: RoomWish | undefined }
  /** One exercise to practise with. */
  | { type: 'practice'; plan: PaperPlan };

export interface RoomWish {
  readonly times: number;
  readonly pauseSeconds: number;
  readonly answerSeconds: number;
}

/** A version of a paper as the page keeps it. */
export interface MadePaper {
  readonly title: string;
  readonly number: string;
  readonly version: string | undefined;
  readonly key: PaperKey;
  readonly files: readonly PaperFile[];
}

export type FromMaker =
  /** An exercise is done, of so many in all. */
  | { type: 'progress'; done: number; of: number }
  | { type: 'paper'; papers: readonly MadePaper[] }
  | { type: 'practice'; exercise: PaperExercise; sampleRate: number }
  | { type: 'failed'; reason: string };
