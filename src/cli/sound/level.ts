/**
 * How loud the input is: whether there is any, and whether it is too much.
 */

/** Below this peak nothing is connected, full scale being 1: two steps of 16 bits. */
const SILENT_PEAK = 2 / 32_768;
/** Said after so long a silence, seconds. */
const SILENT_SECONDS = 5;

/** From this on a sample is at the limit. */
const FULL_SCALE = 0.99;
/** So many samples in a row at the limit are clipped. */
const CLIPPED_RUN = 3;
/** Said from so many clipped runs on within a second. */
const MOST_RUNS = 5;

/** The level is that of about so long, seconds. */
const LEVEL_SECONDS = 0.5;

/** Watches an input. */
export class InputLevel {
  /** Samples since the last that was above the silence. */
  private silent = 0;
  private isSilent = false;
  private isClipped = false;
  /** Samples in a row at the limit. */
  private row = 0;
  private runs = 0;
  private counted = 0;
  private meanSquare = 0;

  constructor(private readonly sampleRate: number) {}

  /** The level, dB below a full-scale sine (dBFS, AES17); −∞ for digital silence. */
  get levelDb(): number {
    return 10 * Math.log10(2 * this.meanSquare);
  }

  /**
   * Takes what came in.
   *
   * @returns a warning each time a problem begins
   */
  push(samples: Float32Array): string[] {
    let square = 0;
    for (const sample of samples) {
      const size = Math.abs(sample);
      square += sample * sample;
      this.silent = size > SILENT_PEAK ? 0 : this.silent + 1;
      this.row = size >= FULL_SCALE ? this.row + 1 : 0;
      if (this.row === CLIPPED_RUN) this.runs++;
    }
    if (samples.length > 0) {
      const share = Math.min(1, samples.length / (LEVEL_SECONDS * this.sampleRate));
      this.meanSquare += share * (square / samples.length - this.meanSquare);
    }
    return [...this.silence(), ...this.clipping(samples.length)];
  }

  private silence(): string[] {
    const isSilent = this.silent >= SILENT_SECONDS * this.sampleRate;
    const begins = isSilent && !this.isSilent;
    this.isSilent = isSilent;
    return begins
      ? [
          `The input is silent, not even noise for ${SILENT_SECONDS} s: is the right one chosen, connected and turned up?`,
        ]
      : [];
  }

  private clipping(length: number): string[] {
    this.counted += length;
    if (this.counted < this.sampleRate) return [];
    const isClipped = this.runs >= MOST_RUNS;
    const begins = isClipped && !this.isClipped;
    this.isClipped = isClipped;
    this.counted = 0;
    this.runs = 0;
    return begins ? ['The input is clipped: turn it down, at the set or at the sound card.'] : [];
  }
}
