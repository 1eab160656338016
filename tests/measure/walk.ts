/** Ladders walked by a virtual set. */
import type { Ladder } from '../../src/measure/index.js';

/** The values that ladders are walked on, dB. */
export const RANGE = { lowest: -15, highest: 25 };

/** Walks a ladder to its end, or so many calls. */
export function walk(
  ladder: Ladder,
  hears: (ratioDb: number, call: number) => boolean,
  calls = Infinity,
): void {
  for (let call = ladder.trials.length; call < calls; call++) {
    const ratioDb = ladder.next();
    if (ratioDb === undefined) return;
    ladder.record({ value: ratioDb, isAcknowledged: hears(ratioDb, call) });
  }
}
