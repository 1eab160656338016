/**
 * What a report draws: levels and steps of phase over time, transitions as an eye, the spectrum with its limits, the
 * ladder.
 */
import type { LadderTrial } from '../ladder.js';
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

/** Calls at each whole decibel: ratio, tried, acknowledged. */
export function sharesByRatio(
  trials: readonly LadderTrial[],
): { ratioDb: number; tried: number; acknowledged: number }[] {
  const places = [...new Set(trials.map(({ ratioDb }) => Math.round(ratioDb)))].sort((a, b) => a - b);
  return places.map((ratioDb) => {
    const those = trials.filter((trial) => Math.round(trial.ratioDb) === ratioDb);
    return {
      ratioDb,
      tried: those.length,
      acknowledged: those.filter(({ isAcknowledged }) => isAcknowledged).length,
    };
  });
}

/** The ladder: shares acknowledged, and the ratios for one half and nine tenths. */
export function ladderDrawing({ trials, estimate }: ReportedLadder): string {
  const shares = sharesByRatio(trials);
  const ratios = shares.map(({ ratioDb }) => ratioDb);
  return drawChart({
    title: 'Calls acknowledged, by signal-to-noise ratio',
    x: { label: 'dB in 3 kHz', from: Math.min(...ratios) - 1, to: Math.max(...ratios) + 1 },
    y: { label: 'per cent', from: 0, to: 100 },
    series: [
      {
        points: shares.map(({ ratioDb, tried, acknowledged }) => [ratioDb, (100 * acknowledged) / tried]),
        colour: Y,
        isLine: true,
      },
    ],
    uprights: [estimate.half.value, estimate.nineTenths.value],
  });
}
