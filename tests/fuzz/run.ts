/**
 * Hostile input for hours: `npm run fuzz -- --help` tells how.
 *
 * Each target in turn gets a round of S seconds of processor time in a thread of its own, some get several. Inputs that do something new
 * go into FOLDER/<target>, what must not be into FOLDER/found; `--keep` takes the former over into tests/fuzz/corpus. Ends
 * with a line of figures for each target, and with status 1 if anything was found.
 */
import { appendFileSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { bundleWorker } from './bundle.js';
import { readCorpus, readInputs, writeCorpus, writeInput, type NamedInput } from './corpus.js';
import { TARGETS } from './targets/index.js';
import type { Target } from './target.js';
import { CURRENT_HEAD_BYTES, type Finding, type Order, type Tally } from './order.js';

const WATCH_MS = 500;
/** A thread that stays with one input so many times longer than its limit, and not less than this, hangs. */
const HANG_FACTOR = 10;
const HANG_LEAST_MS = 20_000;
const HEAP_MIB = 768;

const USAGE = 'npm run fuzz -- [--minutes N] [--round S] [--into FOLDER] [--seed N] [--keep] [targets]';

const { values: flags, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    minutes: { type: 'string', default: '5' },
    round: { type: 'string', default: '30' },
    into: { type: 'string', default: 'node_modules/.cache/dotphase-fuzz/inputs' },
    seed: { type: 'string', default: '1' },
    keep: { type: 'boolean', default: false },
    help: { type: 'boolean', short: 'h', default: false },
  },
});
if (flags.help) {
  process.stdout.write(`${USAGE}\nTargets: ${TARGETS.map(({ name }) => name).join(', ')}\n`);
  process.exit();
}
const chosen = positionals.length === 0 ? TARGETS : TARGETS.filter(({ name }) => positionals.includes(name));
const unknown = positionals.filter((name) => !TARGETS.some((target) => target.name === name));
if (unknown.length > 0) {
  throw new Error(`no target ${unknown.join(', ')}; there are ${TARGETS.map(({ name }) => name).join(', ')}`);
}

const totals = new Map(
  TARGETS.map(({ name }) => [
    name,
    {
      inputs: 0,
      bytes: 0,
      milliseconds: 0,
      reached: 0,
      slowestMs: 0,
      slowestBytes: 0,
      mostMiB: 0,
      added: 0,
      found: new Set<string>(),
    },
  ]),
);

/** Processor time, so that a machine with much else to do makes no hang. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

function say(text: string): void {
  process.stdout.write(`${text}\n`);
  appendFileSync(join(flags.into, 'log.txt'), `${text}\n`);
}

function keepFinding(target: string, { kind, message, signature, input }: Omit<Finding, 'type'>): void {
  const found = totals.get(target)?.found;
  if (!found || found.has(signature)) return;
  found.add(signature);
  const name = `${kind}-${signature}`;
  writeInput(join(flags.into, 'found'), target, input, name);
  say(`FOUND ${target}/${name} (${input.length} bytes): ${message}`);
}

/** What is kept and what this run and those before it in the same folder added. */
function inputsOf(target: string): NamedInput[] {
  return [...readCorpus(target), ...readInputs(flags.into, target)];
}

async function round(program: URL, target: Target, seed: number, milliseconds: number): Promise<void> {
  const { name } = target;
  const total = totals.get(name);
  if (!total) return;
  const current = new SharedArrayBuffer(CURRENT_HEAD_BYTES + target.maxBytes);
  const corpus = inputsOf(name).map(({ input }) => input);
  const workerData: Order = { target: name, milliseconds, seed, corpus, current };
  const worker = new Worker(program, { workerData, resourceLimits: { maxOldGenerationSizeMb: HEAP_MIB } });
  const head = new Int32Array(current, 0, 2);
  const shown = () => new Uint8Array(current, CURRENT_HEAD_BYTES, head[1]).slice();
  let last = { input: 0, since: processorMs() };
  const before = processorMs();
  let isTold = false;
  const watch = setInterval(() => {
    if (head[0] !== last.input || head[0] === 0) last = { input: head[0], since: processorMs() };
    else if (processorMs() - last.since > Math.max(HANG_LEAST_MS, HANG_FACTOR * target.limitMs(head[1]))) {
      keepFinding(name, { kind: 'hang', message: 'no end', signature: 'hang', input: shown() });
      void worker.terminate();
    }
  }, WATCH_MS);
  await new Promise<void>((resolve) => {
    worker.on('message', (message: Finding | Tally) => {
      if (message.type === 'finding') keepFinding(name, message);
      else {
        isTold = true;
        for (const input of message.added) writeInput(flags.into, name, input);
        total.inputs += message.inputs;
        total.bytes += message.bytes;
        total.milliseconds += message.milliseconds;
        total.reached = Math.max(total.reached, message.reached);
        total.mostMiB = Math.max(total.mostMiB, message.mostMiB);
        total.added += message.added.length;
        if (message.slowestMs > total.slowestMs) {
          [total.slowestMs, total.slowestBytes] = [message.slowestMs, message.slowestBytes];
        }
      }
    });
    worker.on('error', (error) => {
      keepFinding(name, {
        kind: 'crash',
        message: String(error),
        signature: (error as { code?: string }).code ?? 'crash',
        input: shown(),
      });
    });
    worker.on('exit', () => {
      // A thread that was ended counts too, or a run of hangs would have no end.
      if (!isTold) total.milliseconds += processorMs() - before;
      resolve();
    });
  });
  clearInterval(watch);
}

function figures(): string {
  const lines = chosen.map(({ name }) => {
    const t = totals.get(name);
    if (!t) return name;
    const seconds = t.milliseconds / 1000;
    return [
      name.padEnd(11),
      `${t.inputs} inputs in ${seconds.toFixed(0)} s`,
      `${t.bytes} bytes`,
      `${t.reached} ways`,
      `${t.added} inputs new`,
      `slowest ${t.slowestMs.toFixed(1)} ms (${t.slowestBytes} bytes)`,
      `most ${t.mostMiB.toFixed(1)} MiB`,
      `${t.found.size} found`,
    ].join(', ');
  });
  const inputs = [...totals.values()].reduce((sum, t) => sum + t.inputs, 0);
  return [...lines, `all: ${inputs} inputs in ${(spentMs() / 60_000).toFixed(1)} min`].join('\n');
}

mkdirSync(flags.into, { recursive: true });
const program = await bundleWorker();
const wantedMs = Number(flags.minutes) * 60_000;
const spentMs = () => [...totals.values()].reduce((sum, { milliseconds }) => sum + milliseconds, 0);
const roundMs = Math.min(
  Number(flags.round) * 1000,
  wantedMs / chosen.reduce((sum, { share = 1 }) => sum + share, 0),
);
for (let seed = Number(flags.seed); spentMs() < wantedMs; seed++) {
  for (const target of chosen)
    if (spentMs() < wantedMs) await round(program, target, seed, roundMs * (target.share ?? 1));
  say(`${new Date().toISOString()} after round ${seed}\n${figures()}`);
}
if (flags.keep) for (const { name } of chosen) writeCorpus(name, inputsOf(name));
process.exitCode = [...totals.values()].some(({ found }) => found.size > 0) ? 1 : 0;
