/** The analytic signal of a stream: the stream itself and its Hilbert transform. */
import { designHilbert } from './design.js';
import { Line } from './line.js';

/** Lowest frequency of the band in which the analytic signal holds, hertz; the highest is as far below half the sample rate. */
export const ANALYTIC_EDGE_HZ = 150;

const RIPPLE_DB = 70;

/**
 * Splits a stream into its in-phase and quadrature parts with no delay between input and output: what comes out
 * lags by the look-ahead until {@link AnalyticSignal.flush}.
 */
export class AnalyticSignal {
  /** In-phase part of the latest samples. */
  re = new Float64Array(0);
  /** Quadrature part of the latest samples. */
  im = new Float64Array(0);
  private readonly taps: Float64Array;
  private readonly line: Line;

  constructor(sampleRate: number) {
    this.taps = designHilbert(ANALYTIC_EDGE_HZ / sampleRate, RIPPLE_DB);
    const reach = 2 * this.taps.length - 1;
    this.line = new Line(reach, reach);
  }

  /** Takes a block and leaves the samples that became ready in `re` and `im`; returns how many. */
  push(block: Float32Array): number {
    this.line.append(block);
    const { taps, line } = this;
    const { data, past, ready } = line;
    if (ready > this.re.length) {
      this.re = new Float64Array(ready);
      this.im = new Float64Array(ready);
    }
    const { re, im } = this;
    const pairs = taps.length;
    for (let n = 0; n < ready; n++) {
      const middle = past + n;
      let sum = 0;
      for (let i = 0, before = middle - 1, after = middle + 1; i < pairs; i++, before -= 2, after += 2) {
        sum += taps[i] * (data[before] - data[after]);
      }
      re[n] = data[middle];
      im[n] = sum;
    }
    line.consume(ready);
    return ready;
  }

  /** The samples still held back, with silence after them. */
  flush(): number {
    return this.push(new Float32Array(this.line.future));
  }
}
