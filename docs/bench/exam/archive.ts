/**
 * Papers and results as one file, and the keys that are found in files that were dropped.
 */
import { strFromU8, strToU8, unzipSync, zipSync, type Zippable } from 'fflate';
import { parsePaperKey, tableText, type PaperFile, type PaperKey } from 'dotphase/exam';
import type { MadePaper } from './protocol.js';

/** Sound hardly gets smaller, and takes long to try. */
const level = (name: string) => (name.endsWith('.wav') ? 0 : 6);

function zipped(files: readonly PaperFile[]): Uint8Array<ArrayBuffer> {
  const entries = files.map(({ name, content }): [string, Zippable[string]] => [
    name,
    [typeof content === 'string' ? strToU8(content) : content, { level: level(name) }],
  ]);
  return zipSync(Object.fromEntries(entries));
}

/** All files of all versions; of several each in a folder of its own. */
export function papersArchive(papers: readonly MadePaper[]): Uint8Array<ArrayBuffer> {
  const folder = ({ version }: MadePaper) => (version === undefined ? '' : `${version.toLowerCase()}/`);
  return zipped(
    papers.flatMap((paper) =>
      paper.files.map(({ name, content }) => ({ name: folder(paper) + name, content })),
    ),
  );
}

/** Files with their names. */
export function filesArchive(files: Readonly<Record<string, string>>): Uint8Array<ArrayBuffer> {
  return zipped(Object.entries(files).map(([name, content]) => ({ name, content })));
}

/** What files hold that were dropped: keys of papers, and tables of answers. */
interface Dropped {
  readonly keys: readonly PaperKey[];
  readonly tables: readonly string[];
}

function keyFrom(text: string): PaperKey {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Error('This file is neither answers.json of a paper nor a table of answers.');
  }
  return parsePaperKey(value);
}

/** Largest file that is looked into: a paper of sixty exercises with its sound has less. */
const LARGEST_BYTES = 512 * 1024 * 1024;

/**
 * Reads files: `answers.json`, the archive of a paper, or a table.
 *
 * @throws Error that names the file
 */
export async function readDropped(files: readonly File[]): Promise<Dropped> {
  const keys: PaperKey[] = [];
  const tables: string[] = [];
  for (const file of files) {
    try {
      if (file.size > LARGEST_BYTES) throw new Error('This file is too large.');
      const bytes = new Uint8Array(await file.arrayBuffer());
      if (/\.zip$/i.test(file.name)) {
        const entries = unzipSync(bytes, { filter: ({ name }) => /(^|\/)answers\.json$/.test(name) });
        const found = Object.values(entries);
        if (found.length === 0) throw new Error('This archive holds no answers.json.');
        keys.push(...found.map((each) => keyFrom(strFromU8(each))));
      } else if (/\.json$/i.test(file.name)) keys.push(keyFrom(tableText(bytes)));
      else tables.push(tableText(bytes));
    } catch (error) {
      throw new Error(`${file.name}: ${error instanceof Error ? error.message : String(error)}`, {
        cause: error,
      });
    }
  }
  return { keys, tables };
}
