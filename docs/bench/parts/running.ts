/**
 * A worker that ends with what it was asked for: the page's side, and its own.
 */

/** A live worker, and what ends it. */
export interface Running<To> {
  readonly send: (message: To, transfer?: Transferable[]) => void;
  /** Fulfilled when it is done, has failed or was closed. */
  readonly over: Promise<void>;
  readonly close: () => void;
}

/**
 * Takes what a worker says, and closes it behind its last message: `done`, or `failed` with the `reason`.
 *
 * @param take - of the messages of the worker's protocol, `failed` among them
 */
export function runWorker<To>(worker: Worker, take: (message: never) => void): Running<To> {
  let finish: () => void = () => undefined;
  const over = new Promise<void>((resolve) => {
    finish = resolve;
  });
  const close = () => {
    worker.terminate();
    finish();
  };
  worker.onmessage = ({ data }: MessageEvent<{ readonly type: string }>) => {
    take(data as never);
    if (data.type === 'done' || data.type === 'failed') close();
  };
  worker.onerror = (event) => {
    take({ type: 'failed', reason: event.message } as never);
    close();
  };
  return {
    send: (message, transfer = []) => {
      worker.postMessage(message, transfer);
    },
    over,
    close,
  };
}

/**
 * In a worker: handles what the page sends, and says why where that fails.
 *
 * @param handle - takes the messages of the worker's protocol
 */
export function serve(
  handle: (message: never) => Promise<void> | undefined,
  tell: (message: { type: 'failed'; reason: string }) => void,
): void {
  const fail = (error: unknown) => {
    tell({ type: 'failed', reason: error instanceof Error ? error.message : String(error) });
  };
  addEventListener('message', ({ data }: MessageEvent<unknown>) => {
    try {
      handle(data as never)?.catch(fail);
    } catch (error) {
      fail(error);
    }
  });
}
