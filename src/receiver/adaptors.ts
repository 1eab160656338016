/**
 * The receiver behind the streams that platforms have.
 */
import { orAborted } from '../abort.js';
import { createReceiver } from './receiver.js';
import type { ReceivedCall, ReceiverOptions } from './types.js';

/** How {@link receiveFrom} receives. */
export interface ReceiveFromOptions extends ReceiverOptions {
  /** Stops at once, also while a block is awaited: the loop over the calls throws the signal's reason. */
  readonly signal?: AbortSignal;
}

/**
 * Receives calls from blocks of samples as they come.
 *
 * @param source - blocks of any length, full scale ±1; it is closed where the loop ends early
 * @throws DotphaseError when an option is out of range; the reason of `signal` where it stops the stream
 */
export async function* receiveFrom(
  source: AsyncIterable<Float32Array> | Iterable<Float32Array>,
  { signal, ...options }: ReceiveFromOptions,
): AsyncGenerator<ReceivedCall, void, undefined> {
  const receiver = createReceiver(options);
  for await (const samples of untilAborted(source, signal)) yield* receiver.push(samples);
  yield* receiver.flush();
}

/** The blocks of a source until a signal aborts; then its reason is thrown, even if the next block never comes. */
async function* untilAborted<Block>(
  source: AsyncIterable<Block> | Iterable<Block>,
  signal: AbortSignal | undefined,
): AsyncGenerator<Block, void, undefined> {
  const blocks = Symbol.asyncIterator in source ? source[Symbol.asyncIterator]() : source[Symbol.iterator]();
  let isOver = false;
  try {
    for (;;) {
      const next = await orAborted(Promise.resolve(blocks.next()), signal);
      isOver = next.done === true;
      if (next.done) return;
      yield next.value;
    }
  } finally {
    // Not awaited: a source that waits for its next block closes when that comes.
    if (!isOver) void Promise.resolve(blocks.return?.()).catch(() => undefined);
  }
}

/**
 * A Web Stream that takes blocks of samples and gives calls as they end.
 *
 * @throws DotphaseError when an option is out of range
 */
export function createReceiverStream(options: ReceiverOptions): TransformStream<Float32Array, ReceivedCall> {
  const receiver = createReceiver(options);
  return new TransformStream<Float32Array, ReceivedCall>({
    transform(samples, controller) {
      for (const call of receiver.push(samples)) controller.enqueue(call);
    },
    flush(controller) {
      for (const call of receiver.flush()) controller.enqueue(call);
    },
  });
}
