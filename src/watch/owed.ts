/**
 * What a watch writes into its log: in order, and later where another program holds the file, so that listening goes on.
 */
import { isHeldByOther, type HeardStore } from '../records/sqlite/index.js';

/** Does something with the log: now, or once it can be written. */
export type Log = (act: (store: HeardStore) => void) => void;

/** Writes into a log, and keeps what can't be written yet. */
export interface OwedWrites {
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
export function createOwedWrites(store: HeardStore, clock: () => number): OwedWrites {
  const owed: ((store: HeardStore) => void)[] = [];
  let since: number | undefined;
  store.waitForOthers(false);

  function writeAll(): void {
    for (let act = owed.shift(); act; act = owed.shift()) {
      try {
        act(store);
      } catch (error) {
        if (isHeldByOther(error)) owed.unshift(act);
        throw error;
      }
    }
  }

  function settle(): void {
    try {
      writeAll();
      since = undefined;
    } catch (error) {
      if (!isHeldByOther(error)) throw error;
      since ??= clock();
    }
  }

  return {
    log(act) {
      owed.push(act);
      settle();
    },
    settle,
    finish() {
      store.waitForOthers(true);
      writeAll();
    },
    heldSince: () => since,
  };
}
