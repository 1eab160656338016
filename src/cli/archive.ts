/**
 * `dotphase archive`: any number of recordings, read once by as many workers as there are.
 */
import { stat } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { isAbsolute, relative, resolve, sep } from 'node:path';
import type { Command } from 'commander';
import {
  LONGEST_PIECE,
  SHORTEST_PIECE,
  openRecordingQueue,
  type Piece,
  type RecordingQueue,
} from '../archive/index.js';
import { DotphaseError, Described, NOTHING } from '../errors.js';
import type { CallLog } from '../records/index.js';
import { openSqliteLog } from '../records/sqlite/index.js';
import { gather } from './archive/gather.js';
import { pieceReader, type Tally } from './archive/reading.js';
import { findFiles, requireOneRecording } from './decode/files.js';
import { addReceiverFlags, settingsFor, settingsOf, type ReceiverFlags } from './decode/settings.js';
import { addSliceFlags, addSliceSearchFlags, type SliceFlags } from './decode/sliceflags.js';
import { samplesOf } from './decode/sigmf.js';
import { createPool } from './decodepool.js';
import type { DecodeSettings } from './decoding.js';
import { EXIT, complain, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { integerOption, numberOption } from './options.js';
import { addOriginFlags, originFinder, type FindOrigin, type OriginFlags } from './origin.js';
import { shortClock } from './report.js';
import { stopSignal } from './stopsignal.js';
import { plain } from './terminal.js';

const QUEUE_FLAG = [
  '--queue <where>',
  'file of the queue, or a Redis that several machines share, as in redis://host:6379/0',
  'archive.queue',
] as const;
const ROOT_FLAG = ['--root <folder>', 'folder that the recordings lie below', '.'] as const;

/** Pieces handed to the queue at a time. */
const AT_A_TIME = 500;
/** Dead pieces that are shown unless told otherwise. */
const DEAD_SHOWN = 20;

interface QueueFlags {
  readonly queue: string;
}

interface AddFlags extends QueueFlags, OriginFlags, ReceiverFlags, SliceFlags {
  readonly root: string;
  readonly list?: string;
  readonly priority: number;
  readonly cut: number;
}

interface WorkFlags extends QueueFlags {
  readonly root: string;
  readonly log?: string;
  readonly threads: number;
  readonly stay?: true;
}

interface StatusFlags extends QueueFlags {
  readonly json?: true;
  readonly dead: number;
}

const HELP = `
Recordings are added to a queue; workers take them from it, read each once and
log what they hear. The queue is a file, for one machine, or lies in Redis, for
any number of machines; each worker has a log of its own machine, and gather
puts what they logged into one. Calls are counted as heard counts them: all
sendings of an attempt, on several frequencies too, are one. A recording longer
than an hour is read in pieces of an hour; calls at a cut are neither lost nor
doubled.

What fails is tried three times, with a pause of 30 s, then 1 min, before it is
given up; status tells why, and retry lets it be tried again. Ctrl-C lets a
worker end what it has begun; one that is killed loses nothing: another takes
its pieces after half a minute.

Examples:
  All recordings of a folder, on all cores of this machine:
    dotphase archive add --recorded name --frequency name recordings
    dotphase archive work --log calls.db
    dotphase archive status
    dotphase heard calls.db
  The same with several machines, each with the recordings under a root of its own:
    dotphase archive add --queue redis://depot:6379 --root /data /data/2031
    dotphase archive work --queue redis://depot:6379 --root /mnt/data \\
      --log here.db
    dotphase archive gather --log all.db here.db there.db`;

/** Adds `archive` to the program. */
export function addArchive(program: Command): void {
  const archive = program
    .command('archive')
    .summary('many recordings, read once by as many workers as there are')
    .description('Reads an archive of recordings: a queue, and workers on one machine or many.')
    .addHelpText('after', HELP);
  const addCommand = archive
    .command('add')
    .summary('recordings into the queue')
    .description('Adds recordings to the queue; what is in it already is not added again.')
    .argument('[recordings...]', 'audio files and slices; folders with all in them')
    .option('--list <file>', 'a file with the name of a recording on each line, - for standard input')
    .option(...ROOT_FLAG)
    .option(...QUEUE_FLAG)
    .option('--priority <number>', '1 is read first, 9 last', integerOption('--priority', 1, 9), 5)
    .option(
      '--cut <seconds>',
      'read longer recordings in pieces of so many seconds',
      numberOption('--cut', SHORTEST_PIECE, LONGEST_PIECE, 's'),
      3600,
    );
  addReceiverFlags(addCommand);
  addSliceFlags(addCommand);
  addSliceSearchFlags(addCommand);
  addOriginFlags(addCommand).action(add);
  archive
    .command('work')
    .summary('read what is in the queue')
    .description('Reads recordings of the queue into a log until all are read.')
    .option(...ROOT_FLAG)
    .option(...QUEUE_FLAG)
    .option(...LOG_FLAG)
    .option(
      '--threads <number>',
      'recordings read at the same time',
      integerOption('--threads', 1, 1024),
      availableParallelism(),
    )
    .option('--stay', 'wait for more when all are read, until stopped')
    .action(work);
  archive
    .command('status')
    .summary('how far the queue is, and what was given up')
    .description('Tells how many recordings, or pieces of long ones, wait, are being read, or were given up.')
    .option(...QUEUE_FLAG)
    .option('--json', 'one JSON object')
    .option('--dead <number>', 'given up: show so many', integerOption('--dead', 0, 100_000), DEAD_SHOWN)
    .action(status);
  archive
    .command('retry')
    .summary('let what was given up be tried again')
    .description('Lets what was given up be tried again.')
    .option(...QUEUE_FLAG)
    .action(retry);
  archive
    .command('gather')
    .summary('the logs of several machines into one')
    .description('Adds the calls that several logs hold of recordings to one log, each once.')
    .argument('<logs...>', 'logs of workers')
    .requiredOption(...LOG_FLAG)
    .action(gatherLogs);
}

/** Does something with a queue that is there. */
async function withQueue<Result>(
  where: string,
  act: (queue: RecordingQueue) => Promise<Result>,
): Promise<Result> {
  const queue = await openRecordingQueue(where, { create: false });
  try {
    return await act(queue);
  } finally {
    await queue.close();
  }
}

/** A recording as the queue keeps it. */
async function pieceOf(
  file: string,
  root: string,
  settings: DecodeSettings,
  pieceSeconds: number,
  find: FindOrigin,
): Promise<Piece> {
  const path = relative(root, resolve(file));
  if (path === '' || isAbsolute(path) || path.split(sep)[0] === '..')
    throw new DotphaseError('recording', file, `one below the root ${root}: say which by --root`);
  const status = await stat(samplesOf(file)).catch(() => undefined);
  if (!status?.isFile()) throw new DotphaseError('recording', file, 'a file that is there');
  const { tunedHz, ...origin } = await find(file);
  return {
    path: path.split(sep).join('/'),
    size: status.size,
    modifiedAt: status.mtimeMs,
    reading: JSON.stringify(settingsFor(settings, { ...(tunedHz !== undefined && { tunedHz }) })),
    ...origin,
    pieceSeconds,
    piece: 0,
  };
}

async function add(names: readonly string[], flags: AddFlags): Promise<void> {
  if (names.length === 0 && flags.list === undefined)
    throw new DotphaseError('recordings', NOTHING, 'audio files, folders, or --list');
  if (names.includes(STANDARD_STREAM))
    throw new DotphaseError('recordings', new Described('standard input'), 'files, which can be read later');
  const { events: _, ...settings } = settingsOf(flags);
  const find = await originFinder(flags);
  const found = await findFiles(
    { names, ...(flags.list !== undefined && { list: flags.list }) },
    new AbortController().signal,
  );
  requireOneRecording(found, flags.recorded);
  const root = resolve(flags.root);
  for (const { message } of found.errors) complain(message);
  const seen = { added: 0, known: 0, failed: found.errors.length };
  let batch: Piece[] = [];
  /** Opened for the first recording, so that none is made for nothing. */
  let queue: RecordingQueue | undefined;
  const flush = async () => {
    if (batch.length === 0) return;
    queue ??= await openRecordingQueue(flags.queue);
    const added = await queue.add(batch, flags.priority);
    seen.added += added;
    seen.known += batch.length - added;
    batch = [];
  };
  const take = async (file: string) => {
    try {
      batch.push(await pieceOf(file, root, settings, flags.cut, find));
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      seen.failed++;
      complain(error.message);
    }
    if (batch.length >= AT_A_TIME) await flush();
  };
  try {
    for (const file of found.known) await take(file);
    for await (const file of found.later ?? []) await take(file);
    await flush();
  } finally {
    await queue?.close();
  }
  const known = seen.known > 0 ? `; ${seen.known} known already` : '';
  process.stdout.write(`${count(seen.added, 'recording')} added${known}.\n`);
  const isNothing = seen.added + seen.known === 0;
  process.exitCode = seen.failed > 0 ? EXIT.bad : isNothing ? EXIT.nothing : EXIT.done;
}

const count = (number: number, noun: string) => `${number} ${noun}${number === 1 ? '' : 's'}`;

async function work(flags: WorkFlags): Promise<void> {
  const { log: logPath, threads, stay = false } = flags;
  if (logPath === undefined) throw new DotphaseError('--log', NOTHING, 'the log that the calls go into');
  const root = resolve(flags.root);
  await withQueue(flags.queue, async (queue) => {
    const log = await LogFile.open(logPath);
    if (log.failed) {
      process.exitCode = EXIT.bad;
      return;
    }
    const tally: Tally = { pieces: 0, seconds: 0, calls: 0, dead: 0 };
    const began = performance.now();
    const pool = await createPool(threads);
    const broken = new AbortController();
    let last = '';
    try {
      await queue.work(pieceReader(root, pool, log, tally), {
        atOnce: threads,
        stay,
        signal: AbortSignal.any([stopSignal(), broken.signal]),
        onFailure: ({ path }, reason, isLast) => {
          if (isLast) tally.dead++;
          complain(`${path}: ${reason}${isLast ? '; given up' : '; tried again later'}`);
          // Without a log nothing more is to be read.
          if (log.failed) broken.abort();
        },
        onTrouble: (text) => {
          if (text !== last) warn(text);
          last = text;
        },
      });
    } finally {
      await pool.close();
      log.close();
    }
    const took = (performance.now() - began) / 1000;
    const rate = (tally.seconds / Math.max(took, 0.001)).toFixed(0);
    process.stdout.write(
      tally.pieces + tally.dead === 0
        ? 'Nothing was read: all is done, or in the hands of others.\n'
        : `${count(tally.pieces, 'piece')} read, ${shortClock(tally.seconds)} of audio in ${shortClock(took)}, ` +
            `${rate} times real time; ${count(tally.calls, 'call')} added to the log; ${tally.dead} given up.\n`,
    );
    const isBad = tally.dead > 0 || log.failed;
    process.exitCode = isBad ? EXIT.bad : tally.pieces === 0 ? EXIT.nothing : EXIT.done;
  });
}

async function status({ queue: where, json, dead: shown }: StatusFlags): Promise<void> {
  await withQueue(where, async (queue) => {
    const { perMinute, ...counts } = await queue.status();
    const left = counts.waiting + counts.paused + counts.active;
    const secondsLeft = perMinute === undefined ? undefined : Math.round((60 * left) / perMinute);
    const dead = await queue.dead(shown);
    if (json) {
      const rates = { ...(perMinute !== undefined && { perMinute, secondsLeft }) };
      process.stdout.write(`${JSON.stringify({ ...counts, ...rates, deadPieces: dead })}\n`);
      return;
    }
    const lines = [
      ['waiting', counts.waiting],
      ['resting', counts.paused],
      ['being read', counts.active],
      ['done', counts.done],
      ['given up', counts.dead],
    ].map(([name, number]) => `${String(name).padEnd(11)}${String(number).padStart(9)}`);
    if (perMinute !== undefined && secondsLeft !== undefined && left > 0)
      lines.push(`About ${perMinute.toPrecision(3)} a minute; at least ${shortClock(secondsLeft)} to go.`);
    if (dead.length > 0) lines.push('', 'Given up:');
    for (const { path, piece, reason } of dead) {
      const part = piece > 0 ? `, piece ${piece + 1}` : '';
      lines.push(`  ${plain(path)}${part}: ${plain(reason)}`);
    }
    if (counts.dead > dead.length) lines.push(`  and ${counts.dead - dead.length} more (--dead)`);
    process.stdout.write(`${lines.join('\n')}\n`);
  });
}

async function retry({ queue: where }: QueueFlags): Promise<void> {
  const again = await withQueue(where, (queue) => queue.retry());
  process.stdout.write(`${count(again, 'piece')} may be tried again.\n`);
  process.exitCode = again > 0 ? EXIT.done : EXIT.nothing;
}

async function gatherLogs(names: readonly string[], { log: path }: { readonly log: string }): Promise<void> {
  const same = names.find((name) => resolve(name) === resolve(path));
  if (same !== undefined) throw new DotphaseError('logs', same, 'another log than --log');
  const gathered = { added: 0, known: 0, elsewhere: 0, left: 0 };
  const logs: CallLog[] = [];
  let into: LogFile | undefined;
  try {
    for (const name of names) logs.push(await openSqliteLog(name, { clock: Date.now, readonly: true }));
    into = await LogFile.open(path);
    into.use((store) => {
      for (const log of logs) gather(log, store, gathered);
    });
  } finally {
    for (const log of logs) log.close();
    into?.close();
  }
  const left = gathered.left > 0 ? `; ${gathered.left} left alone: not read from a recording` : '';
  const elsewhere = gathered.elsewhere > 0 ? `; ${gathered.elsewhere} heard elsewhere too` : '';
  process.stdout.write(
    `${count(gathered.added, 'call')} added, ${gathered.known} known already${elsewhere}${left}.\n`,
  );
  process.exitCode = into?.failed
    ? EXIT.bad
    : gathered.added + gathered.known + gathered.elsewhere === 0
      ? EXIT.nothing
      : EXIT.done;
}
