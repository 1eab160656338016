/** Silence before everything that follows. */
import * as z from 'zod';
import { type Shape, number } from '../parameters.js';
import { type Processor, defineStage } from '../stage.js';
import { Resampler } from './clock.js';

/** Time delay. */
export interface DelayStage {
  kind: 'delay';
  /** Delay, 0 to 60 000 ms, to fractions of a sample. */
  delayMs: number;
}

/** Time delay as a stage. */
export const delay = defineStage(
  z.strictObject({
    kind: z.literal('delay'),
    delayMs: number(0, 60_000, 'ms', 'delay'),
  } satisfies Shape<DelayStage>),
  ({ delayMs }, { sampleRate }) => {
    const samples = (delayMs / 1000) * sampleRate;
    const nearest = Math.round(samples);
    if (Math.abs(samples - nearest) < NEAR_WHOLE) return new WholeDelay(nearest);
    const whole = Math.floor(samples);
    return inTurn(new WholeDelay(whole), new Resampler(0, samples - whole));
  },
);

/** Delays that miss a whole number of samples by less than this are taken for rounding. */
const NEAR_WHOLE = 1e-6;

class WholeDelay implements Processor {
  private readonly held: Float32Array;
  private at = 0;

  constructor(samples: number) {
    this.held = new Float32Array(samples);
  }

  push(block: Float32Array): Float32Array {
    const { held } = this;
    if (held.length === 0) return block;
    for (let i = 0; i < block.length; i++) {
      const late = held[this.at];
      held[this.at] = block[i];
      block[i] = late;
      this.at = this.at + 1 === held.length ? 0 : this.at + 1;
    }
    return block;
  }

  flush(): Float32Array {
    return this.push(new Float32Array(this.held.length));
  }
}

function inTurn(first: Processor, second: Processor): Processor {
  return {
    push: (block) => second.push(first.push(block)),
    flush() {
      const tail = second.push(first.flush());
      const rest = second.flush();
      const all = new Float32Array(tail.length + rest.length);
      all.set(tail);
      all.set(rest, tail.length);
      return all;
    },
  };
}
