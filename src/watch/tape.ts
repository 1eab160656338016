/**
 * The last sound of an input, out of which that of a call is cut.
 */
import { writeWav } from '../wav/index.js';

/** So much is kept, seconds: a call at 100 Bd, its dots, and the time until it is given. */
const KEPT_SECONDS = 30;

/** Kept before and behind a call: its dot pattern and a little more. */
const BEFORE_SECONDS = 2.2;
const BEHIND_SECONDS = 0.3;

const FULL_SCALE = 32_767;

/** Keeps the latest samples of a stream, with 16 bits each. */
export class Tape {
  readonly #samples: Int16Array;
  #frames = 0;

  constructor(private readonly sampleRate: number) {
    this.#samples = new Int16Array(KEPT_SECONDS * sampleRate);
  }

  push(samples: Float32Array): void {
    const { length } = this.#samples;
    for (let i = 0; i < samples.length; i++) {
      const sample = Math.max(-1, Math.min(1, samples[i]));
      this.#samples[this.#frames++ % length] = Math.round(FULL_SCALE * sample);
    }
  }

  /** A part of the stream, in seconds of it, as a WAV file; undefined where its beginning is not kept any more. */
  cut(start: number, end: number): Uint8Array | undefined {
    const { length } = this.#samples;
    const oldest = Math.max(0, this.#frames - length);
    if (start * this.sampleRate < oldest) return undefined;
    const from = Math.max(oldest, Math.round((start - BEFORE_SECONDS) * this.sampleRate));
    const until = Math.min(this.#frames, Math.round((end + BEHIND_SECONDS) * this.sampleRate));
    if (until <= from) return undefined;
    const samples = Float32Array.from(
      { length: until - from },
      (_, i) => this.#samples[(from + i) % length] / (FULL_SCALE + 1),
    );
    return writeWav({ sampleRate: this.sampleRate, channels: [samples] });
  }
}
