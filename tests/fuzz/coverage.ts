/** Which ways through the sources an input takes, as counted by istanbul-lib-instrument. */

interface FileCounts {
  readonly s: Record<string, number>;
  readonly b: Record<string, number[]>;
}

/** Tells inputs that do something new. */
export interface Coverage {
  /** Counters that were ever above 0. */
  readonly reached: number;
  /** Whether anything was run that no input ran before, or more often by a power of two; then begins to count anew. */
  isNew(): boolean;
}

/** Counts in the instrumented sources of this thread; without any, nothing is ever new. */
export function createCoverage(): Coverage {
  const files = Object.values(
    (globalThis as { __coverage__?: Record<string, FileCounts> }).__coverage__ ?? {},
  );
  const lists = files.flatMap(({ s, b }) => [s as Record<string | number, number>, ...Object.values(b)]);
  const seen = lists.map((list) => new Uint8Array(Object.keys(list).length));
  let reached = 0;
  return {
    get reached() {
      return reached;
    },
    isNew() {
      let found = false;
      lists.forEach((list, i) => {
        const before = seen[i];
        for (let k = 0; k < before.length; k++) {
          const count = list[k];
          if (count === 0) continue;
          list[k] = 0;
          const bucket = 1 << Math.min(7, 31 - Math.clz32(count));
          if ((before[k] & bucket) !== 0) continue;
          if (before[k] === 0) reached++;
          before[k] |= bucket;
          found = true;
        }
      });
      return found;
    },
  };
}
