/**
 * Values that this browser keeps for the page: a reload finds them again. Nothing of them goes anywhere else.
 */
import { useLayoutEffect, useState } from 'preact/hooks';

const PREFIX = 'dotphase-bench ';

/** The value kept under a name, as `read` understands it; undefined where there is none or it is no longer understood. */
export function kept<T>(name: string, read: (text: string) => T): T | undefined {
  try {
    const text = localStorage.getItem(PREFIX + name);
    return text === null ? undefined : read(text);
  } catch {
    return undefined;
  }
}

/** Keeps a text under a name, where the browser keeps anything at all. */
export function keep(name: string, text: string): void {
  try {
    localStorage.setItem(PREFIX + name, text);
  } catch {
    // A browser that keeps nothing for the page still shows it.
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** What was kept, put over what stands there at first: only where it is of the same form, so that old values do no harm. */
function overlaid<T>(first: T, found: unknown): T {
  if (isRecord(first) && isRecord(found)) {
    const parts = Object.entries(first).map(([key, value]) => [key, overlaid(value, found[key])]);
    return Object.fromEntries(parts) as T;
  }
  return typeof found === typeof first && !isRecord(first) && !Array.isArray(first) ? (found as T) : first;
}

/** A state that a reload keeps. */
export function useKept<T>(name: string, first: T): [T, (next: T | ((before: T) => T)) => void] {
  const [value, setValue] = useState<T>(
    () => kept(name, (text) => overlaid(first, JSON.parse(text))) ?? first,
  );
  // At once, not after the next picture: the page may be left before that.
  useLayoutEffect(() => {
    keep(name, JSON.stringify(value));
  }, [name, value]);
  return [value, setValue];
}
