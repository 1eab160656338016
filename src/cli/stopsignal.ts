/**
 * Ends what goes on until it is told to end.
 */

/** Aborts at the first SIGINT or SIGTERM; a second one ends the process at once. */
export function stopSignal(): AbortSignal {
  const stop = new AbortController();
  for (const signal of ['SIGINT', 'SIGTERM'] as const)
    process.once(signal, () => {
      stop.abort();
    });
  return stop.signal;
}
