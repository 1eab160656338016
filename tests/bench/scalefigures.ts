/**
 * What the benchmarks of slices and of archives measured, kept in docs/slices.json and docs/scale.json, and drawn beside
 * them.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import * as Plot from '@observablehq/plot';
import { format, resolveConfig } from 'prettier';
import { draw } from './curves.js';

/** What was measured, by its parts, and how. */
interface Part<Data> {
  readonly command: string;
  readonly data: Data;
}

/** How fast slices are read on one core. */
export interface SliceSpeed {
  /** Complex samples a second. */
  readonly sampleRate: number;
  readonly channels: number;
  /** With an alert on every channel, or in noise. */
  readonly isBusy: boolean;
  /** Seconds of the slice for each second of processor time, each run. */
  readonly timesRealTime: readonly number[];
}

/** What a channel's place in a slice costs: of the same calls, those read in the slice and as audio. */
export interface SlicePlace {
  /** Distance from the slice's middle, share of its half width. */
  readonly share: number;
  readonly points: readonly {
    readonly snrDb: number;
    readonly sent: number;
    readonly slice: number;
    readonly audio: number;
  }[];
  readonly lossDb: number;
  /** Standard uncertainty. */
  readonly errorDb: number;
}

/** What is known of slices. */
export interface SliceFigures {
  readonly speed?: Part<readonly SliceSpeed[]>;
  readonly places?: Part<readonly SlicePlace[]>;
}

/** Throughput of so many workers. */
export interface Workers {
  readonly queue: 'file' | 'Redis';
  readonly workers: number;
  /** Whether all log into one file. */
  readonly isShared: boolean;
  readonly recordingsPerSecond: number;
  /** Processors that they kept busy together. */
  readonly busy: number;
  /** Load of the machine before. */
  readonly load: number;
}

/** Processor time of one recording, seconds. */
export interface Costs {
  readonly seconds: number;
  readonly reading: number;
  readonly file: { readonly adding: number; readonly working: number };
  readonly redis: { readonly adding: number; readonly working: number; readonly itself: number };
}

/** What is known of archives. */
export interface ArchiveFigures {
  readonly workers?: Part<readonly Workers[]>;
  readonly cost?: Part<Costs>;
}

const OURS = '#0b6e4f';
const OTHER = '#b3541e';
const PERCENT = '.0%';

/** Adds what was measured to what a file in docs holds, and gives all of it. */
async function keep<Figures extends object>(name: string, measured: Figures): Promise<Figures> {
  const file = new URL(`../../docs/${name}.json`, import.meta.url);
  const before = existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Figures) : undefined;
  const all = { ...before, ...measured };
  const config = await resolveConfig(import.meta.filename);
  writeFileSync(file, await format(JSON.stringify(all), { ...config, parser: 'json' }));
  return all;
}

const picture = (name: string, svg: string) => {
  writeFileSync(new URL(`../../docs/${name}.svg`, import.meta.url), svg);
};

/** Share of alerts read in the slice and as audio, a panel for each place. */
function placesCurve(places: readonly SlicePlace[]): string {
  const panel = ({ share, lossDb, errorDb }: SlicePlace) =>
    `${share === 0 ? 'in the middle' : `${Math.round(100 * share)} % of the way to the edge`}\nloss ${lossDb.toFixed(2)} ± ${errorDb.toFixed(2)} dB`.replace(
      '-',
      '−',
    );
  const rows = (read: 'slice' | 'audio') =>
    places.flatMap((place) =>
      place.points.map((point) => ({
        place: panel(place),
        snr: point.snrDb,
        share: point[read] / point.sent,
        read,
      })),
    );
  const line = { x: 'snr', y: 'share', fx: 'place', marker: 'dot' } as const;
  /** Beside the end of its line. */
  const name = (read: 'slice' | 'audio', fill: string, dy: number) =>
    Plot.text(rows(read).slice(-1), {
      ...{ x: 'snr', y: 'share', fx: 'place', text: () => read, fill },
      ...{ textAnchor: 'start', fontWeight: 'bold', dx: 8, dy },
    });
  return draw({
    width: 900,
    height: 320,
    marginTop: 56,
    marginBottom: 46,
    marginLeft: 50,
    marginRight: 60,
    fx: { domain: places.map(panel), label: null, padding: 0.08 },
    x: {
      label: 'SNR in 3 kHz, dB',
      labelAnchor: 'center',
      labelArrow: 'none',
      grid: true,
      ticks: 4,
      inset: 18,
    },
    y: { domain: [0, 1], label: 'share of alerts read', tickFormat: PERCENT, grid: true },
    marks: [
      Plot.frame({ stroke: '#cbd5e0' }),
      Plot.line(rows('audio'), { ...line, stroke: OTHER, strokeWidth: 1.6, strokeDasharray: '5 3' }),
      Plot.line(rows('slice'), { ...line, stroke: OURS, strokeWidth: 2.2 }),
      name('slice', OURS, -8),
      name('audio', OTHER, 8),
    ],
  });
}

const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1];

/** How many times real time slices are read, the median of all runs and each run. */
function speedBars(speeds: readonly SliceSpeed[]): string {
  const rows = speeds.map(({ sampleRate, channels, isBusy, timesRealTime }) => ({
    what: `${sampleRate < 1e6 ? `${sampleRate / 1000} kHz` : `${sampleRate / 1e6} MHz`}, ${channels} channels, ${isBusy ? 'an alert on each' : 'noise'}`,
    speed: median(timesRealTime),
    timesRealTime,
  }));
  return draw({
    width: 700,
    height: 60 + 40 * rows.length,
    marginLeft: 260,
    marginRight: 50,
    marginBottom: 40,
    x: { label: 'times real time on one core', labelAnchor: 'center', labelArrow: 'none', grid: true },
    y: { domain: rows.map(({ what }) => what), label: null },
    marks: [
      Plot.barX(rows, { x: 'speed', y: 'what', fill: OURS, insetTop: 6, insetBottom: 6 }),
      Plot.tickX(
        rows.flatMap(({ what, timesRealTime }) => timesRealTime.map((speed) => ({ what, speed }))),
        { x: 'speed', y: 'what', stroke: OTHER, insetTop: 4, insetBottom: 4 },
      ),
      Plot.text(rows, {
        x: ({ timesRealTime }: { timesRealTime: readonly number[] }) => Math.max(...timesRealTime),
        y: 'what',
        text: ({ speed }: { speed: number }) => speed.toPrecision(2),
        textAnchor: 'start',
        dx: 8,
      }),
      Plot.ruleX([0]),
    ],
  });
}

/** Recordings a second over the number of workers. */
function workersCurve(rows: readonly Workers[]): string {
  const lines = rows.map(({ queue, isShared, workers, recordingsPerSecond, busy }) => ({
    // One worker has one log, whichever way.
    workers,
    recordingsPerSecond,
    busy,
    queue: queue === 'file' ? 'queue in a file' : 'queue in Redis',
    log: isShared ? 'one log' : 'a log each',
  }));
  const name = (log: string, dy: number) =>
    Plot.text([{ log, queue: 'queue in a file' }], {
      ...{ fx: 'queue', frameAnchor: 'bottom-right', text: () => `● ${log}`, fill: 'log' },
      ...{ dx: -8, dy, fontWeight: 'bold' },
    });
  const counts = [...new Set(rows.map(({ workers }) => workers))];
  const most = Math.max(...rows.map(({ recordingsPerSecond }) => recordingsPerSecond));
  return draw({
    width: 700,
    height: 330,
    marginTop: 40,
    marginBottom: 46,
    marginLeft: 56,
    marginRight: 30,
    fx: { label: null, padding: 0.1 },
    x: { domain: counts, label: 'workers', labelAnchor: 'center', labelArrow: 'none', type: 'point' },
    y: { domain: [0, 1.15 * most], label: 'recordings a second', grid: true },
    color: { domain: ['one log', 'a log each'], range: [OURS, OTHER], legend: false },
    marks: [
      Plot.frame({ stroke: '#cbd5e0' }),
      Plot.line(lines, {
        x: 'workers',
        y: 'recordingsPerSecond',
        fx: 'queue',
        stroke: 'log',
        strokeWidth: 2,
      }),
      Plot.dot(lines, { x: 'workers', y: 'recordingsPerSecond', fx: 'queue', fill: 'log', r: 4 }),
      name('one log', -24),
      name('a log each', -8),
    ],
  });
}

/** Processor time of one recording, a logarithmic scale: reading it and what the queues take. */
function costDots({ seconds, reading, file, redis }: Costs): string {
  const rows = [
    { what: `reading a recording of ${seconds} s`, ms: reading, part: 'reading' },
    { what: 'queue in a file: adding', ms: file.adding, part: 'queue' },
    { what: 'queue in a file: taking and ending', ms: file.working, part: 'queue' },
    { what: 'queue in Redis: adding', ms: redis.adding, part: 'queue' },
    { what: 'queue in Redis: taking and ending', ms: redis.working, part: 'queue' },
    { what: 'Redis itself', ms: redis.itself, part: 'queue' },
  ].map((row) => ({ ...row, ms: 1000 * row.ms }));
  const least = 10 ** Math.floor(Math.log10(Math.min(...rows.map(({ ms }) => ms))));
  return draw({
    width: 700,
    height: 270,
    marginLeft: 230,
    marginRight: 80,
    marginBottom: 44,
    x: {
      type: 'log',
      domain: [least, 1000],
      label: 'processor time, ms (logarithmic)',
      labelAnchor: 'center',
      labelArrow: 'none',
      grid: true,
      tickFormat: '~g',
      ticks: 5,
    },
    y: { domain: rows.map(({ what }) => what), label: null },
    color: { domain: ['reading', 'queue'], range: [OURS, OTHER] },
    marks: [
      Plot.ruleY(rows, { x1: least, x2: 'ms', y: 'what', stroke: '#cbd5e0' }),
      Plot.dot(rows, { x: 'ms', y: 'what', fill: 'part', r: 6 }),
      Plot.text(rows, {
        x: 'ms',
        y: 'what',
        text: ({ ms }: { ms: number }) =>
          `${Number(ms.toPrecision(2))} ms${ms < 1000 * reading ? ` (${((100 * ms) / (1000 * reading)).toFixed(2)} %)` : ''}`,
        textAnchor: 'start',
        dx: 10,
      }),
    ],
  });
}

/** Keeps what was measured of slices in docs, and draws all that stands there. */
export async function writeSliceFigures(measured: SliceFigures): Promise<void> {
  const { speed, places } = await keep('slices', measured);
  if (places) picture('slices-sensitivity', placesCurve(places.data));
  if (speed) picture('slices-speed', speedBars(speed.data));
}

/** Keeps what was measured of archives in docs, and draws all that stands there. */
export async function writeArchiveFigures(measured: ArchiveFigures): Promise<void> {
  const { workers, cost } = await keep('scale', measured);
  if (workers) picture('scale-workers', workersCurve(workers.data));
  if (cost) picture('scale-cost', costDots(cost.data));
}
