/**
 * Measured calls with their verdicts, each by itself and all of one bit rate together.
 */
import { describeCall } from '../calls/index.js';
import type { ReceivedCall } from '../receiver/index.js';
import { withClock } from './clock.js';
import type { Figure } from './figure.js';
import type { Figures, MeasuredCall, MeasuredDetail } from './measurecall.js';
import type { MeteredCall } from './meter.js';
import type { ReportedBand } from './report/report.js';
import { pooled } from './sendings.js';
import { tolerancesFor, type OwnLimits, type Tolerance } from './tolerances.js';
import { compareWithTruth, type Truth, type TruthComparison } from './truth.js';
import { verdictsOn, type FigureVerdict } from './verdict.js';

/** What calls are held against. */
export interface JudgeSettings {
  /** Parts per million by which the clock of the audio runs fast. */
  readonly clock: Figure;
  readonly own?: OwnLimits;
  readonly truth?: Truth;
  /** Where the centre of the tones ought to lie; default 1700 Hz. */
  readonly centreHz?: number;
}

/** A call that was measured, with what was made of it. */
export interface JudgedCall {
  readonly received: ReceivedCall;
  readonly measured: MeasuredCall;
  /** The call in a sentence. */
  readonly text: string;
  /** With the clock taken account of. */
  readonly figures: Figures;
  readonly verdicts: readonly FigureVerdict[];
  readonly truth: TruthComparison;
}

/** The limits that hold for calls: that of the dots only where all need the same, and it is sure which. */
function limitsFor(
  calls: readonly ReceivedCall[],
  { own, centreHz }: JudgeSettings,
  isOnCarrier: boolean,
): Tolerance[] {
  const isSure = calls.every(({ quality }) => quality !== 'doubtful');
  const isOne = new Set(calls.map(({ symbols }) => symbols.join())).size === 1;
  const [{ baud, symbols }] = calls;
  return tolerancesFor({
    band: baud === 100 ? 'mf-hf' : 'vhf',
    symbols,
    ...(own && { own }),
    ...(centreHz !== undefined && { centreHz }),
  }).filter(
    ({ figure }) =>
      (figure !== 'dots' || (isSure && isOne)) &&
      // The assigned frequency is that centre, and how well the receiver's clock is known belongs to it.
      (figure !== 'centreHz' || !isOnCarrier),
  );
}

/**
 * Holds a call against its limits and what is known of the set.
 *
 * @returns undefined where it was received but could not be measured
 */
export function judgeCall(
  { received, measured }: MeteredCall,
  settings: JudgeSettings,
): JudgedCall | undefined {
  if (!measured) return undefined;
  const figures = withClock(measured.figures, settings.clock, measured.frequencyHz);
  return {
    received,
    measured,
    text: describeCall(received.call),
    figures,
    verdicts: verdictsOn(figures, limitsFor([received], settings, measured.frequencyHz !== undefined)),
    truth: compareWithTruth(received.call, settings.truth ?? {}),
  };
}

/** The calls of each bit rate together; of slices of spectrum, of each frequency. */
export function judgeTogether(calls: readonly JudgedCall[], settings: JudgeSettings): ReportedBand[] {
  const placeOf = ({ measured: { baud, frequencyHz } }: JudgedCall) => `${baud} ${frequencyHz ?? ''}`;
  return [...new Set(calls.map(placeOf))].map((place) => {
    const those = calls.filter((call) => placeOf(call) === place);
    const [{ baud, frequencyHz }] = those.map((call) => call.measured);
    const measured = those.map((call) => call.measured);
    const figures = withClock(pooled(measured), settings.clock, frequencyHz);
    const limits = limitsFor(
      those.map(({ received }) => received),
      settings,
      frequencyHz !== undefined,
    );
    const ratio = ({ figures: own }: MeasuredCall) => own.snrDb?.value ?? -Infinity;
    const { lines, detail } = measured.reduce((best, call) => (ratio(call) > ratio(best) ? call : best));
    return {
      baud,
      ...(frequencyHz !== undefined && { frequencyHz }),
      texts: [...new Set(those.map(({ text }) => text))],
      calls: those.length,
      unsteadyCalls: measured.filter(({ isUnsteady }) => isUnsteady).length,
      figures,
      verdicts: verdictsOn(figures, limits),
      lines,
      detail,
    };
  });
}

const NO_SPECTRUM = { stepHz: 1, density: new Float64Array(0), pieces: 0 };
const NO_DETAIL: MeasuredDetail = {
  phase: [],
  level: [],
  spectrum: NO_SPECTRUM,
  noise: NO_SPECTRUM,
  eye: [],
};

/** Adds a call to others; only the strongest of each bit rate and frequency keeps what drawings are made of, so that hours of calls stay small. */
export function addJudged<Call extends JudgedCall>(calls: readonly Call[], call: Call): Call[] {
  const ratio = ({ figures }: JudgedCall) => figures.snrDb?.value ?? -Infinity;
  const bare = (one: Call): Call => ({
    ...one,
    measured: { ...one.measured, detail: NO_DETAIL },
  });
  const strongest = calls.find(
    ({ measured }) =>
      measured.baud === call.measured.baud &&
      measured.frequencyHz === call.measured.frequencyHz &&
      measured.detail !== NO_DETAIL,
  );
  if (!strongest) return [...calls, call];
  if (ratio(strongest) >= ratio(call)) return [...calls, bare(call)];
  return [...calls.map((one) => (one === strongest ? bare(one) : one)), call];
}
