/** A window over a stream of samples, for everything that looks back or ahead. */

/**
 * Keeps `past` samples before and `future` samples after each sample under work. The stream begins with zeros.
 *
 * After {@link Line.append}, sample `i` of the {@link Line.ready} ones stands at `data[past + i]`, with its past and
 * future around it; {@link Line.consume} lets them go.
 */
export class Line {
  data: Float64Array;
  private filled: number;

  constructor(
    readonly past: number,
    readonly future: number,
  ) {
    this.data = new Float64Array(past + future + 1024);
    this.filled = past;
  }

  /** How many samples have their whole surroundings. */
  get ready(): number {
    return Math.max(0, this.filled - this.past - this.future);
  }

  append(samples: ArrayLike<number>, count = samples.length): void {
    const needed = this.filled + count;
    if (needed > this.data.length) {
      const larger = new Float64Array(Math.max(needed, 2 * this.data.length));
      larger.set(this.data.subarray(0, this.filled));
      this.data = larger;
    }
    for (let i = 0, at = this.filled; i < count; i++, at++) this.data[at] = samples[i];
    this.filled = needed;
  }

  consume(count: number): void {
    this.data.copyWithin(0, count, this.filled);
    this.filled -= count;
  }
}
