/**
 * Many files over the cores of the machine, their messages in the order of the files.
 */
import { availableParallelism } from 'node:os';
import { MessageChannel } from 'node:worker_threads';
import type { DecodeTask } from './decodeworker.js';
import { decodeFile, type DecodeMessage, type DecodeSettings } from './decoding.js';
import { STANDARD_STREAM } from './input.js';

/** Takes a message about a file. */
export type TakeMessage = (file: string, message: DecodeMessage) => void;

/** Passes messages on file by file: those of later files wait until the earlier ones have ended. */
function inOrder(
  files: readonly string[],
  take: TakeMessage,
): (index: number, message: DecodeMessage) => void {
  const waiting = files.map((): DecodeMessage[] => []);
  const ended = files.map(() => false);
  let front = 0;
  const advance = () => {
    while (front < files.length && ended[front]) {
      front++;
      if (front < files.length) for (const message of waiting[front].splice(0)) take(files[front], message);
    }
  };
  return (index, message) => {
    if (index === front || message.type === 'progress') take(files[index], message);
    else waiting[index].push(message);
    if (message.type !== 'end') return;
    ended[index] = true;
    advance();
  };
}

/**
 * Decodes files, several at a time where there are several. What is told about a file comes after everything
 * about the files before it; only progress comes at once.
 */
export async function decodeFiles(
  files: readonly string[],
  settings: DecodeSettings,
  take: TakeMessage,
): Promise<void> {
  const tell = inOrder(files, take);
  const onDisk = files.filter((file) => file !== STANDARD_STREAM).length;
  if (onDisk < 2) {
    for (const [index, file] of files.entries()) {
      await decodeFile(file, settings, (message) => {
        tell(index, message);
      });
    }
    return;
  }
  const { Tinypool } = await import('tinypool');
  const pool = new Tinypool({
    filename: new URL('./decodeworker.js', import.meta.url).href,
    maxThreads: Math.min(onDisk, availableParallelism()),
  });
  const onThread = (index: number, file: string) =>
    new Promise<void>((resolve) => {
      const { port1, port2 } = new MessageChannel();
      const pass = (message: DecodeMessage) => {
        tell(index, message);
        if (message.type !== 'end') return;
        port1.close();
        resolve();
      };
      port1.on('message', pass);
      const task: DecodeTask = { file, settings, port: port2 };
      pool.run(task, { transferList: [port2] }).catch((error: unknown) => {
        pass({ type: 'error', text: error instanceof Error ? error.message : String(error) });
        pass({ type: 'end' });
      });
    });
  await Promise.all(
    files.map((file, index) =>
      file === STANDARD_STREAM
        ? decodeFile(file, settings, (message) => {
            tell(index, message);
          })
        : onThread(index, file),
    ),
  );
  await pool.destroy();
}
