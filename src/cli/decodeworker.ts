/**
 * One file decoded on another thread.
 */
import type { MessagePort } from 'node:worker_threads';
import { decodeFile, type DecodeJob } from './decoding.js';

/** One file to decode. */
export interface DecodeTask extends DecodeJob {
  /** Where the messages go. */
  readonly port: MessagePort;
}

/** Decodes the file of a task. */
export default async function decodeTask({ file, settings, port }: DecodeTask): Promise<void> {
  await decodeFile(file, settings, (message) => {
    port.postMessage(message);
  });
}
