/**
 * Measures the receiver: `npm run bench -- [parts…] [options]`; slices of spectrum and archives by `npm run bench -- iq`
 * and `npm run bench -- archive`, each with options of its own.
 */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Command } from 'commander';
import { format, resolveConfig } from 'prettier';
import { ATTEMPT_CHANNELS, SINGLE_CHANNELS } from '../scenes/channels.js';
import { bitCurves, calibrationCurve, decodeCurves } from './curves.js';
import { PARTS, SIZES, type Size } from './parts.js';
import { WORKERS, createPool } from './pool.js';
import { positive } from './positive.js';
import {
  bitTable,
  callBins,
  characterBins,
  decodePoints,
  decodeTables,
  falseTable,
  fmTable,
  harderTable,
  latencyTable,
  page,
  rateTable,
  speedTable,
  stepTable,
} from './report.js';
import { loadResults, saveResults, type Results } from './results.js';

type Part = keyof typeof PARTS;

const PART_NAMES = Object.keys(PARTS) as Part[];

const SIZE_OPTIONS: readonly (readonly [keyof Size, string])[] = [
  ['bits', 'bits at each Eb/N₀'],
  ['callsPerPoint', 'alerts at each signal-to-noise ratio'],
  ['attemptsPerPoint', 'attempts of five alerts at each signal-to-noise ratio'],
  ['calibrationCalls', 'calls for the calibration'],
  ['calibrationAttempts', 'attempts of five alerts for theirs'],
  ['noiseHours', 'hours of white noise'],
  ['lookAlikeMinutes', 'minutes of each look-alike'],
  ['harderCalls', 'calls in all kinds of harder air together'],
  ['fmCalls', 'calls through an FM radio at each carrier-to-noise ratio'],
  ['speedMinutes', 'minutes of audio for the speed'],
  ['speedRuns', 'runs that the median speed is taken of'],
  ['memoryHours', 'hours of audio for the memory'],
  ['latencyCalls', 'calls of each kind for the latency'],
];

const dashed = (name: string) => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

/** What is measured by itself, in a file of its own that says how, and prints its figures. */
const ALONE = ['iq', 'archive'];
const [named = '', ...itsOptions] = process.argv.slice(2);
if (ALONE.includes(named)) {
  const file = fileURLToPath(new URL(`${named}.bench.ts`, import.meta.url));
  const { status } = spawnSync(process.execPath, [...process.execArgv, file, ...itsOptions], {
    stdio: 'inherit',
  });
  process.exit(status ?? 1);
}

const program = new Command('bench')
  .description(
    `Measures the receiver. Parts: ${PART_NAMES.join(', ')}; all of them unless named. ` +
      `By themselves, named first: ${ALONE.join(', ')}.`,
  )
  .argument('[parts...]', 'what to measure')
  .option('--short', 'a little of everything, written nowhere')
  .option('--seed <number>', 'chooses everything random', positive, 1)
  .option('--workers <number>', 'processes at the same time', positive, WORKERS);
for (const [name, text] of SIZE_OPTIONS) program.option(`--${dashed(name)} <number>`, text, positive);
program.parse();

const { short, seed, workers, ...sizes } = program.opts<
  { short?: boolean; seed: number; workers: number } & Partial<Size>
>();
const size: Size = { ...(short ? SIZES.short : SIZES.full), ...sizes };
const parts = program.args.length > 0 ? program.args : PART_NAMES;
const unknown = parts.find((part) => !PART_NAMES.includes(part as Part));
if (unknown !== undefined) program.error(`error: ${unknown}: expected one of ${PART_NAMES.join(', ')}`);

/** The part's results in a few lines. */
function print(part: Part, results: Results): string {
  switch (part) {
    case 'bits':
      return bitTable(results.bits?.data ?? []);
    case 'decode':
      return decodeTables(results.decode?.data ?? [], SINGLE_CHANNELS);
    case 'attempts':
      return decodeTables(results.attempts?.data ?? [], ATTEMPT_CHANNELS);
    case 'steps':
      return stepTable(results.steps?.data ?? []);
    case 'calibration':
    case 'attempt-calibration': {
      const data = results[part]?.data;
      return data
        ? `${data.sure} sure, ${data.sureWrong} of them wrong\n${data.wrongs.join('\n')}\n${[callBins, characterBins, rateTable].map((part) => part(data)).join('\n\n')}`
        : '';
    }
    case 'false': {
      const data = results.false?.data ?? [];
      return [
        falseTable(data),
        ...data.flatMap(({ name, reports }) => reports.map((report) => `${name}: ${report}`)),
      ].join('\n');
    }
    case 'speed':
      return speedTable(results.speed?.data ?? []);
    case 'memory':
      return `resident megabytes: ${results.memory?.data.residentMegabytes.join(' ') ?? ''}`;
    case 'harder':
      return harderTable(results.harder?.data ?? []);
    case 'fm':
      return fmTable(results.fm?.data ?? []);
    case 'latency':
      return latencyTable(results.latency?.data ?? []);
  }
}

const docs = (name: string) => new URL(`../../docs/${name}`, import.meta.url);

async function write(results: Results): Promise<void> {
  await saveResults(results);
  const config = await resolveConfig(import.meta.filename);
  writeFileSync(docs('performance.md'), await format(page(results), { ...config, parser: 'markdown' }));
  const points = decodePoints(results);
  if (points.length > 0) writeFileSync(docs('performance-decode.svg'), decodeCurves(points));
  if (results.bits) writeFileSync(docs('performance-bits.svg'), bitCurves(results.bits.data));
  if (results.calibration) {
    writeFileSync(docs('performance-calibration.svg'), calibrationCurve(results.calibration.data));
  }
}

const results: Results = short ? {} : loadResults();
const pool = createPool(workers);
for (const part of parts as Part[]) {
  const start = performance.now();
  const data = await PARTS[part](pool, size, seed);
  const changed = Object.entries(sizes).map(([name, value]) => ` --${dashed(name)} ${value}`);
  const command = `npm run bench -- ${part}${changed.join('')}`;
  Object.assign(results, { [part]: { command, seed, data } });
  if (!short) await write(results);
  console.log(
    `\n${part}, seed ${seed}, ${((performance.now() - start) / 1000).toFixed(0)} s\n${print(part, results)}`,
  );
}
await pool.close();
