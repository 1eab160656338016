/**
 * Why a file of SQLite cannot be used, for people.
 */
import { DotphaseError } from '../../errors.js';

/** What was expected of a file, by SQLite's primary result codes ("Result and Error Codes" of its documentation). */
function expectedOf(what: string, code: number): string | undefined {
  switch (code) {
    case 3:
    case 14:
      return `a ${what} that can be opened: look whether you may write the file and its folder`;
    case 5:
    case 6:
      return `a ${what} that is free: another program is writing into it; try again when it has done so`;
    case 8:
      return `a ${what} that can be written: the file or its folder is for reading only`;
    case 10:
      return 'a disk that can be read and written: it failed, or has no room';
    case 11:
      return `a ${what} that is whole: this one is damaged; keep it aside and take another file`;
    case 13:
      return `room for the ${what}: the disk is full`;
    case 26:
      return `a ${what} of calls: this is a file of another kind`;
    default:
      return undefined;
  }
}

/** The lower byte of an extended result code is the primary one. */
const PRIMARY = 0xff;

/** SQLite's primary result codes BUSY and LOCKED. */
const HELD_CODES = [5, 6];

const held = new WeakSet<object>();

/**
 * Whether an error says that another program held the file while it was to be written: the same may succeed when that
 * is done.
 */
export function isHeldByOther(error: unknown): error is DotphaseError {
  return error instanceof DotphaseError && held.has(error);
}

/**
 * What SQLite threw about the file at `path`, as a DotphaseError in plain words.
 *
 * @param what - what it holds: `log`
 */
export function refusal(path: string, what: string, error: unknown): DotphaseError {
  if (error instanceof DotphaseError) return error;
  const code = error instanceof Error && 'errcode' in error ? Number(error.errcode) & PRIMARY : 0;
  const reason = error instanceof Error ? error.message : String(error);
  const refused = new DotphaseError(
    what,
    path,
    expectedOf(what, code) ?? `a ${what} that can be used (${reason})`,
  );
  if (HELD_CODES.includes(code)) held.add(refused);
  return refused;
}
