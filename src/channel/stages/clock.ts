/** A sampling clock that runs fast or slow, and fractions of a sample of delay: both read the stream between its samples. */
import * as z from 'zod';
import { Line } from '../../dsp/index.js';
import { SINC_REACH, SincReader } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { type Processor, defineStage } from '../stage.js';

/** A sampling clock out of step. */
export interface ClockStage {
  kind: 'clock';
  /**
   * How much faster than the receiver's the sender's clock runs, −20 000 to 20 000 ppm: at 100 ppm every frequency
   * and the bit rate are 100 millionths higher, and the audio as much shorter.
   */
  ppm: number;
}

/** Clock error as a stage. */
export const clock = defineStage(
  z.strictObject({
    kind: z.literal('clock'),
    ppm: number(-20_000, 20_000, 'ppm', "how much too fast the sender's clock runs"),
  } satisfies Shape<ClockStage>),
  ({ ppm }) => new Resampler(ppm * 1e-6, 0),
);

/** Gives the stream's value at n·(1 + stretch) − delay for n = 0, 1, 2 …, as long as that lies within the stream. */
export class Resampler implements Processor {
  private readonly line = new Line(SINC_REACH, SINC_REACH);
  private readonly reader = new SincReader();
  private received = 0;
  private written = 0;
  /** Place in the stream of the line's sample under work. */
  private base = 0;

  /**
   * @param stretch - relative clock error, above −1
   * @param delay - 0 to 1 sample
   */
  constructor(
    private readonly stretch: number,
    private readonly delay: number,
  ) {}

  push(block: Float32Array): Float32Array {
    this.received += block.length;
    this.line.append(block);
    return this.read(this.base + this.line.ready);
  }

  flush(): Float32Array {
    this.line.append(new Float64Array(SINC_REACH));
    return this.read(this.received);
  }

  /** Everything that lies before `end` in the stream. */
  private read(end: number): Float32Array {
    const { line, reader, stretch, delay, base } = this;
    const out = new Float32Array(Math.ceil((end - base) / (1 + stretch)) + 2);
    let count = 0;
    for (;;) {
      const whole = this.written;
      const part = whole * stretch - delay;
      const floor = Math.floor(part);
      if (whole + floor >= end) break;
      const at = line.past + whole + floor - base;
      const fraction = part - floor;
      out[count++] = fraction === 0 ? line.data[at] : reader.read(line.data, at, fraction);
      this.written++;
    }
    line.consume(end - base);
    this.base = end;
    return out.slice(0, count);
  }
}
