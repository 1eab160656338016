/**
 * The file that a ladder keeps its calls in, so that it goes on where it stopped.
 */
import { readFile, rename, writeFile } from 'node:fs/promises';
import { DotphaseError, reasonOf } from '../../errors.js';
import {
  openLadder,
  type Beside,
  type Ladder,
  type LadderAir,
  type LadderTrial,
} from '../../measure/index.js';

/** What belongs to one ladder. */
export interface LadderPlace {
  readonly station: string;
  readonly air: LadderAir;
}

const FORMAT = 'dotphase ladder';
const EXPECTED = 'a file that sensitivity wrote';

/** A ladder that was read. */
export interface KeptLadder extends LadderPlace {
  readonly trials: readonly LadderTrial[];
  /** What receivers come to on the same ladder, once it was worked out. */
  readonly beside?: Beside;
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
  if (kept.format !== FORMAT || !Array.isArray(kept.trials) || typeof kept.air !== 'object')
    throw new DotphaseError(option, file, EXPECTED);
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
): Promise<{ ladder: Ladder; before: number; beside: Beside | undefined }> {
  const kept = file === undefined ? undefined : await readLadder(file, '--keep');
  if (kept) {
    const refuse = (name: string, wanted: unknown, found: unknown) => {
      if (wanted !== found)
        throw new DotphaseError(
          '--keep',
          file,
          `a ladder with the same ${name}: ${String(wanted)}, not ${String(found)}`,
        );
    };
    refuse('station', place.station, kept.station);
    for (const name of ['band', 'step', 'lowest', 'highest', 'snrDb', 'fading'] as const)
      refuse(name, place.air[name], kept.air[name]);
  }
  const trials = kept?.trials ?? [];
  return { ladder: openLadder(place.air, { calls, trials }), before: trials.length, beside: kept?.beside };
}

/** Keeps a ladder; what stood there before stays until all of it is written. */
export async function keepLadder(
  file: string,
  place: LadderPlace,
  trials: readonly LadderTrial[],
  beside?: Beside,
): Promise<void> {
  try {
    await writeFile(`${file}.new`, `${JSON.stringify({ format: FORMAT, ...place, trials, beside })}\n`);
    await rename(`${file}.new`, file);
  } catch (error) {
    throw new DotphaseError('--keep', file, `a file that can be written: ${reasonOf(error)}`);
  }
}
