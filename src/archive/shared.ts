/**
 * The queue in Redis, by BullMQ: for any number of machines.
 */
import { setTimeout as pause } from 'node:timers/promises';
import type { Job, Queue, Worker } from 'bullmq';
import type { Redis as RedisClient } from 'ioredis';
import { DotphaseError, reasonOf } from '../errors.js';
import {
  MOST_CRASHES,
  UnreadablePiece,
  checkPiece,
  labelOf,
  nameOf,
  rateOf,
  requirePriority,
  type Piece,
  type QueueTimes,
  type RecordingQueue,
} from './queue.js';

const NAME = 'dotphase-archive';
/** Jobs handed over at a time. */
const AT_A_TIME = 1000;
/** How often a worker looks whether all is done. */
const LOOK_MS = 500;
const CONNECT_MS = 5000;
const LATELY_MS = 600_000;

async function load() {
  try {
    return await Promise.all([import('bullmq'), import('ioredis')]);
  } catch (error) {
    throw new DotphaseError(
      '--queue',
      `no package for queues in Redis (${reasonOf(error).split('\n')[0]})`,
      'bullmq and ioredis beside dotphase: npm install bullmq@6 ioredis@5',
    );
  }
}

/** An address without its password. */
function shown(address: string): string {
  try {
    const url = new URL(address);
    if (url.password !== '') url.password = '***';
    return url.href;
  } catch {
    return address;
  }
}

/** Whether Redis answers at an address; otherwise every command would wait for it for ever. */
async function requireAnswer(address: string, Redis: typeof RedisClient): Promise<void> {
  const redis = new Redis(address, {
    lazyConnect: true,
    connectTimeout: CONNECT_MS,
    maxRetriesPerRequest: 0,
    retryStrategy: () => null,
  });
  let last: unknown;
  redis.on('error', (error: unknown) => {
    last = error;
  });
  try {
    await redis.connect();
    await redis.ping();
  } catch (error) {
    throw new DotphaseError('--queue', shown(address), `a Redis that answers: ${reasonOf(last ?? error)}`);
  } finally {
    redis.disconnect();
  }
}

/**
 * Opens a queue in Redis.
 *
 * @param address - as in `redis://host:6379/0`
 * @throws DotphaseError where no Redis answers, or the packages are missing
 */
export async function openShared(address: string, times: QueueTimes): Promise<RecordingQueue> {
  const [bullmq, { Redis }] = await load();
  await requireAnswer(address, Redis);
  let trouble: ((text: string) => void) | undefined;
  const connect = () => {
    const redis = new Redis(address, { maxRetriesPerRequest: null });
    redis.on('error', (error: unknown) => trouble?.(`the queue does not answer: ${reasonOf(error)}`));
    return redis;
  };
  const connection = connect();
  const queue: Queue<Piece> = new bullmq.Queue(NAME, { connection });
  queue.on('error', () => undefined);
  const optionsOf = (piece: Piece, priority: number) => ({
    jobId: nameOf(piece),
    priority,
    attempts: times.tries,
    backoff: { type: 'exponential', delay: times.pauseMs },
  });
  const total = async () => Object.values(await queue.getJobCounts()).reduce((sum, count) => sum + count, 0);

  const read = async (job: Job<Piece>, each: (piece: Piece) => Promise<Piece | undefined>): Promise<void> => {
    try {
      const next = await each(checkPiece(job.data));
      // Added before this one is done: a worker that ends between the two adds it once more, under the same name.
      if (next) await queue.add('piece', next, optionsOf(next, job.opts.priority ?? 5));
    } catch (error) {
      if (error instanceof UnreadablePiece) throw new bullmq.UnrecoverableError(error.message);
      throw error;
    }
  };

  return {
    async add(pieces, priority) {
      requirePriority(priority);
      const before = await total();
      for (let at = 0; at < pieces.length; at += AT_A_TIME) {
        await queue.addBulk(
          pieces
            .slice(at, at + AT_A_TIME)
            .map((piece) => ({ name: 'piece', data: piece, opts: optionsOf(piece, priority) })),
        );
      }
      return (await total()) - before;
    },
    async work(each, { atOnce, signal, stay, onFailure, onTrouble }) {
      trouble = onTrouble;
      const own = connect();
      const worker: Worker<Piece> = new bullmq.Worker(NAME, (job: Job<Piece>) => read(job, each), {
        connection: own,
        concurrency: atOnce,
        lockDuration: times.leaseMs,
        stalledInterval: times.leaseMs,
        maxStalledCount: MOST_CRASHES - 1,
      });
      worker.on('error', () => undefined);
      worker.on('failed', (job, error) => {
        if (!job) return;
        onFailure?.(labelOf(job.data), error.message, job.finishedOn !== undefined);
      });
      for (;;) {
        await pause(LOOK_MS, undefined, { signal }).catch(() => undefined);
        if (signal.aborted) break;
        if (stay) continue;
        const left = await queue.getJobCountByTypes('waiting', 'prioritized', 'delayed', 'active');
        if (left === 0) break;
      }
      await worker.close();
      own.disconnect();
      trouble = undefined;
    },
    async status() {
      const counts = await queue.getJobCounts();
      const count = (...states: readonly string[]) =>
        states.reduce((sum, state) => sum + (counts[state] ?? 0), 0);
      const now = Date.now();
      const lately = (await queue.getCompleted(0, AT_A_TIME - 1)).flatMap(({ finishedOn }) =>
        finishedOn !== undefined && finishedOn > now - LATELY_MS ? [finishedOn] : [],
      );
      const perMinute = rateOf(lately.length, lately.length > 0 ? Math.min(...lately) : undefined, now);
      return {
        waiting: count('waiting', 'prioritized'),
        paused: count('delayed'),
        active: count('active'),
        done: count('completed'),
        dead: count('failed'),
        ...(perMinute !== undefined && { perMinute }),
      };
    },
    async dead(limit) {
      const jobs = await queue.getFailed(0, limit - 1);
      return jobs.map(({ data, failedReason }) => ({ ...labelOf(data), reason: failedReason }));
    },
    async retry() {
      const count = await queue.getFailedCount();
      if (count > 0) await queue.retryJobs({ state: 'failed' });
      return count;
    },
    async close() {
      await queue.close();
      connection.disconnect();
    },
  };
}
