/**
 * The fingerprint by which a log knows a recording again under any name.
 */
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { STANDARD_STREAM } from '../input.js';

/**
 * SHA-256 of a file's content as 64 hexadecimal digits; undefined for standard input, pipes and devices, whose content
 * can't be read twice, and for what can't be read.
 */
export async function fingerprint(file: string): Promise<string | undefined> {
  if (file === STANDARD_STREAM) return undefined;
  try {
    if (!(await stat(file)).isFile()) return undefined;
    const hash = createHash('sha256');
    for await (const chunk of createReadStream(file)) hash.update(chunk as Uint8Array);
    return hash.digest('hex');
  } catch {
    return undefined;
  }
}
