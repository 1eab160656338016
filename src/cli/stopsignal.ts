/**
 * Ends what goes on until it is told to end.
 */

/** What tells the process to end. */
export const STOPPING = ['SIGINT', 'SIGTERM'] as const;

/** Aborts at the first SIGINT or SIGTERM; a second one ends the process at once. */
export function stopSignal(): AbortSignal {
  const stop = new AbortController();
  for (const signal of STOPPING)
    process.once(signal, () => {
      stop.abort();
    });
  return stop.signal;
}
