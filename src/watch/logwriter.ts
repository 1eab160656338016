/**
 * What a watch writes into its log: later where another program holds the file, so that listening goes on.
 */
import { OwedWrites, type HeardStore, type Write } from '../records/sqlite/index.js';

/** Does something with the log: now, or once it can be written. */
export type Log = (write: Write) => void;

/** Writes into the log of a watch. */
export interface LogWriter {
  /** @throws DotphaseError when the log cannot be written for another reason than that another program holds it */
  readonly log: Log;
  /** Writes what is owed as far as that can be done now; throws as `log` does. */
  readonly settle: () => void;
  /**
   * Writes all that is owed.
   *
   * @throws DotphaseError also when another program still holds the log after 10 s
   */
  readonly finish: () => void;
  /** Since when another program has held the log: milliseconds since 1970 UTC. */
  readonly heldSince: () => number | undefined;
}

/**
 * @param store - waited for by `finish` alone
 * @param clock - milliseconds since 1970 UTC
 */
export function createLogWriter(store: HeardStore, clock: () => number): LogWriter {
  let since: number | undefined;
  const owed = new OwedWrites(store, (error) => {
    throw error;
  });
  store.waitForOthers(false);

  const note = (held: Error | undefined) => {
    since = held && (since ?? clock());
  };

  return {
    log(write) {
      note(owed.owe(write));
    },
    settle() {
      note(owed.settle());
    },
    finish() {
      store.waitForOthers(true);
      const held = owed.settle();
      if (held) throw held;
    },
    heldSince: () => since,
  };
}
