/**
 * What a report draws: levels and steps of phase over time, transitions as an eye, the spectrum with its limits, the
 * ladder.
 */
import { successOf } from '../../records/index.js';
import type { LadderEstimate, LadderTrial } from '../ladder.js';
import { STEP_WORDS } from '../rungs.js';
import type { Tolerance } from '../tolerances.js';
import { TONE_COLOURS, drawChart } from './charts.js';
import type { ReportedBand, ReportedLadder } from './report.js';

const { b: B, y: Y, other: GREY } = TONE_COLOURS;

const decibels = (ratio: number) => 10 * Math.log10(ratio);
const limitsOf = (limits: readonly Tolerance[], figure: string): number[] =>
  limits
    .filter((limit) => limit.figure === figure)
    .flatMap(({ lowest, highest }) => [lowest ?? [], highest ?? []].flat());

/** The drawings of the calls of one bit rate, as SVG elements. */
export function bandDrawings({ baud, figures, verdicts, detail }: ReportedBand): string[] {
  const { level, phase, spectrum, noise, eye } = detail;
  const begin = level.at(0)?.time ?? 0;
  const end = Math.max(begin + 0.1, level.at(-1)?.time ?? 0);
  const mean = level.reduce((sum, { amplitude }) => sum + amplitude, 0) / Math.max(1, level.length);
  const seconds = { label: 'seconds of the call', from: 0, to: end - begin };
  const levels = (isUpper: boolean) =>
    level
      .filter((bit) => bit.isUpper === isUpper)
      .map(({ time, amplitude }) => [time - begin, 2 * decibels(amplitude / mean)] as const);
  const span = Math.max(1, ...[...levels(true), ...levels(false)].map(([, db]) => Math.ceil(Math.abs(db))));
  const stepLimits = limitsOf(verdicts, 'phaseStepDegrees');
  const steepest = Math.max(25, ...phase.map(({ degrees }) => Math.abs(degrees) + 5));
  const centre = figures.centreHz?.value ?? 1700;
  const reach = baud === 100 ? 800 : 1600;
  const top = Math.max(...spectrum.density);
  const curve = ({ density, stepHz }: typeof spectrum) =>
    Array.from(
      density,
      (value, bin) => [bin * stepHz - centre, Math.max(-90, decibels(value / top))] as const,
    );
  const half = (figures.occupiedHz?.value ?? NaN) / 2;
  return [
    drawChart({
      title: 'Level of each bit, by tone',
      x: seconds,
      y: { label: 'dB against the mean', from: -Math.min(span, 12), to: Math.min(span, 12) },
      series: [
        { points: levels(true), colour: B, isLine: false, name: 'higher' },
        { points: levels(false), colour: Y, isLine: false, name: 'lower' },
      ],
    }),
    drawChart({
      title: 'Steps of phase at the transitions',
      x: seconds,
      y: { label: 'degrees', from: -Math.min(180, steepest), to: Math.min(180, steepest) },
      series: [
        { points: phase.map(({ time, degrees }) => [time - begin, degrees]), colour: Y, isLine: false },
      ],
      levels: stepLimits.flatMap((limit) => (limit > 0 ? [limit, -limit] : [])),
    }),
    ...(eye.length === 0
      ? []
      : [
          drawChart({
            title: 'Transitions, one over the other',
            x: { label: 'bits from the transition', from: -1, to: 1 },
            y: { label: 'Hz from the centre', from: -150, to: 150 },
            series: eye.map((points) => ({ points, colour: points[0][1] < 0 ? Y : B, isLine: true })),
          }),
        ]),
    drawChart({
      title: 'Spectrum; dashed: 99 % of the power',
      x: { label: 'Hz from the centre', from: -reach, to: reach },
      y: { label: 'dB', from: -80, to: 0 },
      series: [
        { points: curve(noise), colour: GREY, isLine: true, name: 'noise' },
        { points: curve(spectrum), colour: Y, isLine: true, name: 'call' },
      ],
      uprights: [-half, half],
    }),
  ];
}

/** Calls about one value. */
export interface LadderShare {
  readonly value: number;
  readonly tried: number;
  readonly acknowledged: number;
}

/** So many shares at most. */
const MOST_SHARES = 25;

/** Calls by their values, put together in steps of a round number. */
export function sharesOf(trials: readonly LadderTrial[]): LadderShare[] {
  const values = trials.map(({ value }) => value);
  const span = Math.max(...values) - Math.min(...values);
  const rough = Math.max(1, span / MOST_SHARES);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((size) => size >= rough) ?? rough;
  const placeOf = (value: number) => Math.round(value / step) * step;
  const places = [...new Set(values.map(placeOf))].sort((a, b) => a - b);
  return places.map((value) => {
    const those = trials.filter((trial) => placeOf(trial.value) === value);
    return {
      value,
      tried: those.length,
      acknowledged: those.filter(({ isAcknowledged }) => isAcknowledged).length,
    };
  });
}

/** Standard deviations from one half to nine tenths of a normal distribution. */
const NINE_TENTHS = 1.2816;
const CURVE_POINTS = 80;

/** The share by the estimate, per cent: a logistic curve stands for the normal one, which it nears to 1 %. */
function curve({ half, nineTenths }: LadderEstimate, from: number, to: number): [number, number][] {
  const width = (nineTenths.value - half.value) / NINE_TENTHS;
  return Array.from({ length: CURVE_POINTS + 1 }, (_, i) => {
    const value = from + ((to - from) * i) / CURVE_POINTS;
    return [value, 100 / (1 + Math.exp((-1.702 * (value - half.value)) / width))];
  });
}

/** The ladder: shares acknowledged with their intervals, the curve through them, and those of other receivers. */
export function ladderDrawing({ air, trials, estimate, beside }: ReportedLadder): string {
  const shares = sharesOf(trials);
  const { name, unit, resolution } = STEP_WORDS[air.step];
  const known = [estimate, ...Object.values(beside ?? {})].filter(({ isInRange }) => isInRange);
  const ends = [
    ...shares.map(({ value }) => value),
    ...known.flatMap(({ half, nineTenths }) => [2 * half.value - nineTenths.value, nineTenths.value]),
  ];
  const [from, to] = [Math.min(...ends) - 10 * resolution, Math.max(...ends) + 10 * resolution];
  const other = (label: 'textbook' | 'dotphase', colour: string) => {
    const own = beside?.[label];
    return own?.isInRange ? [{ points: curve(own, from, to), colour, isLine: true, name: label }] : [];
  };
  return drawChart({
    title: 'Calls acknowledged',
    x: { label: `${name}, ${unit}`, from, to },
    y: { label: 'per cent', from: 0, to: 100 },
    series: [
      ...other('dotphase', B),
      ...other('textbook', GREY),
      ...(estimate.isInRange
        ? [{ points: curve(estimate, from, to), colour: Y, isLine: true, name: 'this set' }]
        : []),
      {
        points: shares.map(({ value, tried, acknowledged }) => [value, (100 * acknowledged) / tried]),
        colour: Y,
        isLine: false,
      },
      // Each share with its Wilson interval.
      ...shares.map(({ value, tried, acknowledged }) => {
        const { low, high } = successOf(acknowledged, tried);
        return {
          points: [
            [value, 100 * low],
            [value, 100 * high],
          ] as const,
          colour: Y,
          isLine: true,
        };
      }),
    ],
    uprights: estimate.isInRange ? [estimate.half.value, estimate.nineTenths.value] : [],
  });
}
