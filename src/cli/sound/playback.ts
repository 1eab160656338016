/**
 * What is being played within a stream that never pauses.
 */

/** One sound at a time, silence otherwise. */
export class Playback {
  private current: { readonly audio: Float32Array; readonly onEnd: (isWhole: boolean) => void } | undefined;
  private at = 0;

  /** Plays from the next samples on. */
  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void {
    this.current = { audio, onEnd };
    this.at = 0;
  }

  /** The next samples of the stream. */
  next(length: number): Float32Array {
    const block = new Float32Array(length);
    if (!this.current) return block;
    const part = this.current.audio.subarray(this.at, this.at + length);
    block.set(part);
    this.at += part.length;
    return block;
  }

  /** Tells of the end of a sound whose last samples were given. */
  settle(): void {
    if (this.current && this.at >= this.current.audio.length) this.end(true);
  }

  /** Breaks off. */
  cut(): void {
    this.end(false);
  }

  private end(isWhole: boolean): void {
    const { current } = this;
    this.current = undefined;
    current?.onEnd(isWhole);
  }
}
