/**
 * Blocks of audio between what gives them when it likes and the one who reads them.
 */

/** Time goes on at least so often, milliseconds. */
const TICK_MS = 50;

/** A queue of blocks in real time. */
export class BlockQueue {
  private readonly waiting: Float32Array[] = [];
  private isOver = false;
  private failure: Error | undefined;
  private last: Error | undefined;
  private wake: (() => void) | undefined;

  /** Adds a block. */
  push(block: Float32Array): void {
    this.waiting.push(block);
    this.wake?.();
  }

  /** Ends it with an error at once. The first one counts. */
  fail(error: Error): void {
    this.failure ??= error;
    this.waiting.length = 0;
    this.wake?.();
  }

  /** Ends it with an error once what waits was read: the input is over. */
  dry(error: Error): void {
    this.last ??= error;
    this.wake?.();
  }

  /** Ends it. */
  end(): void {
    this.isOver = true;
    this.wake?.();
  }

  /** The blocks; an empty one where none came for a while. */
  async *blocks(): AsyncGenerator<Float32Array> {
    for (;;) {
      if (this.isOver) return;
      if (this.failure) throw this.failure;
      const block = this.waiting.shift();
      if (block) {
        yield block;
        continue;
      }
      if (this.last) throw this.last;
      await this.pause();
      if (!this.hasEnded()) yield new Float32Array(0);
    }
  }

  private hasEnded(): boolean {
    return this.isOver || this.failure !== undefined;
  }

  private pause(): Promise<void> {
    return new Promise((resolve) => {
      const done = () => {
        clearTimeout(timer);
        this.wake = undefined;
        resolve();
      };
      const timer = setTimeout(done, TICK_MS);
      this.wake = done;
    });
  }
}
