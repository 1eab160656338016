/** Bytes as a stream of choices: the same bytes choose the same, and a changed byte changes little. */
export class Material {
  private at = 0;

  constructor(private readonly bytes: Uint8Array) {}

  /** Bytes not used yet. */
  get left(): number {
    return this.bytes.length - this.at;
  }

  /** The next byte; 0 where there is none any more. */
  byte(): number {
    return this.at < this.bytes.length ? this.bytes[this.at++] : 0;
  }

  /** An integer from 0 to 65535. */
  word(): number {
    return this.byte() * 256 + this.byte();
  }

  /** One of a list. */
  pick<Item>(list: readonly Item[]): Item {
    return list[(list.length > 256 ? this.word() : this.byte()) % list.length];
  }

  /** The next bytes, at most so many. */
  take(count: number): Uint8Array {
    const piece = this.bytes.subarray(this.at, this.at + count);
    this.at += piece.length;
    return piece;
  }

  /** All that is left, as text. */
  text(): string {
    return new TextDecoder().decode(this.take(this.left));
  }
}
