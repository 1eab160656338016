/** Inputs on disk: the kept corpus, a file for each target, and the folders of a run, a file for each input. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** An input and what it is called; those that once broke something are called `found-…`. */
export interface NamedInput {
  readonly name: string;
  readonly input: Uint8Array;
}

/** The most bytes that are kept for a target. */
const MOST_BYTES = 40_000;

const keptFile = (target: string) => fileURLToPath(new URL(`corpus/${target}.json`, import.meta.url));

/** The kept inputs of a target. */
export function readCorpus(target: string): NamedInput[] {
  const file = keptFile(target);
  if (!existsSync(file)) return [];
  const kept = JSON.parse(readFileSync(file, 'utf8')) as Record<string, string>;
  return Object.entries(kept).map(([name, base64]) => ({
    name,
    input: new Uint8Array(Buffer.from(base64, 'base64')),
  }));
}

/** Keeps inputs of a target: all that once broke something, and of the others the shortest. */
export function writeCorpus(target: string, inputs: readonly NamedInput[]): void {
  const isFound = ({ name }: NamedInput) => name.startsWith('found-');
  const others = inputs.filter((each) => !isFound(each)).sort((a, b) => a.input.length - b.input.length);
  let left = MOST_BYTES;
  const kept = [...inputs.filter(isFound), ...others.filter(({ input }) => (left -= input.length) >= 0)];
  const text = kept
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .map(({ name, input }) => [name, Buffer.from(input).toString('base64')]);
  writeFileSync(keptFile(target), `${JSON.stringify(Object.fromEntries(text), null, 1)}\n`);
}

/** The inputs of a target in a run's folder. */
export function readInputs(folder: string, target: string): NamedInput[] {
  const place = join(folder, target);
  if (!existsSync(place)) return [];
  return readdirSync(place).map((name) => ({ name, input: new Uint8Array(readFileSync(join(place, name))) }));
}

/** Puts an input into a target's folder. */
export function writeInput(folder: string, target: string, input: Uint8Array, name?: string): void {
  const place = join(folder, target);
  mkdirSync(place, { recursive: true });
  writeFileSync(join(place, name ?? createHash('sha1').update(input).digest('hex').slice(0, 12)), input);
}
