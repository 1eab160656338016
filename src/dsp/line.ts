/** A window over a stream of samples, for everything that looks back or ahead. */

/** How many samples past the ready ones may be read, though they mean nothing: room for loops of four at a time. */
export const LINE_SLACK = 3;

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
    this.data = new Float64Array(past + future + 1024 + LINE_SLACK);
    this.filled = past;
  }

  /** How many samples have their whole surroundings. */
  get ready(): number {
    return Math.max(0, this.filled - this.past - this.future);
  }

  append(samples: ArrayLike<number>, count = samples.length): void {
    const needed = this.filled + count;
    if (needed + LINE_SLACK > this.data.length) {
      const larger = new Float64Array(2 * needed + LINE_SLACK);
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
