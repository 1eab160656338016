/**
 * The queue in an SQLite file: for one machine.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { openJobStore, type JobStore, type NewJob, type TakenJob } from '../records/sqlite/index.js';
import { reasonOf } from '../errors.js';
import {
  UnreadablePiece,
  MOST_CRASHES,
  checkPiece,
  labelOf,
  nameOf,
  rateOf,
  requirePriority,
  type Piece,
  type QueueTimes,
  type ReadPiece,
  type RecordingQueue,
  type WorkOptions,
} from './queue.js';

/** How often an idle worker looks for pieces. */
const LOOK_MS = 500;

const jobOf = (piece: Piece, priority: number): NewJob => ({
  id: nameOf(piece),
  data: JSON.stringify(piece),
  priority,
});

/** Waits until something running has ended, or it is time to look again. */
async function rest(running: Iterable<Promise<void>>, signal: AbortSignal): Promise<void> {
  const over = new AbortController();
  const time = pause(LOOK_MS, undefined, { signal: AbortSignal.any([signal, over.signal]) });
  await Promise.race([...running, time]).catch(() => undefined);
  over.abort();
}

/** Reads one piece and says in the store what came of it. */
async function handle(
  store: JobStore,
  job: TakenJob,
  read: ReadPiece,
  { tries, pauseMs, leaseMs }: QueueTimes,
  { onFailure }: WorkOptions,
): Promise<void> {
  const beat = setInterval(() => {
    store.keep(job.id);
  }, leaseMs / 3);
  const data: unknown = JSON.parse(job.data);
  try {
    const next = await read(checkPiece(data));
    store.finish(job.id, next ? [jobOf(next, job.priority)] : []);
  } catch (error) {
    const isLast = error instanceof UnreadablePiece || job.triedBefore + 1 >= tries;
    store.fail(job.id, reasonOf(error), isLast ? undefined : pauseMs * 2 ** job.triedBefore);
    onFailure?.(labelOf(data), reasonOf(error), isLast);
  } finally {
    clearInterval(beat);
  }
}

/**
 * Opens a queue in a file.
 *
 * @param create - whether to make it where it is missing
 * @throws DotphaseError where the file cannot be opened or is no queue
 */
export async function openEmbedded(
  path: string,
  times: QueueTimes,
  create: boolean,
): Promise<RecordingQueue> {
  const store = await openJobStore(path, {
    clock: Date.now,
    leaseMs: times.leaseMs,
    mostCrashes: MOST_CRASHES,
    create,
  });
  return {
    add(pieces, priority) {
      requirePriority(priority);
      return Promise.resolve(store.add(pieces.map((piece) => jobOf(piece, priority))));
    },
    async work(read, options) {
      const { atOnce, signal, stay } = options;
      const running = new Set<Promise<void>>();
      while (!signal.aborted) {
        const job = running.size < atOnce ? store.take() : undefined;
        if (job) {
          const run = handle(store, job, read, times, options).finally(() => running.delete(run));
          running.add(run);
          continue;
        }
        if (running.size === 0 && !stay) {
          const { waiting, paused, active } = store.counts();
          if (waiting + paused + active === 0) break;
        }
        await rest(running, signal);
      }
      await Promise.all(running);
    },
    status() {
      const { latelyDone, latelySince, ...counts } = store.counts();
      const perMinute = rateOf(latelyDone, latelySince, Date.now());
      return Promise.resolve({ ...counts, ...(perMinute !== undefined && { perMinute }) });
    },
    dead: (limit) =>
      Promise.resolve(
        store.dead(limit).map(({ data, reason }) => ({ ...labelOf(JSON.parse(data)), reason })),
      ),
    retry: () => Promise.resolve(store.retry()),
    close() {
      store.close();
      return Promise.resolve();
    },
  };
}
