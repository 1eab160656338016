/** Faults of gain, bias and converters. */
import * as z from 'zod';
import { dbToAmplitude } from '../../dsp/index.js';
import { type Shape, exactlyOne, flag, integer, number } from '../parameters.js';
import { defineStage, inPlace } from '../stage.js';
import { type Timed, between, timedShape } from './added.js';

/** A change of gain, from a time and until a time: a turned knob, a drop-out. */
export interface GainStage extends Timed {
  kind: 'gain';
  /** Gain, −200 to 60 dB. */
  gainDb: number;
}

/** Gain as a stage. */
export const gain = defineStage(
  z.strictObject({
    kind: z.literal('gain'),
    gainDb: number(-200, 60, 'dB', 'gain'),
    ...timedShape,
  } satisfies Shape<GainStage>),
  (stage, context) => {
    const factor = dbToAmplitude(stage.gainDb);
    return between(stage, context, (block) => {
      for (let i = 0; i < block.length; i++) block[i] *= factor;
    });
  },
);

/** A constant added to every sample. */
export interface DcStage {
  kind: 'dc';
  /** What is added, −10 to 10. */
  offset: number;
}

/** Direct current as a stage. */
export const dc = defineStage(
  z.strictObject({
    kind: z.literal('dc'),
    offset: number(-10, 10, '', 'what is added to every sample'),
  } satisfies Shape<DcStage>),
  ({ offset }) =>
    inPlace((block) => {
      for (let i = 0; i < block.length; i++) block[i] += offset;
    }),
);

/** Hard clipping, its limit given in exactly one of two ways. */
export interface ClipStage {
  kind: 'clip';
  /** How far the signal's peaks exceed the limit, −60 to 60 dB, where the signal is taken for a tone at its level. */
  overDb?: number | undefined;
  /** Largest magnitude left, 10⁻⁶ to 1000. */
  limit?: number | undefined;
}

/** Clipping as a stage. */
export const clip = defineStage(
  exactlyOne(
    z.strictObject({
      kind: z.literal('clip'),
      overDb: number(-60, 60, 'dB', "how far the signal's peaks exceed the limit").optional(),
      limit: number(1e-6, 1000, '', 'largest magnitude left').optional(),
    } satisfies Shape<ClipStage>),
    ['overDb', 'limit'],
  ),
  ({ overDb, limit }, context) => {
    const most = limit ?? Math.sqrt(2 * context.signalPower()) / dbToAmplitude(overDb ?? 0);
    return inPlace((block) => {
      for (let i = 0; i < block.length; i++) block[i] = Math.min(most, Math.max(-most, block[i]));
    });
  },
);

/** A converter of few bits: rounding to 2^bits steps from −fullScale to just below fullScale, saturating at the ends. */
export interface QuantiseStage {
  kind: 'quantise';
  /** Bits per sample, 2 to 24. */
  bits: number;
  /** Magnitude at which the converter saturates, 10⁻⁶ to 1000; 1 unless given. */
  fullScale?: number | undefined;
  /** Whether triangular dither of two steps peak to peak is added before rounding; not unless given. */
  dither?: boolean | undefined;
}

/** Quantisation as a stage. */
export const quantise = defineStage(
  z.strictObject({
    kind: z.literal('quantise'),
    bits: integer(2, 24, 'bits per sample'),
    fullScale: number(1e-6, 1000, '', 'magnitude at which the converter saturates').default(1),
    dither: flag('whether triangular dither is added before rounding').default(false),
  } satisfies Shape<QuantiseStage>),
  ({ bits, fullScale, dither }, context) => {
    const steps = 2 ** (bits - 1);
    const step = fullScale / steps;
    const random = context.random();
    return inPlace((block) => {
      for (let i = 0; i < block.length; i++) {
        const noise = dither ? random.uniform() - random.uniform() : 0;
        block[i] = step * Math.min(steps - 1, Math.max(-steps, Math.round(block[i] / step + noise)));
      }
    });
  },
);
