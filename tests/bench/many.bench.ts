/**
 * How fast many short recordings are decoded: `dotphase decode` of a folder against what receivers alone reach on all cores
 * with the same audio in memory.
 *
 * Run with `npx tsx tests/bench/many.bench.ts [--files 2000] [--seconds 10] [--runs 2]` after `npm run build`, on a machine with
 * nothing else to do.
 */
import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { callToAudio } from '../../src/index.js';
import { writeWav } from '../../src/wav/index.js';
import { createChoices } from '../scenes/random.js';

const RATE = 12_000;
const { values } = parseArgs({
  options: {
    files: { type: 'string', default: '2000' },
    seconds: { type: 'string', default: '10' },
    runs: { type: 'string', default: '2' },
  },
});
const [files, seconds, count] = [values.files, values.seconds, values.runs].map(Number);
const threads = availableParallelism();
/** Kinds of audio, which the files take in turn; a call in every second one. */
const KINDS = 8;

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const audios = Array.from({ length: KINDS }, (_, kind) => {
  const choices = createChoices(kind);
  const call = callToAudio(
    { kind: 'testCall', to: { station: '002991234' }, self: `29912345${kind}` },
    { band: 'mf-hf', sampleRate: RATE },
  );
  const at = kind % 2 === 0 ? Math.floor(choices.uniform(0, seconds * RATE - call.length)) : Infinity;
  return Float32Array.from(
    { length: seconds * RATE },
    (_, n) => 0.05 * choices.uniform(-1, 1) + 0.3 * (call[n - at] ?? 0),
  );
});

const RECEIVE = `
  import { parentPort, workerData } from 'node:worker_threads';
  const { createReceiver } = await import(workerData.receiver);
  const block = 21846;
  for (let file = workerData.first; file < workerData.files; file += workerData.threads) {
    const audio = workerData.audios[file % workerData.audios.length];
    const receiver = createReceiver({ sampleRate: ${RATE} });
    for (let at = 0; at < audio.length; at += block) receiver.push(audio.subarray(at, at + block));
    receiver.flush();
  }
  parentPort.postMessage('done');
`;

/** Seconds that receivers alone take, on all cores. */
async function alone(): Promise<number> {
  const begin = performance.now();
  const receiver = new URL('../../dist/receiver/index.js', import.meta.url).href;
  await Promise.all(
    Array.from(
      { length: threads },
      (_, first) =>
        new Promise((resolve, reject) => {
          const worker = new Worker(new URL(`data:text/javascript,${encodeURIComponent(RECEIVE)}`), {
            workerData: { receiver, audios, files, first, threads },
          });
          worker.on('error', reject);
          worker.on('exit', resolve);
        }),
    ),
  );
  return (performance.now() - begin) / 1000;
}

/** Seconds that the command line takes for the folder. */
async function decode(folder: string, ...flags: string[]): Promise<number> {
  const begin = performance.now();
  const child = spawn(
    process.execPath,
    [here('../../dist/cli/main.js'), 'decode', '--json', ...flags, folder],
    {
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  await new Promise((resolve) => child.on('close', resolve));
  return (performance.now() - begin) / 1000;
}

const folder = mkdtempSync(join(tmpdir(), 'many-'));
try {
  const recordings = join(folder, 'recordings');
  mkdirSync(recordings);
  for (let file = 0; file < files; file++) {
    // No two alike, so that the log takes none for another.
    audios[file % KINDS][file] += 0.01;
    writeFileSync(
      join(recordings, `${String(file).padStart(6, '0')}.wav`),
      writeWav({ sampleRate: RATE, channels: [audios[file % KINDS]] }),
    );
  }
  // Turn about, so that what else the machine does falls on both.
  const runs = { alone: [] as number[], decode: [] as number[], logged: [] as number[] };
  for (let run = 0; run < count; run++) {
    runs.alone.push(await alone());
    runs.decode.push(await decode(recordings));
    runs.logged.push(await decode(recordings, '--log', join(folder, `calls-${run}.db`)));
  }
  const best = (list: readonly number[]) => Math.min(...list);
  const timesRealTime = (took: number) => Math.round((files * seconds) / took);
  console.log(
    JSON.stringify(
      {
        ...{ files, seconds, threads },
        receiversAlone: { seconds: best(runs.alone), timesRealTime: timesRealTime(best(runs.alone)) },
        decode: { seconds: best(runs.decode), timesRealTime: timesRealTime(best(runs.decode)) },
        intoLog: { seconds: best(runs.logged), timesRealTime: timesRealTime(best(runs.logged)) },
        share: best(runs.alone) / best(runs.decode),
        shareIntoLog: best(runs.alone) / best(runs.logged),
      },
      undefined,
      2,
    ),
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
