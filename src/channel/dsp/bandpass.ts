/** A linear-phase band-pass filter over a stream. */
import { designBandPass } from './design.js';
import { Line } from './line.js';

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
    const out = new Float32Array(ready);
    for (let n = 0; n < ready; n++) {
      const middle = past + n;
      let sum = taps[0] * data[middle];
      for (let k = 1, before = middle - 1, after = middle + 1; k < taps.length; k++, before--, after++) {
        sum += taps[k] * (data[before] + data[after]);
      }
      out[n] = sum;
    }
    line.consume(ready);
    return out;
  }

  flush(): Float32Array {
    return this.push(new Float32Array(this.lookAhead));
  }
}
