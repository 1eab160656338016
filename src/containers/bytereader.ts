/**
 * Bytes from a source in the lengths that a parser asks for.
 */
import { isUint8Array } from '../dsp/index.js';
import { DotphaseError } from '../errors.js';
import type { ByteSource } from '../wav/index.js';

async function* iterate(source: ByteSource): AsyncGenerator<Uint8Array, undefined, undefined> {
  for await (const chunk of source) {
    if (!isUint8Array(chunk)) throw new DotphaseError('chunk', chunk, 'bytes in a Uint8Array');
    if (chunk.length > 0) yield chunk;
  }
}

/** Reads a source of bytes piece by piece; holds no more than was asked for at once and the chunk that it came in. */
export class ByteReader {
  /** Bytes handed over so far. */
  position = 0;
  readonly #chunks: AsyncGenerator<Uint8Array, undefined, undefined>;
  #held = new Uint8Array(0);

  constructor(source: ByteSource) {
    this.#chunks = iterate(source);
  }

  /** The next bytes without taking them: `count`, or all there are where the source ends before. */
  async peek(count: number): Promise<Uint8Array> {
    while (this.#held.length < count) {
      const next = await this.#chunks.next();
      if (next.done) break;
      const joined = new Uint8Array(this.#held.length + next.value.length);
      joined.set(this.#held);
      joined.set(next.value, this.#held.length);
      this.#held = joined;
    }
    return this.#held.subarray(0, count);
  }

  /** Takes the next bytes: `count`, or all there are where the source ends before. */
  async take(count: number): Promise<Uint8Array> {
    const taken = await this.peek(count);
    this.#held = this.#held.subarray(taken.length);
    this.position += taken.length;
    return taken;
  }

  /** Takes `count` bytes, or all there are where the source ends before, and leaves them aside. */
  async skip(count: number): Promise<void> {
    const pieces = this.pieces(count);
    while (!(await pieces.next()).done);
  }

  /** Takes `count` bytes as they come, or all there are where the source ends before. */
  async *pieces(count = Infinity): AsyncGenerator<Uint8Array, undefined, undefined> {
    for (let left = count; left > 0;) {
      await this.peek(1);
      const piece = await this.take(Math.min(left, this.#held.length));
      if (piece.length === 0) return;
      left -= piece.length;
      yield piece;
    }
  }
}
