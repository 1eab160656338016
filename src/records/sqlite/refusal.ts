/**
 * Why a log on disk cannot be used, for people.
 */
import { DotphaseError } from '../../errors.js';

const IN_USE = 'a log that is free: another program is writing into it; try again when it has done so';
const UNOPENED = 'a log that can be opened: look whether you may write the file and its folder';

/** What was expected, by SQLite's primary result codes ("Result and Error Codes" of its documentation). */
const EXPECTED: Readonly<Record<number, string>> = {
  3: UNOPENED,
  5: IN_USE,
  6: IN_USE,
  8: 'a log that can be written: the file or its folder is for reading only',
  10: 'a disk that can be read and written: it failed, or has no room',
  11: 'a log that is whole: this one is damaged; keep it aside and log into another file',
  13: 'room for the log: the disk is full',
  14: UNOPENED,
  26: 'a log of calls: this is a file of another kind',
};

/** The lower byte of an extended result code is the primary one. */
const PRIMARY = 0xff;

/** What SQLite threw about the log at `path`, as a DotphaseError in plain words. */
export function refusal(path: string, error: unknown): DotphaseError {
  if (error instanceof DotphaseError) return error;
  const code = error instanceof Error && 'errcode' in error ? Number(error.errcode) & PRIMARY : 0;
  const reason = error instanceof Error ? error.message : String(error);
  return new DotphaseError('log', path, EXPECTED[code] ?? `a log that can be used (${reason})`);
}
