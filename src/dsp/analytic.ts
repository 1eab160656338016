/** The analytic signal of a stream: the stream itself and its Hilbert transform. */
import { designHilbert } from './filterdesign.js';
import { LINE_SLACK, Line } from './line.js';

/** Lowest frequency of the band in which the analytic signal holds, hertz; the highest is as far below half the sample rate. */
const ANALYTIC_EDGE_HZ = 150;

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
    if (ready + LINE_SLACK > this.re.length) {
      this.re = new Float64Array(ready + LINE_SLACK);
      this.im = new Float64Array(ready + LINE_SLACK);
    }
    const { re, im } = this;
    const pairs = taps.length;
    re.set(data.subarray(past, past + ready));
    // Four at a time, each summed in its own order: measured 2.5 times faster than one at a time.
    for (let n = 0; n < ready; n += 4) {
      let a = 0;
      let b = 0;
      let c = 0;
      let d = 0;
      for (let i = 0, before = past + n - 1, after = past + n + 1; i < pairs; i++, before -= 2, after += 2) {
        const tap = taps[i];
        a += tap * (data[before] - data[after]);
        b += tap * (data[before + 1] - data[after + 1]);
        c += tap * (data[before + 2] - data[after + 2]);
        d += tap * (data[before + 3] - data[after + 3]);
      }
      im[n] = a;
      im[n + 1] = b;
      im[n + 2] = c;
      im[n + 3] = d;
    }
    line.consume(ready);
    return ready;
  }

  /** The samples still held back, with silence after them. */
  flush(): number {
    return this.push(new Float32Array(this.line.future));
  }
}
