/**
 * The worker that makes papers, one job at a time.
 */
import type { FromMaker, ToMaker } from './protocol.js';
import MakingWorker from './worker.js?worker&inline';

/** A job under way. */
export interface Making<Result> {
  readonly made: Promise<Result>;
  /** Gives it up: the promise stays open. */
  stop(): void;
}

/**
 * Starts a job.
 *
 * @param onProgress - told how many exercises are done
 */
export function make<Type extends 'paper' | 'practice'>(
  job: Extract<ToMaker, { type: Type }>,
  onProgress: (done: number, of: number) => void = () => undefined,
): Making<Extract<FromMaker, { type: Type }>> {
  const worker = new MakingWorker();
  const made = new Promise<Extract<FromMaker, { type: Type }>>((resolve, reject) => {
    worker.onmessage = ({ data }: MessageEvent<FromMaker>) => {
      if (data.type === 'progress') {
        onProgress(data.done, data.of);
        return;
      }
      worker.terminate();
      if (data.type === 'failed') reject(new Error(data.reason));
      else resolve(data as Extract<FromMaker, { type: Type }>);
    };
    worker.onerror = ({ message }) => {
      worker.terminate();
      reject(new Error(message));
    };
  });
  worker.postMessage(job);
  return {
    made,
    stop: () => {
      worker.terminate();
    },
  };
}
