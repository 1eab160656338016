/**
 * What the disk tells of a path.
 */
import { statSync, type Stats } from 'node:fs';

/** Nothing where there is no such file, nor where it cannot be reached: what opens it says why. */
export function diskStatus(path: string): Stats | undefined {
  try {
    return statSync(path);
  } catch {
    return undefined;
  }
}
