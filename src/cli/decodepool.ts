/**
 * Many files over the cores of the machine, their messages in the order of the files.
 */
import { availableParallelism } from 'node:os';
import { MessageChannel } from 'node:worker_threads';
import type { DecodeTask } from './decodeworker.js';
import { decodeFile, type DecodeJob, type DecodeMessage } from './decoding.js';
import { STANDARD_STREAM } from './input.js';

/** Takes a message about the file of this number, counted from 0. */
export type TakeMessage = (index: number, message: DecodeMessage) => void;

/** Passes messages on file by file: those of later files wait until the earlier ones have ended. */
function inOrder(take: TakeMessage): TakeMessage {
  const waiting = new Map<number, DecodeMessage[]>();
  const ended = new Set<number>();
  let front = 0;
  const advance = () => {
    while (ended.delete(front)) {
      front++;
      for (const message of waiting.get(front) ?? []) take(front, message);
      waiting.delete(front);
    }
  };
  return (index, message) => {
    if (index === front || message.type === 'progress') take(index, message);
    else waiting.set(index, [...(waiting.get(index) ?? []), message]);
    if (message.type !== 'end') return;
    ended.add(index);
    advance();
  };
}

/** Decodes one file somewhere. */
type Decode = (job: DecodeJob, tell: (message: DecodeMessage) => void) => Promise<void>;

/** Threads that files are decoded on. */
export interface Pool {
  readonly decode: Decode;
  readonly close: () => Promise<void>;
}

/** Threads that stay for file after file, so that none pays for a start. */
export async function createPool(threads: number): Promise<Pool> {
  const { Tinypool } = await import('tinypool');
  const pool = new Tinypool({
    filename: new URL('./decodeworker.js', import.meta.url).href,
    minThreads: threads,
    maxThreads: threads,
  });
  const decode: Decode = (job, tell) =>
    new Promise<void>((resolve) => {
      const { port1, port2 } = new MessageChannel();
      const pass = (message: DecodeMessage) => {
        tell(message);
        if (message.type !== 'end') return;
        port1.close();
        resolve();
      };
      port1.on('message', pass);
      const task: DecodeTask = { ...job, port: port2 };
      pool.run(task, { transferList: [port2] }).catch((error: unknown) => {
        pass({ type: 'error', text: error instanceof Error ? error.message : String(error) });
        pass({ type: 'end', seconds: 0 });
      });
    });
  return { decode, close: () => pool.destroy() };
}

/** So many files each thread has before it, so that it need not wait for the next. */
const FILES_AHEAD = 2;

/**
 * Decodes files as they come, several at a time. The messages about a file come after all those about the files
 * before it; only progress comes at once.
 *
 * @param files - read only as far ahead as threads need them
 * @param areFew - whether they are decoded here, one by one, because threads are not worth their start
 */
export async function decodeFiles(
  files: AsyncIterable<DecodeJob>,
  take: TakeMessage,
  areFew: boolean,
): Promise<void> {
  const tell = inOrder(take);
  const threads = availableParallelism();
  const atOnce = areFew ? 1 : FILES_AHEAD * threads;
  const here: Decode = ({ file, settings }, pass) => decodeFile(file, settings, pass);
  const pool = areFew ? undefined : await createPool(threads);
  const running = new Set<Promise<void>>();
  let index = 0;
  try {
    for await (const job of files) {
      const number = index++;
      const decode = !pool || job.file === STANDARD_STREAM ? here : pool.decode;
      const run = decode(job, (message) => {
        tell(number, message);
      }).then(() => {
        running.delete(run);
      });
      running.add(run);
      if (running.size >= atOnce) await Promise.race(running);
    }
    await Promise.all(running);
  } finally {
    await pool?.close();
  }
}
