/** A steady carrier nearby: a tone. */
import * as z from 'zod';
import { Rotor } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { defineStage } from '../stage.js';
import { type Added, addedAmplitude, addedShape, between, requireTone } from './added.js';

/** An unmodulated carrier, heard as a tone. */
export interface CarrierStage extends Added {
  kind: 'carrier';
  /** Where it is heard, 1 to 96 000 Hz and below half the sample rate. */
  frequencyHz: number;
}

/** A carrier as a stage. */
export const carrier = defineStage(
  z.strictObject({
    kind: z.literal('carrier'),
    frequencyHz: number(1, 96_000, 'Hz', 'where it is heard'),
    ...addedShape,
  } satisfies Shape<CarrierStage>),
  (stage, context) => {
    requireTone('frequencyHz', stage.frequencyHz, context);
    const amplitude = Math.SQRT2 * addedAmplitude(stage.levelDb, context);
    const rotor = new Rotor(context.sampleRate, stage.frequencyHz, 0, context.random().uniform());
    let cos = new Float64Array(0);
    let sin = new Float64Array(0);
    return between(stage, context, (block) => {
      if (block.length > cos.length) {
        cos = new Float64Array(block.length);
        sin = new Float64Array(block.length);
      }
      rotor.fill(cos, sin, block.length);
      for (let i = 0; i < block.length; i++) block[i] += amplitude * cos[i];
    });
  },
);
