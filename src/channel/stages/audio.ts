/** Other audio on the same channel, such as a second call that collides with the first. */
import * as z from 'zod';
import { measureLevelDb } from '../level.js';
import { type Shape, flag, number, text } from '../parameters.js';
import { defineStage, inPlace } from '../stage.js';
import { addedAmplitude } from './added.js';

/** Audio handed over by name in the channel's `sources`, mixed in at a level and a time. It ends with the signal at the latest. */
export interface AudioStage {
  kind: 'audio';
  /** Name of the audio in `sources`, 1 to 100 characters. */
  source: string;
  /** Mean power relative to the signal's, −100 to 100 dB, where silence within the audio does not count; 0 unless given. */
  levelDb?: number | undefined;
  /** When it begins, 0 to 86 400 s after the first sample; 0 unless given. */
  startSeconds?: number | undefined;
  /** Whether it begins again when it has ended; not unless given. */
  repeat?: boolean | undefined;
}

/** Other audio as a stage. */
export const audio = defineStage(
  z.strictObject({
    kind: z.literal('audio'),
    source: text(100, 'name of the audio in sources'),
    levelDb: number(-100, 100, 'dB', 'mean power relative to the signal').default(0),
    startSeconds: number(0, 86_400, 's', 'when it begins').default(0),
    repeat: flag('whether it begins again when it has ended').default(false),
  } satisfies Shape<AudioStage>),
  (stage, context) => {
    const samples = context.source(stage.source);
    const own = measureLevelDb(samples);
    if (own === -Infinity) throw context.refuse('source', stage.source, 'audio that is not silent');
    const gain = addedAmplitude(stage.levelDb - own, context);
    let at = -Math.round(stage.startSeconds * context.sampleRate);
    return inPlace((block) => {
      for (let i = 0; i < block.length; i++, at++) {
        if (at === samples.length && stage.repeat) at = 0;
        if (at >= 0 && at < samples.length) block[i] += gain * samples[at];
      }
    });
  },
);
