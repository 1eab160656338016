/** One target for a while, in a thread of its own so that a hang or a full memory ends only this. */
import { createHash } from 'node:crypto';
import { parentPort, workerData } from 'node:worker_threads';
import { createChoices } from '../scenes/random.js';
import { createCoverage } from './coverage.js';
import { mutate } from './mutate.js';
import { CURRENT_HEAD_BYTES, type Finding, type Order, type Tally } from './order.js';
import { bytesOf, type Target } from './target.js';
import { TARGETS } from './targets/index.js';

const MEMORY_FROM_MS = 0.5;

function signatureOf(kind: string, error: Error): string {
  const places = (error.stack ?? '')
    .split('\n')
    .filter((line) => line.includes('    at '))
    .slice(0, 3);
  const text = [
    kind,
    error.name,
    error.message.replace(/[\d"'].*/s, ''),
    ...places.map((line) => line.replace(/\(.*/, '')),
  ].join('|');
  return createHash('sha1').update(text).digest('hex').slice(0, 10);
}

const memoryMiB = () => {
  const { heapUsed, arrayBuffers, external } = process.memoryUsage();
  return (heapUsed + arrayBuffers + external) / 1_048_576;
};
const processorMs = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

async function work(order: Order, target: Target): Promise<void> {
  const port = parentPort;
  const choices = createChoices(order.seed);
  const coverage = createCoverage();
  const words = (target.words ?? []).map(bytesOf);
  const corpus: Uint8Array[] = [];
  const added: Uint8Array[] = [];
  const head = new Int32Array(order.current, 0, 2);
  const shown = new Uint8Array(order.current, CURRENT_HEAD_BYTES);
  const tally = { inputs: 0, bytes: 0, slowestMs: 0, slowestBytes: 0, mostMiB: 0 };

  const report = (kind: string, error: Error, input: Uint8Array) => {
    const message = `${error.name}: ${error.message}\n${(error.stack ?? '').split('\n').slice(1, 6).join('\n')}`;
    port?.postMessage({
      type: 'finding',
      kind,
      message,
      signature: signatureOf(kind, error),
      input,
    } satisfies Finding);
  };

  const attempt = async (
    input: Uint8Array,
  ): Promise<{ ms: number; error: Error | undefined; grownMiB: number }> => {
    const memory = memoryMiB();
    const started = performance.now();
    const processor = processorMs();
    let error: Error | undefined;
    try {
      const running = target.run(input);
      if (running) await running;
    } catch (thrown) {
      error = thrown instanceof Error ? thrown : new Error(`thrown: ${String(thrown)}`);
    }
    const ms = Math.min(performance.now() - started, processorMs() - processor);
    return { ms, error, grownMiB: ms < MEMORY_FROM_MS ? 0 : memoryMiB() - memory };
  };

  const tryOne = async (input: Uint8Array, isGiven: boolean): Promise<void> => {
    shown.set(input);
    head[1] = input.length;
    Atomics.add(head, 0, 1);
    const { ms, error, grownMiB } = await attempt(input);
    tally.inputs++;
    tally.bytes += input.length;
    tally.mostMiB = Math.max(tally.mostMiB, grownMiB);
    if (ms > tally.slowestMs) [tally.slowestMs, tally.slowestBytes] = [ms, input.length];
    const isNew = coverage.isNew();
    if (isGiven) corpus.push(input);
    if (error) report('failure', error, input);
    else if (ms > target.limitMs(input.length)) {
      const again = await attempt(input);
      coverage.isNew();
      if (again.ms > target.limitMs(input.length)) report('slow', new Error(`slow: ${again.ms} ms`), input);
    } else if (grownMiB > target.limitMiB) report('memory', new Error(`memory: ${grownMiB} MiB`), input);
    else if (isNew && !isGiven) {
      corpus.push(input);
      added.push(input);
    }
  };

  const started = processorMs();
  const isOver = () => processorMs() - started >= order.milliseconds;
  coverage.isNew();
  for (const input of [...target.seeds(), ...order.corpus]) {
    if (!isOver()) await tryOne(input.slice(0, target.maxBytes), true);
  }
  while (!isOver()) {
    const recent = corpus.length - 1 - choices.integer(0, Math.min(corpus.length - 1, 30));
    const chosen = choices.integer(0, 2) === 0 ? corpus[recent] : choices.pick(corpus);
    await tryOne(mutate(chosen, choices.pick(corpus), words, target.maxBytes, choices), false);
  }
  port?.postMessage({
    type: 'tally',
    ...tally,
    milliseconds: processorMs() - started,
    reached: coverage.reached,
    added,
  } satisfies Tally);
}

const order = workerData as Order;
const target = TARGETS.find(({ name }) => name === order.target);
if (!target) throw new Error(`no target ${order.target}`);
await work(order, target);
