/**
 * The receiver behind the streams that platforms have.
 */
import { createReceiver } from './receiver.js';
import type { ReceivedCall, ReceiverOptions } from './types.js';

/**
 * Receives calls from blocks of samples as they come.
 *
 * @param source - blocks of any length, full scale ±1
 * @throws DotphaseError when an option is out of range
 */
export async function* receiveFrom(
  source: AsyncIterable<Float32Array> | Iterable<Float32Array>,
  options: ReceiverOptions,
): AsyncGenerator<ReceivedCall, void, undefined> {
  const receiver = createReceiver(options);
  for await (const samples of source) yield* receiver.push(samples);
  yield* receiver.flush();
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
