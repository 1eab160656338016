/**
 * Mistuning and the wrong sideband: every frequency moved by the same number of hertz, as in a single-sideband
 * receiver, or the spectrum turned upside down.
 */
import * as z from 'zod';
import { AnalyticSignal } from '../../dsp/index.js';
import { Rotor } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { type Processor, defineStage } from '../stage.js';

/** Carrier offset and drift. What would be moved below 0 Hz or above half the sample rate folds back. */
export interface OffsetStage {
  kind: 'offset';
  /** Shift at the start, −5000 to 5000 Hz, positive upwards; 0 unless given. */
  offsetHz?: number | undefined;
  /** Further shift each second, −100 to 100 Hz/s, for as long as the stream lasts; 0 unless given. */
  driftHzPerSecond?: number | undefined;
}

/** Carrier offset as a stage. */
export const offset = defineStage(
  z.strictObject({
    kind: z.literal('offset'),
    offsetHz: number(-5000, 5000, 'Hz', 'shift at the start, positive upwards').default(0),
    driftHzPerSecond: number(-100, 100, 'Hz/s', 'further shift each second').default(0),
  } satisfies Shape<OffsetStage>),
  ({ offsetHz, driftHzPerSecond }, { sampleRate }) =>
    new SpectrumShift(new AnalyticSignal(sampleRate), new Rotor(sampleRate, offsetHz, driftHzPerSecond), 1),
);

/** The wrong sideband: the spectrum mirrored, so that f becomes 2·pivotHz − f. What lies above twice the pivot folds back. */
export interface InversionStage {
  kind: 'inversion';
  /** Frequency that stays where it is, 100 to 20 000 Hz; 1700 unless given. */
  pivotHz?: number | undefined;
}

/** The wrong sideband as a stage. */
export const inversion = defineStage(
  z.strictObject({
    kind: z.literal('inversion'),
    pivotHz: number(100, 20_000, 'Hz', 'frequency that stays where it is').default(1700),
  } satisfies Shape<InversionStage>),
  ({ pivotHz }, { sampleRate }) =>
    new SpectrumShift(new AnalyticSignal(sampleRate), new Rotor(sampleRate, 2 * pivotHz), -1),
);

class SpectrumShift implements Processor {
  private cos = new Float64Array(0);
  private sin = new Float64Array(0);

  constructor(
    private readonly analytic: AnalyticSignal,
    private readonly rotor: Rotor,
    /** 1 keeps the spectrum upright, −1 mirrors it. */
    private readonly sense: 1 | -1,
  ) {}

  push(block: Float32Array): Float32Array {
    return this.turn(this.analytic.push(block));
  }

  flush(): Float32Array {
    return this.turn(this.analytic.flush());
  }

  private turn(count: number): Float32Array {
    if (count > this.cos.length) {
      this.cos = new Float64Array(count);
      this.sin = new Float64Array(count);
    }
    const { cos, sin, analytic, sense } = this;
    const { re, im } = analytic;
    this.rotor.fill(cos, sin, count);
    const out = new Float32Array(count);
    for (let i = 0; i < count; i++) out[i] = re[i] * cos[i] - sense * im[i] * sin[i];
    return out;
  }
}
