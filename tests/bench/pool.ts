/** Worker processes that share the jobs of a benchmark. */
import { fileURLToPath } from 'node:url';
import { buildSync } from 'esbuild';
import { Tinypool } from 'tinypool';
import type { JOBS } from './worker.js';

type Jobs = typeof JOBS;

/** Workers unless told otherwise: the machines that this runs on have two cores. */
export const WORKERS = 2;

/** A pool of workers. */
export interface Pool {
  /** Runs jobs of one kind; the results come in the order of the jobs. */
  run<Name extends keyof Jobs>(
    name: Name,
    jobs: readonly Parameters<Jobs[Name]>[0][],
  ): Promise<ReturnType<Jobs[Name]>[]>;
  close(): Promise<void>;
}

/** Bundles the workers as users have the library, in plain JavaScript: through tsx it runs a fifth slower. */
function bundleWorker(): string {
  const outfile = fileURLToPath(new URL('../../coverage/bench/worker.js', import.meta.url));
  buildSync({
    entryPoints: [fileURLToPath(new URL('worker.ts', import.meta.url))],
    outfile,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
  });
  return outfile;
}

/** @param workers - processes that work at the same time */
export function createPool(workers: number): Pool {
  const pool = new Tinypool({
    runtime: 'child_process',
    filename: bundleWorker(),
    execArgv: [],
    minThreads: workers,
    maxThreads: workers,
  });
  return {
    async run(name, jobs) {
      let done = 0;
      const results = jobs.map(async (job) => {
        const result: unknown = await pool.run({ name, job });
        done++;
        if (process.stderr.isTTY) process.stderr.write(`\r${name} ${done}/${jobs.length} `);
        return result;
      });
      const all = await Promise.all(results);
      if (process.stderr.isTTY) process.stderr.write('\r\u001b[K');
      return all as never;
    },
    close: () => pool.destroy(),
  };
}
