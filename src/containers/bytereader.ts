/**
 * Bytes from a source in the lengths that a parser asks for.
 */
import { isUint8Array } from '../dsp/index.js';
import { DotphaseError } from '../errors.js';
import { isSkippable, type ByteSource } from '../wav/index.js';

async function* iterate(source: ByteSource): AsyncGenerator<Uint8Array, undefined, undefined> {
  for await (const chunk of source) {
    if (!isUint8Array(chunk)) throw new DotphaseError('chunk', chunk, 'bytes in a Uint8Array');
    if (chunk.length > 0) yield chunk;
  }
}

/** Reads a source of bytes piece by piece; holds no more than was asked for at once and the chunk that it came in. */
export class ByteReader {
  /** The byte of the source that comes next. */
  position = 0;
  readonly #chunks: AsyncGenerator<Uint8Array, undefined, undefined>;
  #held = new Uint8Array(0);

  constructor(private readonly source: ByteSource) {
    this.#chunks = iterate(source);
  }

  /** Lets go of the source, which need not be read to its end. */
  async close(): Promise<void> {
    await this.#chunks.return(undefined);
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

  /** Leaves out `count` bytes, or all there are where the source ends before; gives how many. */
  async skip(count: number): Promise<number> {
    const before = this.position;
    await this.take(Math.min(count, this.#held.length));
    const left = count - (this.position - before);
    // What a source cannot leave out is taken and laid aside.
    if (left > 0 && isSkippable(this.source)) this.position += await this.source.skip(left);
    const pieces = this.pieces(count - (this.position - before));
    while (!(await pieces.next()).done);
    return this.position - before;
  }

  /** Goes to a byte of the source, back or forth; gives false, and does nothing, where that cannot be done. */
  async seek(byte: number): Promise<boolean> {
    if (!isSkippable(this.source) || !(await this.source.seek?.(byte))) return false;
    this.#held = new Uint8Array(0);
    this.position = byte;
    return true;
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
