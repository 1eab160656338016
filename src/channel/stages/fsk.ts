/** Other frequency-shift keying on the band, with random data. */
import * as z from 'zod';
import { FskPhase } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { defineStage } from '../stage.js';
import { type Added, addedAmplitude, addedShape, between, requireTone } from './added.js';

/** A frequency-shift keyed transmission that carries random data. Its tones must lie between 0 Hz and half the sample rate. */
export interface FskStage extends Added {
  kind: 'fsk';
  /** Elements per second, 1 to 2400; 50 unless given. */
  baud?: number | undefined;
  /** Distance between the two tones, 1 to 4000 Hz; 450 unless given. */
  shiftHz?: number | undefined;
  /** Middle between the two tones, 1 to 96 000 Hz; 1700 unless given. */
  centreHz?: number | undefined;
}

/** Other frequency-shift keying as a stage. */
export const fsk = defineStage(
  z.strictObject({
    kind: z.literal('fsk'),
    baud: number(1, 2400, 'Bd', 'elements per second').default(50),
    shiftHz: number(1, 4000, 'Hz', 'distance between the two tones').default(450),
    centreHz: number(1, 96_000, 'Hz', 'middle between the two tones').default(1700),
    ...addedShape,
  } satisfies Shape<FskStage>),
  (stage, context) => {
    const { baud, shiftHz, centreHz } = stage;
    requireTone('centreHz', centreHz - shiftHz / 2, context);
    requireTone('centreHz', centreHz + shiftHz / 2, context);
    const random = context.random();
    const turns = random.uniform();
    const phase = new FskPhase(
      { sampleRate: context.sampleRate, baud, centreHz, shiftHz },
      () => random.uniform() < 0.5,
      turns,
    );
    const amplitude = Math.SQRT2 * addedAmplitude(stage.levelDb, context);
    return between(stage, context, (block) => {
      for (let i = 0; i < block.length; i++) block[i] += amplitude * Math.cos(2 * Math.PI * phase.turns());
    });
  },
);
