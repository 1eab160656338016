/** A linear-phase band-pass filter over a stream. */
import { designBandPass } from './filterdesign.js';
import { LINE_SLACK, Line } from './line.js';

/** Filters with no delay between input and output: what comes out lags by the look-ahead until the end. */
export class BandPass {
  private readonly taps: Float64Array;
  private readonly line: Line;

  /**
   * @param lowHz - lower −6 dB edge, 0 for none
   * @param highHz - upper −6 dB edge, below half the sample rate
   * @param transitionHz - width of each edge
   * @param attenuationDb - outside the edges, above 50 dB
   */
  constructor(
    sampleRate: number,
    lowHz: number,
    highHz: number,
    transitionHz: number,
    attenuationDb: number,
  ) {
    this.taps = designBandPass(
      lowHz / sampleRate,
      highHz / sampleRate,
      transitionHz / sampleRate,
      attenuationDb,
    );
    this.line = new Line(this.taps.length - 1, this.taps.length - 1);
  }

  /** Samples that the filter must see ahead of the one it gives. */
  get lookAhead(): number {
    return this.line.future;
  }

  push(block: Float32Array): Float32Array {
    const { taps, line } = this;
    line.append(block);
    const { data, past, ready } = line;
    const out = new Float32Array(ready + LINE_SLACK);
    // Four at a time, as in the Hilbert transformer.
    for (let n = 0; n < ready; n += 4) {
      const middle = past + n;
      let a = taps[0] * data[middle];
      let b = taps[0] * data[middle + 1];
      let c = taps[0] * data[middle + 2];
      let d = taps[0] * data[middle + 3];
      for (let k = 1, before = middle - 1, after = middle + 1; k < taps.length; k++, before--, after++) {
        const tap = taps[k];
        a += tap * (data[before] + data[after]);
        b += tap * (data[before + 1] + data[after + 1]);
        c += tap * (data[before + 2] + data[after + 2]);
        d += tap * (data[before + 3] + data[after + 3]);
      }
      out[n] = a;
      out[n + 1] = b;
      out[n + 2] = c;
      out[n + 3] = d;
    }
    line.consume(ready);
    return out.slice(0, ready);
  }

  flush(): Float32Array {
    return this.push(new Float32Array(this.lookAhead));
  }
}
