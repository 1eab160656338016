/**
 * A watch for days: inputs that play audio time as fast as it is taken, calls in them known beforehand. Tells how many of
 * them stand in the log once, what else stands there, and how memory grows.
 *
 * Run with `npx tsx tests/bench/soak.bench.ts [--hours 168] [--inputs 4] [--calls-per-hour 30]` after `npm run build`. Ends
 * with status 1 where a call is missing or doubled, or memory grows with time.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import { FEED_RATE, fedCalls } from '../watch/feed.js';

const { values } = parseArgs({
  options: {
    hours: { type: 'string', default: '168' },
    inputs: { type: 'string', default: '4' },
    'calls-per-hour': { type: 'string', default: '30' },
  },
});
const [hours, inputs, callsPerHour] = [values.hours, values.inputs, values['calls-per-hour']].map(Number);

const BEGAN = Date.UTC(2031, 4, 17);
const MEBIBYTE = 2 ** 20;
/** Memory may differ by so much from the middle of the run to its end, MiB: the heap breathes. */
const MOST_GROWTH = 40;

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'soak-'));
const config = join(folder, 'watch.json');
const feed = (seed: number) => [
  process.execPath,
  '--import',
  'tsx',
  here('../watch/feed.ts'),
  ...['--seed', String(seed), '--hours', String(hours), '--calls-per-hour', String(callsPerHour)],
];
writeFileSync(
  config,
  JSON.stringify({
    log: 'heard.db',
    inputs: Array.from({ length: inputs }, (_, i) => ({
      name: `input ${i}`,
      command: feed(i),
      format: 's16',
      sampleRate: FEED_RATE,
      frequencyHz: 2_187_500 + 1000 * i,
      // Of four receivers three are known to be tuned well; the other is searched over the whole passband.
      ...(i % 4 !== 0 && { centreHz: 1700 }),
      // Each an own day, so that no call is taken for the same on two inputs.
      recorded: new Date(BEGAN).toISOString(),
    })),
  }),
);

/** Resident memory of a process, MiB. */
function residentMemory(pid: number): number {
  const kibibytes = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
  return (Number(kibibytes) * 1024) / MEBIBYTE;
}

const begin = performance.now();
const child = spawn(process.execPath, [here('../../dist/cli/main.js'), 'watch', config, '--quiet'], {
  cwd: here('../..'),
  stdio: 'inherit',
});
const memory: number[] = [];
const sampling = setInterval(() => {
  try {
    memory.push(residentMemory(child.pid ?? 0));
  } catch {
    // It has just ended.
  }
}, 2000);
const code = await new Promise((resolve) => child.on('close', resolve));
clearInterval(sampling);
const took = (performance.now() - begin) / 1000;

const store = await openHeardStore(join(folder, 'heard.db'), { clock: Date.now, readonly: true });
const entries = store.calls.list();
const counts = { fed: 0, missing: 0, doubled: 0, other: 0, doubtful: 0 };
const seen = new Set<number>();
for (let i = 0; i < inputs; i++) {
  const own = entries.filter(({ input }) => input === `input ${i}`);
  for (const { at, call } of fedCalls(i, hours, callsPerHour)) {
    const self = 'self' in call ? call.self : '';
    const found = own.filter(
      ({ from, time, quality }) =>
        from === self && quality !== 'doubtful' && Math.abs(time - BEGAN - at * 1000) < 5000,
    );
    counts.fed++;
    if (found.length === 0) counts.missing++;
    if (found.length > 1) counts.doubled++;
    for (const { id } of found) seen.add(id);
  }
}
for (const { id, quality } of entries) {
  if (quality === 'doubtful') counts.doubtful++;
  else if (!seen.has(id)) counts.other++;
}
store.close();
rmSync(folder, { recursive: true, force: true });

const quarter = Math.floor(memory.length / 4);
const mean = (list: readonly number[]) => list.reduce((sum, value) => sum + value, 0) / list.length;
const [early, late] = [mean(memory.slice(quarter, 2 * quarter)), mean(memory.slice(-quarter))];
const report = {
  hours,
  inputs,
  status: code,
  seconds: Math.round(took),
  timesRealTime: Math.round((hours * 3600 * inputs) / took),
  ...counts,
  memoryMiB: {
    secondQuarter: Math.round(early),
    lastQuarter: Math.round(late),
    most: Math.round(Math.max(...memory)),
  },
};
console.log(JSON.stringify(report, undefined, 2));
const isGood =
  code === 0 && counts.missing + counts.doubled + counts.other === 0 && !(late - early > MOST_GROWTH);
process.exitCode = isGood ? 0 : 1;
