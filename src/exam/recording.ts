/**
 * Recordings of exercises: composed, written as WAV, read back and received, until they read as planned.
 */
import { DotphaseError } from '../errors.js';
import { receiveCalls } from '../receiver/index.js';
import { radioOf } from '../procedures/index.js';
import { readWav, writeWav } from '../wav/index.js';
import { compose } from './compose.js';
import type { PaperKeys } from './keys.js';
import type { CheckedPlan } from './plan.js';
import { setConditions, type SetCalls, type SetExercise } from './setting.js';
import { verify, type HeardCall } from './verify.js';

/** An exercise that reads as planned. */
export interface Recording {
  readonly exercise: SetExercise;
  /** The WAV file. */
  readonly wav: Uint8Array;
  /** Its samples, as a receiver of the file has them. */
  readonly samples: Float32Array;
  readonly heard: readonly HeardCall[];
}

/** Drawings that are tried before an exercise is given up, and how many of them with the same noise and disturbance. */
const MOST_DRAWINGS = 48;
const DRAWINGS_BESIDE = 6;
/**
 * Makes the recording of an exercise, drawing its conditions anew until a receiver reads the calls as planned.
 *
 * @param number - the exercise's index in the plan
 * @param set - its calls
 * @throws DotphaseError that names the exercise when no drawing does
 */
export function makeRecording(plan: CheckedPlan, keys: PaperKeys, number: number, set: SetCalls): Recording {
  const place = `exercises[${number}]`;
  const { sampleRate } = plan;
  const drawings = plan.exercises[number].seed === undefined ? MOST_DRAWINGS : 1;
  const at = { beside: 1, calls: set.calls.map(() => 1) };
  let last = '';
  for (let drawing = 1; drawing <= drawings; drawing++) {
    const exercise = setConditions(plan, keys, number, set, at);
    const { calls, conditions, seed, frequencyHz, seconds } = exercise;
    const scene = { band: radioOf(frequencyHz), sampleRate, seed, calls, conditions, seconds };
    const { samples: composed, sent } = compose(scene, place);
    const wav = writeWav({ sampleRate, channels: [composed] });
    const [samples] = readWav(wav).channels;
    const { heard, failed, problem } = verify(sent, receiveCalls(samples, { sampleRate }));
    if (problem === undefined) return { exercise, wav, samples, heard };
    last = problem;
    for (const i of failed) at.calls[i]++;
    if (failed.length === 0 || drawing % DRAWINGS_BESIDE === 0) at.beside++;
  }
  throw new DotphaseError(
    place,
    `${drawings} ${drawings === 1 ? 'drawing' : 'drawings'}`,
    `conditions under which a receiver reads what the plan says; the last time, ${last}`,
  );
}
