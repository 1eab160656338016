/** Gives what a promise gives, or throws the signal's reason as soon as it aborts. */
export async function orAborted<Value>(
  waiting: Promise<Value>,
  signal: AbortSignal | undefined,
): Promise<Value> {
  if (!signal) return waiting;
  // What was called to get the promise may have aborted it.
  signal.throwIfAborted();
  let stop = (): void => undefined;
  const stopped = new Promise<void>((resolve) => {
    stop = resolve;
  });
  signal.addEventListener('abort', stop);
  try {
    const value = await Promise.race([waiting, stopped]);
    signal.throwIfAborted();
    return value as Value;
  } finally {
    signal.removeEventListener('abort', stop);
  }
}
