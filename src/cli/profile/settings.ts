/**
 * The settings file: who the person at the command line is, and where.
 */
import { readFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import * as z from 'zod';
import { DotphaseError, reasonOf } from '../../errors.js';

const text = (expected: string) => z.string({ error: expected }).min(1, { error: expected });

const SETTINGS = z.strictObject(
  {
    identity: text('the own identity: nine digits, or a name in the address book').optional(),
    position: text('the own position, as --position takes it').optional(),
    positionTime: z.iso
      .datetime({ error: 'when the position was valid, UTC, as in 2031-05-17T09:30:00Z' })
      .optional(),
    navigation: text('a file or device with RMC, GGA or GLL sentences').optional(),
    book: text('the file of an address book').optional(),
    log: text('the file of a log').optional(),
  },
  { error: 'settings: a JSON object' },
);

/** What stands in a settings file; files are named from where it lies. */
export type Settings = z.output<typeof SETTINGS>;

/**
 * Reads a settings file.
 *
 * @throws DotphaseError when it cannot be read, or naming what is wrong in it
 */
export async function readSettings(path: string): Promise<Settings> {
  let data: unknown;
  try {
    data = JSON.parse(await readFile(path, 'utf8'));
  } catch (error) {
    throw new DotphaseError('settings', path, `a JSON file that can be read: ${reasonOf(error)}`);
  }
  const result = SETTINGS.safeParse(data);
  if (!result.success) {
    const [issue] = result.error.issues;
    const place = issue.code === 'unrecognized_keys' ? issue.keys[0] : issue.path.join('.');
    const known = `one of ${Object.keys(SETTINGS.shape).join(', ')}`;
    const value = typeof data === 'object' && data !== null ? (data as Record<string, unknown>)[place] : data;
    throw new DotphaseError(
      place === '' ? path : `${path}: ${place}`,
      value,
      issue.code === 'unrecognized_keys' ? known : issue.message,
    );
  }
  const { navigation, book, log, ...rest } = result.data;
  const beside = (file: string) => resolve(dirname(path), file);
  return {
    ...rest,
    ...(navigation !== undefined && { navigation: beside(navigation) }),
    ...(book !== undefined && { book: beside(book) }),
    ...(log !== undefined && { log: beside(log) }),
  };
}
