/** Mistuning: every frequency moved by the same number of hertz, as in a single-sideband receiver, with linear drift. */
import { AnalyticSignal } from '../dsp/analytic.js';
import { Rotor } from '../dsp/rotor.js';
import { type Processor, defineStage } from '../spec.js';

/** Carrier offset and drift. What would be moved below 0 Hz or above half the sample rate folds back. */
export interface OffsetStage {
  kind: 'offset';
  /** Shift at the start, −5000 to 5000 Hz, positive upwards; 0 unless given. */
  offsetHz?: number;
  /** Further shift each second, −100 to 100 Hz/s, for as long as the stream lasts; 0 unless given. */
  driftHzPerSecond?: number;
}

/** Carrier offset as a stage. */
export const offset = defineStage<OffsetStage>({
  kind: 'offset',
  about: 'carrier offset and drift (single-sideband shift)',
  fields: {
    offsetHz: { type: 'number', min: -5000, max: 5000, unit: 'Hz', default: 0, about: 'shift at the start' },
    driftHzPerSecond: {
      type: 'number',
      min: -100,
      max: 100,
      unit: 'Hz/s',
      default: 0,
      about: 'further shift each second',
    },
  },
  create(stage, { sampleRate }) {
    return new Offset(
      new AnalyticSignal(sampleRate),
      new Rotor(sampleRate, stage.offsetHz, stage.driftHzPerSecond),
    );
  },
});

class Offset implements Processor {
  private cos = new Float64Array(0);
  private sin = new Float64Array(0);

  constructor(
    private readonly analytic: AnalyticSignal,
    private readonly rotor: Rotor,
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
    const { cos, sin, analytic } = this;
    const { re, im } = analytic;
    this.rotor.fill(cos, sin, count);
    const out = new Float32Array(count);
    for (let i = 0; i < count; i++) out[i] = re[i] * cos[i] - im[i] * sin[i];
    return out;
  }
}
