/** The measurements as pictures. */
import * as Plot from '@observablehq/plot';
import { parseHTML } from 'linkedom';
import {
  AIRS,
  ATTEMPT_CHANNELS,
  CHANNELS,
  SINGLE_CHANNELS,
  type Air,
  type ChannelName,
} from '../scenes/channels.js';
import type { Calibration, DecodePoint, Results } from './results.js';
import { fskErrorRate, orthogonalErrorRate } from '../scenes/theory.js';

const OURS = '#0b6e4f';
const BASELINE = '#b3541e';
const ATTEMPT = '#1d4e89';
const THEORY = '#4a5568';

const STYLE = { background: 'white', color: '#1a202c', fontFamily: 'sans-serif', fontSize: '12px' };

/** A picture as SVG. */
export function draw(options: Plot.PlotOptions): string {
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  const svg = Plot.plot({ ...options, document, style: STYLE });
  svg.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  return `${svg.outerHTML}\n`;
}

const range = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);

/** Share of alerts decoded against the signal-to-noise ratio: one alert and attempts of five, a panel for each air. */
export function decodeCurves(points: readonly DecodePoint[]): string {
  const panel = (air: Air) => AIRS[air].replace(/ (?=\()/, '\n');
  const curve = (name: ChannelName, right: (point: DecodePoint) => number, curve: string = name) =>
    points
      .filter(({ channel }) => channel === name)
      .map((point) => ({
        air: panel(CHANNELS[name].air),
        snr: point.snrDb,
        share: right(point) / point.sent,
        curve,
      }));
  const ours = (names: readonly ChannelName[]) => names.flatMap((name) => curve(name, ({ right }) => right));
  const textbook = SINGLE_CHANNELS.flatMap((name) => curve(name, ({ textbookRight }) => textbookRight));
  const line = { x: 'snr', y: 'share', fx: 'air', z: 'curve' } as const;
  const label = (
    air: Air,
    snr: number,
    share: number,
    text: string,
    fill: string,
    textAnchor: 'start' | 'end',
  ) =>
    Plot.text([{ air: panel(air), snr, share }], {
      x: 'snr',
      y: 'share',
      fx: 'air',
      text: () => text,
      fill,
      textAnchor,
      fontWeight: 'bold',
    });
  return draw({
    width: 1000,
    height: 340,
    marginTop: 56,
    marginBottom: 46,
    marginLeft: 50,
    fx: { domain: (Object.keys(AIRS) as Air[]).map(panel), label: null, padding: 0.06 },
    x: {
      domain: [-20, 6],
      label: 'SNR in 3 kHz, dB',
      labelAnchor: 'center',
      labelArrow: 'none',
      grid: true,
      ticks: [-20, -16, -12, -8, -4, 0, 4],
    },
    y: { domain: [0, 1], label: 'share of alerts decoded', percent: false, tickFormat: '.0%', grid: true },
    marks: [
      Plot.frame({ stroke: '#cbd5e0' }),
      Plot.ruleY([0.9], { stroke: '#a0aec0', strokeDasharray: '4 3' }),
      Plot.line(textbook, { ...line, stroke: BASELINE, strokeWidth: 1.6, marker: 'dot' }),
      Plot.line(ours(SINGLE_CHANNELS), { ...line, stroke: OURS, strokeWidth: 2.2, marker: 'dot' }),
      Plot.line(ours(ATTEMPT_CHANNELS), { ...line, stroke: ATTEMPT, strokeWidth: 2.2, marker: 'dot' }),
      label('moderate', -15.6, 0.6, 'five in a row', ATTEMPT, 'start'),
      label('moderate', -7.2, 0.5, 'one alert', OURS, 'start'),
      label('moderate', 0.6, 0.3, 'textbook,\none alert', BASELINE, 'start'),
    ],
  });
}

/** Bit error rate against Eb/N₀ with theory, a logarithmic scale. */
export function bitCurves(measured: NonNullable<Results['bits']>['data']): string {
  const theory = range(3, 12, 0.25).flatMap((eb) => [
    { eb, rate: orthogonalErrorRate(eb), shift: '200' },
    { eb, rate: fskErrorRate(eb, 1.7), shift: '170' },
  ]);
  const dots = measured
    .filter(({ errors }) => errors > 0)
    .map(({ ebN0Db, errors, bits, shiftHz, phase }) => ({
      eb: ebN0Db,
      rate: errors / bits,
      shift: String(shiftHz),
      phase,
    }));
  const having = (phase: string) => dots.filter((dot) => dot.phase === phase);
  return draw({
    width: 560,
    height: 400,
    marginLeft: 60,
    marginBottom: 44,
    x: { label: 'Eb/N₀, dB', labelAnchor: 'center', labelArrow: 'none', grid: true, domain: [3, 12] },
    y: { type: 'log', label: 'bit error rate', grid: true, domain: [1e-4, 0.3], tickFormat: '~e' },
    color: { domain: ['200', '170'], range: [OURS, BASELINE] },
    marks: [
      Plot.frame({ stroke: '#cbd5e0' }),
      Plot.line(theory, { x: 'eb', y: 'rate', stroke: 'shift', strokeDasharray: '5 3', clip: true }),
      Plot.dot(having('continuous'), { x: 'eb', y: 'rate', fill: 'shift', r: 4 }),
      Plot.dot(having('random'), { x: 'eb', y: 'rate', stroke: 'shift', r: 4, strokeWidth: 1.5 }),
      Plot.text(
        [
          { eb: 3.3, rate: 1e-3, text: '200 Hz: dashed ½·exp(−Eb/2N₀)', shift: '200' },
          { eb: 3.3, rate: 5e-4, text: '170 Hz: dashed theory for tones 1.7 apart', shift: '170' },
          { eb: 3.3, rate: 2.5e-4, text: '● phase runs on  ○ bits of random phase', shift: '200' },
        ],
        { x: 'eb', y: 'rate', text: 'text', fill: 'shift', textAnchor: 'start' },
      ),
    ],
  });
}

/** Observed share of errors against the estimate, both logarithmic. */
export function calibrationCurve({ bins }: Calibration): string {
  const lowest = 1e-10;
  const rows = bins
    .filter(({ count }) => count > 0)
    .map(({ count, wrong, expected }) => ({
      estimate: Math.max(lowest, expected / count),
      observed: wrong === 0 ? 1 / count : wrong / count,
      none: wrong === 0,
      label: wrong === 0 ? `none of ${count}` : `${wrong} of ${count}`,
    }));
  const filled = rows.filter(({ none }) => !none);
  // Neighbours lie too close to have their labels on the same side.
  const above = rows.filter(({ none }, i) => none && i % 2 === 0);
  const below = rows.filter(({ none }, i) => none && i % 2 === 1);
  const at = { x: 'estimate', y: 'observed', text: 'label', fontSize: 10 } as const;
  return draw({
    width: 600,
    height: 400,
    marginLeft: 60,
    marginRight: 60,
    marginBottom: 44,
    x: {
      type: 'log',
      domain: [lowest, 1],
      label: 'mean estimated error probability',
      labelAnchor: 'center',
      labelArrow: 'none',
      grid: true,
      tickFormat: '~e',
      ticks: 6,
    },
    y: {
      type: 'log',
      domain: [1e-5, 1.2],
      label: 'observed share of errors',
      grid: true,
      tickFormat: '~e',
      ticks: 6,
    },
    marks: [
      Plot.frame({ stroke: '#cbd5e0' }),
      Plot.line(
        [
          [1e-5, 1e-5],
          [1, 1],
        ],
        { stroke: THEORY, strokeDasharray: '5 3' },
      ),
      Plot.dot(rows, {
        x: 'estimate',
        y: 'observed',
        r: 5,
        fill: (row: { none: boolean }) => (row.none ? 'white' : OURS),
        stroke: OURS,
        strokeWidth: 1.5,
      }),
      Plot.text(filled, { ...at, textAnchor: 'start', dx: 9, dy: 3 }),
      Plot.text(above, { ...at, dy: -12 }),
      Plot.text(below, { ...at, dy: 13 }),
      Plot.text([[1.5e-10, 0.5]], {
        text: () => 'open: no error seen, drawn at one in as many calls',
        textAnchor: 'start',
        fontSize: 11,
      }),
    ],
  });
}
