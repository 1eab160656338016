/**
 * A WAV file by slices: what it is, which of its channels differ, and its samples, never more than a slice at a time.
 */
import { DotphaseError } from 'dotphase';
import { createWavReader, type AudioBlock } from 'dotphase/wav';
import { sha256 } from '@noble/hashes/sha2.js';

const SLICE_BYTES = 2 ** 22;
/** Channels of which it is asked whether one repeats another; more are all read. */
const MOST_COMPARED = 8;

export interface FileFacts {
  readonly sampleRate: number;
  readonly seconds: number;
  /** The channels that differ from those before them. */
  readonly channels: readonly number[];
  readonly warnings: readonly string[];
  /** SHA-256 of the file, 64 hexadecimal digits. */
  readonly recording: string;
}

/** Reads a file slice by slice. `onBytes` sees each before its blocks come. */
export async function* blocksOf(
  file: Blob,
  onBytes: (bytes: Uint8Array, done: number) => void = () => undefined,
): AsyncGenerator<AudioBlock, readonly string[]> {
  const warnings: string[] = [];
  const reader = createWavReader({
    totalBytes: file.size,
    onWarning: ({ text }) => warnings.push(text),
  });
  for (let at = 0; at < file.size; at += SLICE_BYTES) {
    const bytes = new Uint8Array(await file.slice(at, at + SLICE_BYTES).arrayBuffer());
    onBytes(bytes, Math.min(file.size, at + SLICE_BYTES));
    yield* reader.push(bytes);
  }
  yield* reader.end().blocks;
  return warnings;
}

function isSame(a: Float32Array, b: Float32Array): boolean {
  for (let n = 0; n < a.length; n++) if (a[n] !== b[n]) return false;
  return true;
}

/**
 * Looks through a file once.
 *
 * @throws DotphaseError when it cannot be read
 */
export async function lookThrough(file: Blob, onShare: (share: number) => void): Promise<FileFacts> {
  const hash = sha256.create();
  /** For each channel, those before it that it has repeated so far. */
  let repeats: Set<number>[] | undefined;
  let sampleRate = 0;
  let frames = 0;
  const blocks = blocksOf(file, (bytes, done) => {
    hash.update(bytes);
    onShare(done / file.size);
  });
  for (;;) {
    const { done, value } = await blocks.next();
    if (done) {
      const channels = (repeats ?? []).flatMap((before, channel) => (before.size === 0 ? [channel] : []));
      if (frames === 0) throw new DotphaseError('file', 'no samples', 'a recording that is not empty');
      const recording = [...hash.digest()].map((byte) => byte.toString(16).padStart(2, '0')).join('');
      return { sampleRate, seconds: frames / sampleRate, channels, warnings: value, recording };
    }
    const { channels } = value;
    sampleRate = value.sampleRate;
    frames += channels[0].length;
    repeats ??= channels.map(
      (_, channel) => new Set(channel < MOST_COMPARED ? Array.from({ length: channel }, (__, i) => i) : []),
    );
    repeats.forEach((before, channel) => {
      for (const other of before) if (!isSame(channels[channel], channels[other])) before.delete(other);
    });
  }
}
