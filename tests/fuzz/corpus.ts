/** Inputs on disk, a file each, named by their content. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The kept corpus: a folder for each target. */
export const CORPUS = fileURLToPath(new URL('corpus', import.meta.url));

/** The inputs in a target's folder. */
export function readInputs(folder: string, target: string): { name: string; input: Uint8Array }[] {
  const place = join(folder, target);
  if (!existsSync(place)) return [];
  return readdirSync(place)
    .sort()
    .map((name) => ({ name, input: new Uint8Array(readFileSync(join(place, name))) }));
}

/** Puts an input into a target's folder. */
export function writeInput(folder: string, target: string, input: Uint8Array, name?: string): void {
  const place = join(folder, target);
  mkdirSync(place, { recursive: true });
  writeFileSync(join(place, name ?? createHash('sha1').update(input).digest('hex').slice(0, 12)), input);
}
