/**
 * The recordings that a command is given: files, folders with all that is in them, lists, and folders in which new files
 * appear.
 */
import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import type { watch as watchFolders } from 'chokidar';
import { DotphaseError, Described, reasonOf } from '../../errors.js';
import { STANDARD_STREAM } from '../input.js';
import type { RecordedAt } from '../origin.js';
import { headOf, isRecording } from '../recording.js';
import { isSigmf, recordingOf, samplesOf, samplesStatus } from './sigmf.js';

/** What a person named. */
export interface GivenFiles {
  /** Files and folders. */
  readonly names: readonly string[];
  /** A file with the name of a recording on each line, or `-`. */
  readonly list?: string;
  /** Whether to go on with files that appear in the folders. */
  readonly newFiles?: boolean;
}

/** The recordings found. */
export interface FoundFiles {
  /** Those named, and those in folders, in order. */
  readonly known: readonly string[];
  /** Those that come later: of a list, and new ones. */
  readonly later: AsyncIterable<string> | undefined;
  /** How many files in folders belong to no recording. */
  readonly others: number;
  /** One for each folder named in which there is no recording. */
  readonly errors: readonly DotphaseError[];
}

/** A file that grows no more for so long is whole, milliseconds. */
const QUIET_MS = 3000;

const byName = (a: { name: string }, b: { name: string }) => (a.name < b.name ? -1 : 1);

/** The recordings in a folder and all folders in it, in order of their names. */
async function walk(folder: string, isWanted: (file: string) => Promise<boolean>): Promise<string[]> {
  const found: string[] = [];
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: unknown) => {
    throw new DotphaseError('folder', folder, `a folder that can be read: ${reasonOf(error)}`);
  });
  const names = new Set(entries.map(({ name }) => name));
  /** Of the two files of a SigMF recording its metadata stand for both. */
  const isSecond = (name: string) => recordingOf(name) !== name && names.has(recordingOf(name));
  for (const entry of entries.sort(byName)) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) found.push(...(await walk(path, isWanted)));
    else if (!isSecond(entry.name) && (await isWanted(path))) found.push(path);
  }
  return found;
}

const isFile = async (path: string): Promise<boolean> => (await stat(path)).isFile();

/** Whether a file is audio, or SigMF metadata with samples beside them. */
async function isRecordingFile(path: string): Promise<boolean> {
  try {
    if (!isSigmf(path)) return (await isFile(path)) && isRecording(await headOf(path));
    return (await isFile(recordingOf(path))) && (await isFile(samplesOf(path)));
  } catch {
    return false;
  }
}

async function* linesOf(list: string): AsyncGenerator<string> {
  const source = list === STANDARD_STREAM ? process.stdin : createReadStream(list);
  try {
    for await (const line of createInterface({ input: source, crlfDelay: Infinity })) {
      if (line.trim() !== '') yield line;
    }
  } catch (error) {
    throw new DotphaseError('--list', list, `a file that can be read: ${reasonOf(error)}`);
  }
}

/** What tells of new files, from the package that does. */
async function loadWatch(): Promise<typeof watchFolders> {
  try {
    return (await import('chokidar')).watch;
  } catch (error) {
    throw new DotphaseError(
      '--new-files',
      `no package that waits for them (${error instanceof Error ? error.message.split('\n')[0] : String(error)})`,
      'chokidar beside dotphase: npm install chokidar@4',
    );
  }
}

/** The recordings that appear in folders, each once it is whole, until `signal`. */
async function* newFilesIn(
  folders: readonly string[],
  seen: Set<string>,
  signal: AbortSignal,
): AsyncGenerator<string> {
  const watch = await loadWatch();
  const waiting: string[] = [];
  let wake: () => void = () => undefined;
  const watcher = watch([...folders], {
    awaitWriteFinish: { stabilityThreshold: QUIET_MS, pollInterval: QUIET_MS / 10 },
  });
  watcher.on('add', (path) => {
    waiting.push(path);
    wake();
  });
  signal.addEventListener('abort', () => {
    wake();
  });
  try {
    while (!signal.aborted) {
      const path = waiting.shift();
      if (path === undefined) {
        await new Promise<void>((done) => {
          wake = done;
        });
      } else if (!seen.has(keyOf(path)) && (await isRecordingFile(path)) && !(await isHalf(path))) {
        seen.add(keyOf(path));
        yield recordingOf(path);
      }
    }
  } finally {
    await watcher.close();
  }
}

/** Names of one recording, by which it is read once. */
const keyOf = (path: string): string => resolve(recordingOf(path));

/** Whether samples were added to a recording just now. */
async function isGrowing(path: string): Promise<boolean> {
  return Date.now() - (await stat(samplesOf(path))).mtimeMs < QUIET_MS;
}

/** Whether a file that is whole itself stands beside samples that still come, and that will be told of too. */
const isHalf = async (path: string): Promise<boolean> => path !== samplesOf(path) && isGrowing(path);

/** Each recording once, though both files of it are named. */
async function* onceEach(paths: AsyncIterable<string>, seen: Set<string>): AsyncGenerator<string> {
  for await (const path of paths) {
    if (isSigmf(path)) {
      if (seen.has(keyOf(path))) continue;
      seen.add(keyOf(path));
    }
    yield path;
  }
}

async function* inTurn(sources: readonly AsyncIterable<string>[]): AsyncGenerator<string> {
  for (const source of sources) yield* source;
}

/**
 * Finds the recordings.
 *
 * @param signal - ends the waiting for new files
 * @throws DotphaseError where there is no recording in what is named
 */
export async function findFiles(
  { names, list, newFiles }: GivenFiles,
  signal: AbortSignal,
): Promise<FoundFiles> {
  const known: string[] = [];
  const folders: string[] = [];
  const errors: DotphaseError[] = [];
  let others = 0;
  for (const name of names) {
    const status = name === STANDARD_STREAM ? undefined : await stat(name).catch(() => undefined);
    if (!status?.isDirectory()) {
      if (!isSigmf(name) || !known.some((other) => keyOf(other) === keyOf(name))) known.push(name);
      continue;
    }
    folders.push(name);
    const inFolder = await walk(name, async (path) => {
      const isOne = await isRecordingFile(path);
      if (!isOne) others++;
      // What still grows is left to the waiting for new files.
      return isOne && !(newFiles && (await isGrowing(path)));
    });
    if (inFolder.length === 0 && !newFiles) {
      errors.push(
        new DotphaseError(
          'recording',
          new Described(`the folder ${name}`),
          'a folder with recordings: audio files, or SigMF with its samples',
        ),
      );
    }
    known.push(...inFolder);
  }
  if (newFiles && folders.length === 0) {
    throw new DotphaseError('--new-files', new Described('no folder'), 'a folder in which files appear');
  }
  if (list === STANDARD_STREAM && names.includes(STANDARD_STREAM)) {
    throw new DotphaseError('--list', list, 'standard input for a list or for audio, not both');
  }
  if (known.length === 0 && list === undefined && errors.length > 0) throw errors[0];
  const seen = new Set(known.map(keyOf));
  const later = [
    ...(list === undefined ? [] : [onceEach(linesOf(list), seen)]),
    ...(newFiles ? [newFilesIn(folders, seen, signal)] : []),
  ];
  return { known, later: later.length > 0 ? inTurn(later) : undefined, others, errors };
}

/** Files of fewer bytes together are read before threads would have started. */
const FEW_BYTES = 4 * 2 ** 20;

/** Whether threads are not worth their start for what was found. */
export function areFew({ known, later }: FoundFiles): boolean {
  if (later) return false;
  if (known.length === 1) return true;
  let bytes = 0;
  for (const file of known) {
    const status = samplesStatus(file);
    // Pipes and standard input give what they give when they give it, all at once.
    if (file === STANDARD_STREAM || status?.isFile() === false) return false;
    bytes += status?.size ?? 0;
    if (bytes >= FEW_BYTES) return false;
  }
  return true;
}

/** Refuses a beginning for several recordings, which cannot all have it. */
export function requireOneRecording({ known, later }: FoundFiles, recorded: RecordedAt | undefined): void {
  if (typeof recorded !== 'number' || (known.length === 1 && !later)) return;
  throw new DotphaseError(
    '--recorded',
    later ? 'a list' : `${known.length} recordings`,
    'one recording, for each began at a time of its own: say name or chunk if their names or chunks tell it',
  );
}
