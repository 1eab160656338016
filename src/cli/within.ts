/**
 * Files that other files name: they stay within the folder of the one that names them.
 */
import { realpath, stat } from 'node:fs/promises';
import { isAbsolute, relative, resolve, sep, win32 } from 'node:path';
import { DotphaseError, reasonOf } from '../errors.js';

const EXPECTED = 'the name of a file in the same folder or below it, such as other.wav';

/** The largest file that is read whole. */
const MOST_BYTES = 256 * 1024 * 1024;

/** Whether a name leads out of its folder on any system: an absolute path, a drive, a way up, a device's stream. */
function leadsOut(name: string): boolean {
  const parts = name.split(/[/\\]/);
  return isAbsolute(name) || win32.isAbsolute(name) || /[:\0]/.test(name) || parts.includes('..');
}

/**
 * The path of a file named by a file in `folder`, symbolic links followed.
 *
 * @param field - names the place in what is refused
 * @throws DotphaseError when the name or a link leads out of the folder, or it is no ordinary file of up to 256 MiB
 */
export async function fileWithin(folder: string, name: string, field: string): Promise<string> {
  if (leadsOut(name)) throw new DotphaseError(field, name, EXPECTED);
  try {
    const [home, path] = await Promise.all([realpath(resolve(folder)), realpath(resolve(folder, name))]);
    const way = relative(home, path);
    if (way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way)) {
      throw new DotphaseError(field, name, EXPECTED);
    }
    const status = await stat(path);
    if (!status.isFile()) throw new DotphaseError(field, name, 'an ordinary file');
    if (status.size > MOST_BYTES) throw new DotphaseError(field, name, `a file of up to ${MOST_BYTES} bytes`);
    return path;
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError(field, name, `a file that can be read: ${reasonOf(error)}`);
  }
}
