/** What the stages that add something to the signal have in common: a level and times between which it is heard. */
import { dbToPower } from '../level.js';
import { number } from '../parameters.js';
import { type Processor, type StageContext, inPlace } from '../stage.js';

/** Times between which something is heard. They count from the first sample that the stage sees. */
export interface Timed {
  /** When it sets in, 0 to 86 400 s; 0 unless given. */
  startSeconds?: number | undefined;
  /** When it ends, 0 to 86 400 s; never unless given. */
  stopSeconds?: number | undefined;
}

/** Parameters of {@link Timed}. */
export const timedShape = {
  startSeconds: number(0, 86_400, 's', 'when it sets in').default(0),
  stopSeconds: number(0, 86_400, 's', 'when it ends; never unless given').optional(),
};

/** Something added to the signal, its level relative to it. */
export interface Added extends Timed {
  /** Mean power relative to the signal's, −100 to 100 dB. */
  levelDb: number;
}

/** Parameters of {@link Added}. */
export const addedShape = {
  levelDb: number(-100, 100, 'dB', 'mean power relative to the signal'),
  ...timedShape,
};

/** Root mean square of what is added. */
export function addedAmplitude(levelDb: number, context: StageContext): number {
  return Math.sqrt(context.signalPower() * dbToPower(levelDb));
}

/** Works on the samples between the two times only. */
export function between(
  { startSeconds, stopSeconds = Infinity }: { startSeconds: number; stopSeconds?: number | undefined },
  { sampleRate, refuse }: StageContext,
  change: (block: Float32Array) => void,
): Processor {
  if (stopSeconds <= startSeconds) {
    throw refuse('stopSeconds', stopSeconds, `a time after startSeconds, ${startSeconds}`);
  }
  const first = Math.round(startSeconds * sampleRate);
  const end = Math.round(stopSeconds * sampleRate);
  let at = 0;
  return inPlace((block) => {
    const from = Math.min(block.length, Math.max(0, first - at));
    const to = Math.min(block.length, Math.max(0, end - at));
    if (to > from) change(block.subarray(from, to));
    at += block.length;
  });
}

/** Refuses a tone that the sample rate cannot carry. */
export function requireTone(
  parameter: string,
  frequencyHz: number,
  { sampleRate, refuse }: StageContext,
): void {
  if (!(frequencyHz > 0 && frequencyHz < sampleRate / 2)) {
    throw refuse(
      parameter,
      frequencyHz,
      `every tone between 0 Hz and half the sample rate, ${sampleRate / 2} Hz`,
    );
  }
}
