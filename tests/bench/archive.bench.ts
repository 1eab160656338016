/**
 * An archive: throughput by the number of workers, into one log and into a log each; what one log takes from several
 * processes; what the queue costs; workers killed at random on two "machines"; and by simulation what ten million
 * recordings and many workers would do to a Redis.
 *
 * Run with `npm run bench -- archive [parts...] [--recordings 1000] [--seconds 10] [--kills 8] [--seed 1]
 * [--write]` after `npm run build`; parts: workers, log, killed, cost, scale. With --write the figures of workers and cost
 * are kept in docs/scale.json and drawn. Needs redis-server. Ends with status 1 where a call is
 * missing or doubled.
 */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Redis } from 'ioredis';
import { openRecordingQueue, type Piece } from '../../src/archive/index.js';
import { callToAudio, receiveCalls } from '../../src/index.js';
import { openSqliteLog } from '../../src/records/sqlite/index.js';
import { readWav, writeWav } from '../../src/wav/index.js';
import { startRedis } from '../archive/redis.js';
import { createChoices } from '../scenes/random.js';
import { writeArchiveFigures, type Workers } from './scalefigures.js';

const RATE = 12_000;
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    recordings: { type: 'string', default: '1000' },
    seconds: { type: 'string', default: '10' },
    kills: { type: 'string', default: '8' },
    seed: { type: 'string', default: '1' },
    write: { type: 'boolean', default: false },
  },
});
const [recordings, seconds, kills, seed] = [values.recordings, values.seconds, values.kills, values.seed].map(
  Number,
);
const PARTS = ['workers', 'log', 'killed', 'cost', 'scale'];
const parts = positionals.length === 0 ? PARTS : positionals;

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));
const choices = createChoices(seed);
const top = mkdtempSync(join(tmpdir(), 'archive-bench-'));
const redis = await startRedis();
const verdict = { failed: false };

const say = (text: string) => process.stdout.write(`${text}\n`);
const dotphase = (...args: string[]) => {
  const { status, stderr } = spawnSync(process.execPath, [MAIN, 'archive', ...args], { encoding: 'utf8' });
  if (status !== 0) throw new Error(`archive ${args.join(' ')}: ${stderr}`);
};
/** Writes the processor time of a process, all its threads, to its standard output when it ends. */
const TELL_TIME = `data:text/javascript,${encodeURIComponent(`
  import { writeSync } from 'node:fs';
  import { isMainThread } from 'node:worker_threads';
  if (isMainThread) process.on('exit', () => {
    const { user, system } = process.cpuUsage();
    writeSync(1, 'microseconds ' + (user + system));
  });
`)}`;
function startWorker(queue: string, root: string, log: string): ChildProcess {
  return spawn(
    process.execPath,
    ['--import', TELL_TIME, MAIN, 'archive', 'work', '--threads', '1', '--queue', queue].concat([
      '--root',
      root,
      '--log',
      log,
    ]),
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
}
/** Waits for the end of a process; seconds of processor time that it took, where it was not killed. */
async function ended(child: ChildProcess): Promise<number> {
  let text = '';
  child.stdout?.on('data', (bytes: Buffer) => (text += bytes.toString()));
  if (child.exitCode === null) await new Promise((done) => child.on('close', done));
  return Number(/microseconds (\d+)/.exec(text)?.[1] ?? 0) / 1e6;
}

/** Every recording has one test call by a ship of its own. */
function makeRecordings(root: string): void {
  mkdirSync(root);
  for (let i = 0; i < recordings; i++) {
    const self = `299${String(100_000 + i)}`;
    const call = callToAudio(
      { kind: 'testCall', to: { station: '002991234' }, self },
      { band: i % 2 === 0 ? 'mf-hf' : 'vhf', sampleRate: RATE },
    );
    const at = Math.floor(choices.uniform(0, seconds * RATE - call.length));
    const audio = Float32Array.from(
      { length: seconds * RATE },
      (_, n) => 0.05 * choices.uniform(-1, 1) + 0.3 * (call[n - at] ?? 0),
    );
    writeFileSync(join(root, `${self}.wav`), writeWav({ sampleRate: RATE, channels: [audio] }));
  }
}

/** How many calls a log lacks, has twice, or has that were not sent. */
async function countIn(path: string): Promise<string> {
  const log = await openSqliteLog(path, { clock: Date.now, readonly: true });
  const heard = log.list().map(({ from }) => from ?? '');
  log.close();
  const missing = recordings - new Set(heard).size;
  const doubled = heard.length - new Set(heard).size;
  if (missing !== 0 || doubled !== 0) verdict.failed = true;
  return `${heard.length} calls, ${missing} missing, ${doubled} doubled`;
}

const root = join(top, 'recordings');
const queues = { file: () => join(top, `${performance.now()}.queue`), Redis: () => `${redis.address}/0` };
async function freshQueue(kind: keyof typeof queues): Promise<string> {
  const client = new Redis(redis.address);
  await client.flushall();
  client.disconnect();
  const where = queues[kind]();
  dotphase('add', '--queue', where, '--root', root, root);
  return where;
}

async function measureWorkers(): Promise<Workers[]> {
  const rows: Workers[] = [];
  for (const kind of ['file', 'Redis'] as const) {
    let first: number | undefined;
    for (const [count, isShared] of [
      [1, true],
      [2, true],
      [2, false],
      [4, true],
      [4, false],
    ] as const) {
      const queue = await freshQueue(kind);
      const name = join(top, `${kind}-${count}`);
      const logs = Array.from({ length: count }, (_, i) => (isShared ? `${name}.db` : `${name}-${i}.db`));
      const load = loadavg()[0];
      const begin = performance.now();
      const times = await Promise.all(logs.map((log) => ended(startWorker(queue, root, log))));
      const took = (performance.now() - begin) / 1000;
      first ??= took;
      const all = isShared ? `${name}.db` : `${name}-all.db`;
      if (!isShared) dotphase('gather', '--log', all, ...logs);
      const used = times.reduce((sum, time) => sum + time, 0);
      const recordingsPerSecond = recordings / took;
      rows.push({ queue: kind, workers: count, isShared, recordingsPerSecond, busy: used / took, load });
      say(
        `${kind}, ${count} workers, ${isShared ? 'one log' : 'a log each'}: ` +
          `${recordingsPerSecond.toFixed(1)} recordings a second, ${(first / took).toFixed(2)} times one worker, ` +
          `${((1000 * used) / recordings).toFixed(0)} ms of processor time each, ` +
          `${(used / took).toFixed(2)} processors busy with it; load before ${load.toFixed(1)}; ${await countIn(all)}`,
      );
    }
  }
  return rows;
}

const PIECES_LOGGED = 100;
/** Reading a short recording takes a worker about so long, milliseconds. */
const READ_MS = 100;
/** A process that logs short recordings as a worker does, a call in each, and only waits where it would read them. */
const LOG_ALONE = `
  import { setTimeout as pause } from 'node:timers/promises';
  const { openHeardStore } = await import(process.argv[1]);
  const store = await openHeardStore(process.argv[2], { clock: Date.now });
  const name = process.argv[3];
  let longest = 0;
  for (let i = 0; i < ${PIECES_LOGGED}; i++) {
    await pause(${READ_MS});
    const begin = performance.now();
    store.together(() => {
      const recording = (name + i).padStart(64, '0');
      store.calls.add({
        direction: 'received', symbols: [120, 120], kind: 'testCall', text: 'Test', call: {},
        time: i * 60000, timeSource: 'decoded', recording, offset: 1,
      });
      store.noteRecording({ path: name + '/' + i, reading: '{}', size: 1, modifiedAt: 1, seconds: 10 });
    });
    longest = Math.max(longest, performance.now() - begin);
  }
  process.stdout.write('longest ' + longest);
`;

/** What one log takes from several processes that each log as much as one core reads. */
async function measureLog(): Promise<void> {
  const module = new URL('../../dist/records/sqlite/index.js', import.meta.url).href;
  for (const count of [1, 2, 4]) {
    const log = join(top, `alone-${count}.db`);
    const begin = performance.now();
    const longest = await Promise.all(
      Array.from({ length: count }, async (_, i) => {
        const name = String(1000 + i);
        const child = spawn(
          process.execPath,
          ['--input-type=module', '--eval', LOG_ALONE, module, log, name],
          { stdio: ['ignore', 'pipe', 'inherit'] },
        );
        let text = '';
        child.stdout.on('data', (bytes: Buffer) => (text += bytes.toString()));
        const code = await new Promise((done) => child.on('close', done));
        if (code !== 0) verdict.failed = true;
        return Number(/longest (.*)/.exec(text)?.[1]);
      }),
    );
    const took = (performance.now() - begin) / 1000;
    say(
      `one log, ${count} processes that log as one core reads: ${((count * PIECES_LOGGED) / took).toFixed(0)} recordings a second, ` +
        `the longest wait ${Math.max(...longest).toFixed(0)} ms; load ${loadavg()[0].toFixed(1)}`,
    );
  }
}

/** Two folders with the same recordings and logs of their own; two workers each, killed and started again. */
async function measureKilled(): Promise<void> {
  const queue = await freshQueue('Redis');
  const machines = ['here', 'there'].map((name) => {
    const folder = join(top, name);
    cpSync(root, folder, { recursive: true, preserveTimestamps: true });
    return { root: folder, log: join(top, `${name}.db`) };
  });
  const workers = [...machines, ...machines].map((machine) => ({
    machine,
    child: startWorker(queue, machine.root, machine.log),
  }));
  for (let i = 0; i < kills; i++) {
    await new Promise((done) => setTimeout(done, choices.uniform(1500, 6000)));
    const worker = workers[Math.floor(choices.uniform(0, workers.length))];
    worker.child.kill('SIGKILL');
    worker.child = startWorker(queue, worker.machine.root, worker.machine.log);
  }
  await Promise.all(workers.map(({ child }) => ended(child)));
  const all = join(top, 'all.db');
  dotphase('gather', '--log', all, ...machines.map(({ log }) => log));
  const opened = await openRecordingQueue(queue);
  const { waiting, active, done, dead } = await opened.status();
  await opened.close();
  if (waiting + active + dead > 0) verdict.failed = true;
  say(
    `4 workers on 2 machines, ${kills} killed: ${await countIn(all)}; ` +
      `${done} done, ${waiting} waiting, ${active} active, ${dead} given up`,
  );
}

const pieces = (count: number): Piece[] =>
  Array.from({ length: count }, (_, i) => ({
    path: `2031/05/17/station-4/${i}_20310517T093000Z_2187.5kHz.wav`,
    size: 240_044,
    modifiedAt: 1_936_776_600_000,
    reading: '{"channel":"best","bands":["mf-hf","vhf"]}',
    recorded: 1_936_776_600_000,
    frequencyHz: 2_187_500,
    pieceSeconds: 3600,
    piece: 0,
  }));

interface Cost {
  /** Seconds of this process to add a piece, and to take and end one. */
  readonly addSeconds: number;
  readonly workSeconds: number;
}

/** What a queue costs by itself, in processor time of the worker: its pieces are not read. */
async function costOf(where: string, count: number): Promise<Cost> {
  const queue = await openRecordingQueue(where);
  const begin = cpuSeconds();
  await queue.add(pieces(count), 5);
  const added = cpuSeconds();
  await queue.work(() => Promise.resolve(undefined), {
    atOnce: 4,
    signal: new AbortController().signal,
    stay: false,
  });
  const worked = cpuSeconds();
  await queue.close();
  return { addSeconds: (added - begin) / count, workSeconds: (worked - added) / count };
}

const cpuSeconds = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Processor seconds that reading one recording takes. */
function readingSeconds(): number {
  const names = readdirSync(root).slice(0, 100);
  const begin = cpuSeconds();
  for (const name of names) {
    const { sampleRate, channels } = readWav(readFileSync(join(root, name)));
    receiveCalls(channels[0], { sampleRate });
  }
  return (cpuSeconds() - begin) / names.length;
}

interface RedisUse {
  readonly cpuSeconds: number;
  readonly bytes: number;
}

async function redisUse(client: Redis): Promise<RedisUse> {
  const figure = (text: string, name: string) => Number(new RegExp(`^${name}:(.*)$`, 'm').exec(text)?.[1]);
  const [cpu, memory] = [await client.info('cpu'), await client.info('memory')];
  return {
    cpuSeconds: figure(cpu, 'used_cpu_user') + figure(cpu, 'used_cpu_sys'),
    bytes: figure(memory, 'used_memory'),
  };
}

/**
 * Pieces a second of so many workers that read for `readSeconds` each and then ask one server for `serverSeconds`, both
 * exponentially distributed: simulated event by event.
 */
function simulate(workers: number, readSeconds: number, serverSeconds: number): number {
  const random = createChoices(workers);
  const draw = (mean: number) => -mean * Math.log(random.uniform(1e-12, 1));
  /** When each worker next asks, in order. */
  const order = Array.from({ length: workers }, () => draw(readSeconds)).sort((a, b) => a - b);
  let free = 0;
  let done = 0;
  const most = Math.max(20_000, 40 * workers);
  while (done < most) {
    const [at] = order.splice(0, 1);
    free = Math.max(free, at) + draw(serverSeconds);
    const next = free + draw(readSeconds);
    let low = 0;
    let high = order.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (order[middle] < next) low = middle + 1;
      else high = middle;
    }
    order.splice(low, 0, next);
    done++;
  }
  return done / free;
}

async function measureCost(): Promise<{
  decode: number;
  embedded: Cost;
  shared: Cost;
  perPiece: RedisUse;
}> {
  const count = 2000;
  const decode = readingSeconds();
  const embedded = await costOf(join(top, 'cost.queue'), count);
  const bytes = statSync(join(top, 'cost.queue')).size / count;
  const client = new Redis(redis.address);
  await client.flushall();
  const before = await redisUse(client);
  const shared = await costOf(`${redis.address}/0`, count);
  const after = await redisUse(client);
  client.disconnect();
  const perPiece = {
    cpuSeconds: (after.cpuSeconds - before.cpuSeconds) / count,
    bytes: (after.bytes - before.bytes) / count,
  };
  const ms = (value: number) => `${(1000 * value).toFixed(2)} ms`;
  const share = (value: number) => `${((100 * value) / decode).toFixed(2)} %`;
  say(`Reading a recording of ${seconds} s: ${ms(decode)} of processor time`);
  say(
    `Queue in a file: adding ${ms(embedded.addSeconds)}, taking and ending ${ms(embedded.workSeconds)} a piece, ` +
      `${share(embedded.workSeconds)} of the reading; ${bytes.toFixed(0)} bytes a piece`,
  );
  say(
    `Queue in Redis: adding ${ms(shared.addSeconds)}, taking and ending ${ms(shared.workSeconds)} a piece, ` +
      `${share(shared.workSeconds)} of the reading; Redis itself ${ms(perPiece.cpuSeconds)} and ${perPiece.bytes.toFixed(0)} bytes a piece`,
  );
  return { decode, embedded, shared, perPiece };
}

function tellScale({ decode, shared, perPiece }: Awaited<ReturnType<typeof measureCost>>): void {
  const millions = 10;
  say(
    `Ten million pieces in Redis: ${((millions * 1e6 * perPiece.bytes) / 2 ** 30).toFixed(1)} GiB; ` +
      `adding them ${((millions * 1e6 * shared.addSeconds) / 3600).toFixed(1)} h of one process`,
  );
  for (const [what, factor] of [
    [`recordings of ${seconds} s`, 1],
    ['pieces of an hour', 3600 / seconds],
  ] as const) {
    const read = decode * factor + shared.workSeconds;
    for (const workers of [1, 50, 100, 200, 500, 1000, 2000, 5000]) {
      const rate = simulate(workers, read, perPiece.cpuSeconds);
      const most = workers / read;
      const hours = (millions * 1e6) / rate / 3600;
      say(
        `${what}, ${workers} workers: ${rate.toPrecision(3)} a second, ${((100 * rate) / most).toFixed(0)} % of ` +
          `what they could; ten million take ${hours < 48 ? `${hours.toFixed(1)} h` : `${(hours / 24).toFixed(0)} days`}; Redis busy ${(100 * rate * perPiece.cpuSeconds).toFixed(0)} %`,
      );
    }
  }
}

try {
  makeRecordings(root);
  const commandOf = (part: string) =>
    `npm run bench -- archive ${part} --recordings ${recordings} --seconds ${seconds} --seed ${seed}`;
  if (parts.includes('workers')) {
    const data = await measureWorkers();
    if (values.write) await writeArchiveFigures({ workers: { command: commandOf('workers'), data } });
  }
  if (parts.includes('log')) await measureLog();
  if (parts.includes('killed')) await measureKilled();
  if (parts.includes('cost') || parts.includes('scale')) {
    const cost = await measureCost();
    if (values.write) {
      const { decode: reading, embedded, shared, perPiece } = cost;
      const times = ({ addSeconds: adding, workSeconds: working }: Cost) => ({ adding, working });
      const redisCost = { ...times(shared), itself: perPiece.cpuSeconds };
      const data = { seconds, reading, file: times(embedded), redis: redisCost };
      await writeArchiveFigures({ cost: { command: commandOf('cost'), data } });
    }
    if (parts.includes('scale')) tellScale(cost);
  }
} finally {
  redis.stop();
  rmSync(top, { recursive: true, force: true });
}
process.exitCode = verdict.failed ? 1 : 0;
