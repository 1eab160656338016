/**
 * Measuring a set: audio and a received call in, figures out, each with its standard uncertainty, and verdicts against
 * limits.
 *
 * @example
 * ```ts
 * import { callToAudio } from 'dotphase';
 * import { clockWithin, createMeter, tolerancesFor, verdictsOn, withClock } from 'dotphase/measure';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = new Float32Array(120_000);
 * audio.set(callToAudio(call, { band: 'mf-hf', sampleRate: 12000 }), 12000);
 *
 * const meter = createMeter({ sampleRate: 12000 });
 * for (const { measured } of [...meter.push(audio), ...meter.flush()]) {
 *   if (!measured) continue;
 *   const figures = withClock(measured.figures, clockWithin(5));
 *   console.log(figures.dots?.value, figures.centreHz?.value.toFixed(1)); // 20 1700.0
 *   const limits = tolerancesFor({ band: 'mf-hf', symbols: measured.symbols });
 *   console.log(verdictsOn(figures, limits).every(({ verdict }) => verdict === 'within')); // true
 * }
 * ```
 *
 * @packageDocumentation
 */
export { clockFromReference, clockFromTone, clockWithin, USUAL_CLOCK_PPM, withClock } from './clock.js';
export { createClockFinder, type ClockFinder, type ClockFinderOptions } from './clockfinder.js';
export type { Figure } from './figure.js';
export { addJudged, judgeCall, judgeTogether, type JudgedCall, type JudgeSettings } from './judged.js';
export {
  createLadder,
  type Ladder,
  type LadderEstimate,
  type LadderOptions,
  type LadderTrial,
} from './ladder.js';
export {
  FIGURES,
  measureCall,
  type FigureName,
  type Figures,
  type MeasuredCall,
  type MeasuredDetail,
  type MeasureOptions,
} from './measurecall.js';
export { createMeter, type Meter, type MeteredCall, type MeterOptions } from './meter.js';
export {
  LADDER_STEPS,
  STEP_WORDS,
  ladderBeside,
  openLadder,
  rungAudio,
  type Beside,
  type LadderAir,
  type LadderStep,
  type Rung,
  type StepWords,
} from './rungs.js';
export { createSliceMeter, type SliceMeter, type SliceMeterOptions } from './slicemeter.js';
export { bandDrawings, sharesOf, type LadderShare } from './report/drawings.js';
export { ladderTexts } from './report/ladderwords.js';
export { reportHtml } from './report/html.js';
export {
  compareFigures,
  createReport,
  readReport,
  reportJson,
  type EarlierReport,
  type FigureChange,
  type MeasurementReport,
  type ReportedBand,
  type ReportedLadder,
  type ReportOrigin,
} from './report/report.js';
export type { CallPlace } from './sent.js';
export { pooled, withGaps } from './sendings.js';
export type { EyeTrace, LevelRun, PhaseContinuity } from './transitions.js';
export type { OddCharacter, SentSequence } from './sequence.js';
export type { SpectralLine, Spectrum } from './spectrum.js';
export {
  readOwnLimits,
  tolerancesFor,
  type LimitCertainty,
  type OwnLimits,
  type Tolerance,
  type ToleranceOptions,
} from './tolerances.js';
export {
  FIGURE_WORDS,
  figureText,
  limitsText,
  NOT_MEASURED,
  remarksOn,
  unsteadyText,
  VERDICT_WORDS,
  type FigureWords,
} from './texts.js';
export { compareWithTruth, type Comparison, type Truth, type TruthComparison } from './truth.js';
export { COVERAGE_FACTOR, judge, verdictsOn, type FigureVerdict, type Verdict } from './verdict.js';
