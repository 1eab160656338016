/**
 * How loud samples are, and whether they are clipped.
 */

/** From this on a sample is at full scale; clicks alone bring a few there. */
const FULL_SCALE = 0.999;
const MOST_AT_FULL_SCALE = 10;

/** Counts samples at full scale. */
export class ClippingCount {
  private atFullScale = 0;

  /** Takes samples and gives the highest amplitude among them. */
  take(samples: Float32Array): number {
    let peak = 0;
    for (const sample of samples) {
      const size = Math.abs(sample);
      peak = Math.max(peak, size);
      if (size >= FULL_SCALE) this.atFullScale++;
    }
    return peak;
  }

  /** What is to be said where they are clipped. */
  get warnings(): string[] {
    return this.atFullScale > MOST_AT_FULL_SCALE
      ? [
          `${this.atFullScale} samples at full scale: it is clipped, and its figures are worth little. Record it softer.`,
        ]
      : [];
  }
}
