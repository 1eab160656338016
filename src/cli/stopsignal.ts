/**
 * Ends what goes on until it is told to end.
 */

/** What tells the process to end. */
export const STOPPING = ['SIGINT', 'SIGTERM'] as const;

/** The same where a terminal that is closed tells it too: a call that is going out must not break off unsaid. */
export const ENDING = [...STOPPING, 'SIGHUP'] as const;

/** Aborts at the first SIGINT or SIGTERM; a second one ends the process at once. */
export function stopSignal(): AbortSignal {
  const stop = new AbortController();
  for (const signal of STOPPING)
    process.once(signal, () => {
      stop.abort();
    });
  return stop.signal;
}
