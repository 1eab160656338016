/**
 * Where sound comes from and goes to while a command runs: a sound card, two pipes or two files.
 */

/** A sound input. */
export interface SoundInput {
  /** Samples per second; of a port both in and out. */
  readonly sampleRate: number;
  /** What the input is called in messages. */
  readonly inputName: string;
  /**
   * What comes in, block after block, full scale ±1; now and then an empty block, so that time goes on where nothing
   * comes. It is read once.
   *
   * @throws DotphaseError when the input ends or fails, or the output of a port fails
   */
  blocks(): AsyncIterable<Float32Array>;
  /** Lets go of everything; what is being played is broken off. */
  close(): void | Promise<void>;
}

/** A sound input and a sound output that share a clock. */
export interface SoundPort extends SoundInput {
  /** `live`: in real time; `file`: as fast as it computes, by the clock of the samples. */
  readonly kind: 'live' | 'file';
  /** Whether a sound card is behind it: then sound comes in all the time, and never quite silent. */
  readonly isSoundCard: boolean;
  /** The file that the output goes into, where it goes no further. */
  readonly outputFile?: string;
  /** The present, milliseconds since 1970 UTC. */
  now(): number;
  /**
   * Puts audio out, now. One at a time.
   *
   * @param onEnd - told whether all of it went out
   */
  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void;
  /** Breaks off what is being played. */
  cut(): void;
}

/** Samples as s16, little endian, without a container. */
export function toS16(samples: Float32Array): Uint8Array {
  const bytes = new Uint8Array(samples.length * 2);
  const view = new DataView(bytes.buffer);
  samples.forEach((sample, n) => {
    view.setInt16(2 * n, Math.round(Math.min(1, Math.max(-1, sample)) * 32_767), true);
  });
  return bytes;
}
