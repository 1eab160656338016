/**
 * A watch that is killed, again and again, at moments by chance: whatever it had told must stand in its log, and nothing
 * twice. Its input plays one recording, from the beginning each time it is started.
 *
 * Run with `npx tsx tests/bench/crash.bench.ts [--kills 20] [--hours 0.25] [--seed 1]` after `npm run build`. Ends with
 * status 1 where a call that was told is missing, one stands twice, or one was told twice.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { sendingsOf } from '../../src/records/index.js';
import { openHeardStore } from '../../src/records/sqlite/index.js';
import { createChoices } from '../scenes/random.js';
import { FEED_RATE, fedCalls } from '../watch/feed.js';

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '20' },
    hours: { type: 'string', default: '0.25' },
    seed: { type: 'string', default: '1' },
    'calls-per-hour': { type: 'string', default: '120' },
  },
});
const [kills, hours, seed, callsPerHour] = [
  values.kills,
  values.hours,
  values.seed,
  values['calls-per-hour'],
].map(Number);

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'crash-'));
const config = join(folder, 'watch.json');
const command = [
  process.execPath,
  '--import',
  'tsx',
  here('../watch/feed.ts'),
  ...['--seed', '1', '--hours', String(hours), '--calls-per-hour', String(callsPerHour)],
];
writeFileSync(
  config,
  JSON.stringify({
    log: 'heard.db',
    inputs: [
      {
        ...{ name: 'mf', command, format: 's16', sampleRate: FEED_RATE },
        ...{ frequencyHz: 2_187_500, recorded: '2031-05-17T00:00:00Z' },
      },
    ],
  }),
);

/** Runs the watch, and kills it after so many calls and a little more, or lets it come to its end. */
function run(killAfter: number, later: number): Promise<string> {
  const child = spawn(process.execPath, [here('../../dist/cli/main.js'), 'watch', config, '--json'], {
    cwd: here('../..'),
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  let isDying = false;
  child.stdout.on('data', (bytes: Buffer) => {
    told += bytes.toString();
    const calls = told.split('\n').filter((line) => line.includes('"startUtc"')).length;
    if (isDying || calls < killAfter) return;
    isDying = true;
    setTimeout(() => child.kill('SIGKILL'), later);
  });
  return new Promise((resolve) =>
    child.on('close', () => {
      resolve(told);
    }),
  );
}

const choices = createChoices(seed);
const told: string[] = [];
const fed = [...fedCalls(1, hours, callsPerHour)].length;
const collect = (text: string) => {
  // The last line may have been cut by the kill.
  const whole = text.slice(0, text.lastIndexOf('\n') + 1);
  for (const line of whole.split('\n')) {
    if (!line.includes('"startUtc"')) continue;
    const { startUtc, quality } = JSON.parse(line) as { startUtc: string; quality: string };
    if (quality !== 'doubtful') told.push(startUtc);
  }
};
for (let kill = 0; kill < kills; kill++) {
  // What was heard before is not told again, so each run gets a little further.
  const most = Math.max(1, Math.floor((0.8 * fed) / kills));
  collect(await run(choices.integer(1, most), choices.integer(0, 400)));
}
collect(await run(Infinity, 0));

const store = await openHeardStore(join(folder, 'heard.db'), { clock: Date.now, readonly: true });
const entries = store.calls.list({ sure: true });
store.close();
rmSync(folder, { recursive: true, force: true });
const kept = entries.flatMap((entry) => sendingsOf(entry)).map(({ time }) => time);
const isKept = (moment: string) => kept.some((time) => Math.abs(time - Date.parse(moment)) <= 100);
const count = {
  kills,
  fed,
  kept: kept.length,
  keptTwice: kept.filter((time, i) => kept.some((other, j) => j < i && Math.abs(other - time) <= 100)).length,
  told: told.length,
  toldAndLost: told.filter((moment) => !isKept(moment)).length,
  toldTwice: told.length - new Set(told).size,
};
console.log(JSON.stringify(count, undefined, 2));
process.exitCode = count.keptTwice + count.toldAndLost + count.toldTwice === 0 && count.kept === fed ? 0 : 1;
