/**
 * The file that a ladder keeps its calls in, so that it goes on where it stopped.
 */
import { readFile, rename, writeFile } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../../errors.js';
import { createLadder, type Ladder, type LadderTrial } from '../../measure/index.js';
import type { Band } from '../../symbols/index.js';

/** What belongs to one ladder. */
export interface LadderPlace {
  readonly station: string;
  readonly band: Band;
  readonly lowestDb: number;
  readonly highestDb: number;
}

const FORMAT = 'dotphase ladder';
const EXPECTED = 'a file that sensitivity wrote';

/** A ladder that was read. */
export interface KeptLadder extends LadderPlace {
  readonly trials: readonly LadderTrial[];
}

/**
 * Reads a kept ladder; undefined where there is no such file.
 *
 * @throws DotphaseError where it cannot be read or holds something else
 */
export async function readLadder(file: string, option: string): Promise<KeptLadder | undefined> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
    throw new DotphaseError(option, file, `a file that can be read: ${reasonOf(error)}`);
  }
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new DotphaseError(option, file, EXPECTED);
  }
  const kept = (typeof data === 'object' && data !== null ? data : {}) as Partial<KeptLadder> & {
    format?: unknown;
  };
  if (kept.format !== FORMAT || !Array.isArray(kept.trials)) throw new DotphaseError(option, file, EXPECTED);
  return kept as KeptLadder;
}

/**
 * The ladder to walk: one that was kept, or a new one.
 *
 * @throws DotphaseError where the kept one is of another set or range
 */
export async function ladderOf(
  place: LadderPlace,
  file: string | undefined,
  calls: number,
): Promise<{ ladder: Ladder; before: number }> {
  const kept = file === undefined ? undefined : await readLadder(file, '--keep');
  if (kept) {
    for (const name of ['station', 'band', 'lowestDb', 'highestDb'] as const)
      if (kept[name] !== place[name])
        throw new DotphaseError(
          '--keep',
          file,
          `a ladder with the same ${name}: ${String(place[name])}, not ${String(kept[name])}`,
        );
  }
  const trials = kept?.trials ?? [];
  return { ladder: createLadder({ ...place, calls, trials }), before: trials.length };
}

/** Keeps a ladder; what stood there before stays until all of it is written. */
export async function keepLadder(
  file: string,
  place: LadderPlace,
  trials: readonly LadderTrial[],
): Promise<void> {
  try {
    await writeFile(`${file}.new`, `${JSON.stringify({ format: FORMAT, ...place, trials })}\n`);
    await rename(`${file}.new`, file);
  } catch (error) {
    throw new DotphaseError('--keep', file, `a file that can be written: ${reasonOf(error)}`);
  }
}
