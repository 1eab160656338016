/**
 * An archive of recordings, read once by as many workers as there are: a queue in an SQLite file for one machine, or in
 * Redis for many. Needs Node; Redis needs the packages bullmq and ioredis.
 *
 * @example
 * ```ts
 * import { openRecordingQueue } from 'dotphase/archive';
 *
 * const queue = await openRecordingQueue('queue.db');
 * const piece = { path: 'evening.wav', size: 1_000_044, modifiedAt: 0, reading: '{}', pieceSeconds: 3600, piece: 0 };
 * console.log(await queue.add([piece, piece], 5)); // 1
 * await queue.work(
 *   ({ path }) => {
 *     console.log(path); // evening.wav
 *     return Promise.resolve(undefined);
 *   },
 *   { atOnce: 1, signal: new AbortController().signal, stay: false },
 * );
 * console.log((await queue.status()).done); // 1
 * await queue.close();
 * ```
 *
 * @packageDocumentation
 */
import { openEmbedded } from './embedded.js';
import { TIMES, type QueueTimes, type RecordingQueue } from './queue.js';
import { openShared } from './shared.js';
export {
  LONGEST_PIECE,
  SHORTEST_PIECE,
  UnreadablePiece,
  type DeadPiece,
  type Piece,
  type PieceLabel,
  type QueueStatus,
  type QueueTimes,
  type ReadPiece,
  type RecordingQueue,
  type WorkOptions,
} from './queue.js';

/** How a queue is opened. */
export interface QueueOptions extends Partial<QueueTimes> {
  /** Whether to make a file that is missing; default true. */
  readonly create?: boolean;
}

/**
 * Opens a queue of recordings.
 *
 * @param where - a file name, or an address as in `redis://host:6379/0`
 * @throws DotphaseError where it cannot be opened
 */
export function openRecordingQueue(
  where: string,
  { create = true, ...times }: QueueOptions = {},
): Promise<RecordingQueue> {
  const all = { ...TIMES, ...times };
  return /^rediss?:\/\//.test(where) ? openShared(where, all) : openEmbedded(where, all, create);
}
