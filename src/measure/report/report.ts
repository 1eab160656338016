/**
 * What was measured, as a report that can be kept: JSON, and read back to compare with another.
 */
import { DotphaseError } from '../../errors.js';
import type { Figure } from '../figure.js';
import type { LadderEstimate, LadderTrial } from '../ladder.js';
import type { Beside, LadderAir } from '../rungs.js';
import { FIGURES, type FigureName, type Figures, type MeasuredDetail } from '../measurecall.js';
import type { SpectralLine } from '../spectrum.js';
import { NOT_MEASURED, NOT_MEASURED_ON_CARRIER, unsteadyText } from '../texts.js';
import { COVERAGE_FACTOR, type FigureVerdict } from '../verdict.js';

/** Who measured what, on what, when. */
export interface ReportOrigin {
  /** The set: its make, number, place, as people call it. */
  readonly set: string;
  /** Who measured. */
  readonly by: string;
  /** What it was measured with: cable or dummy load, pick-up, sound card, recordings. */
  readonly setup: string;
  /** ISO 8601, UTC. */
  readonly when: string;
}

/** The calls of one bit rate together; of slices of spectrum, of one frequency. */
export interface ReportedBand {
  readonly baud: number;
  /** The channel's assigned frequency, hertz, in a slice of spectrum. */
  readonly frequencyHz?: number;
  /** What was sent, in sentences, each once. */
  readonly texts: readonly string[];
  readonly calls: number;
  /** Of these, calls whose level moves more than a set's does: their tones, timing, droop and dots are left out. */
  readonly unsteadyCalls: number;
  readonly figures: Figures;
  readonly verdicts: readonly FigureVerdict[];
  /** Of the call whose drawings stand for all: the strongest. */
  readonly lines: readonly SpectralLine[];
  readonly detail: MeasuredDetail;
}

/** What the set still answered. */
export interface ReportedLadder {
  /** What the calls went through, and what of it was stepped. */
  readonly air: LadderAir;
  readonly trials: readonly LadderTrial[];
  readonly estimate: LadderEstimate;
  /** What receivers come to on the same ladder. */
  readonly beside?: Beside;
}

/** A report. */
export interface MeasurementReport extends ReportOrigin {
  readonly format: typeof REPORT_FORMAT;
  readonly version: 1;
  readonly clock: Figure;
  /** How the clock of the sound card is known. */
  readonly clockSource: string;
  readonly bands: readonly ReportedBand[];
  readonly ladder?: ReportedLadder;
  readonly notMeasured: readonly string[];
  readonly cautions: readonly string[];
}

/** What tells a report from other JSON. */
export const REPORT_FORMAT = 'dotphase measurement report';

const CAUTIONS: readonly string[] = [
  'Never feed distress, urgency or safety audio to a transmitter on the air: use a dummy load or a cable.',
  'If a false alert goes out, cancel it by the published procedure.',
  'A decoded distress alert is not a watch.',
  'These figures are no type approval. Follow your administration’s rules and licensed practice.',
];

/** What the bands' audio or slices do not tell. */
const notMeasuredOf = (bands: readonly ReportedBand[]): readonly string[] =>
  bands.every(({ frequencyHz }) => frequencyHz !== undefined) ? NOT_MEASURED_ON_CARRIER : NOT_MEASURED;

/** Makes a report of what was measured. */
export function createReport(
  parts: Pick<MeasurementReport, 'clock' | 'clockSource' | 'bands' | 'ladder'> & ReportOrigin,
): MeasurementReport {
  return {
    format: REPORT_FORMAT,
    version: 1,
    ...parts,
    notMeasured: [
      ...unsteadyText(parts.bands.reduce((sum, { unsteadyCalls }) => sum + unsteadyCalls, 0)),
      ...notMeasuredOf(parts.bands),
      ...(parts.ladder ? [] : ['how weak a signal the set still hears']),
    ],
    cautions: CAUTIONS,
  };
}

/** A report as JSON, to be kept and compared with later. */
export function reportJson(report: MeasurementReport): string {
  // Typed arrays are lists of numbers.
  const plain = (_: string, value: unknown) => (value instanceof Float64Array ? Array.from(value) : value);
  return `${JSON.stringify(report, plain)}\n`;
}

function isFigure(value: unknown): value is Figure {
  if (typeof value !== 'object' || value === null) return false;
  const { value: number, uncertainty } = value as Record<string, unknown>;
  return typeof number === 'number' && typeof uncertainty === 'number';
}

/** What a comparison needs of an earlier report. */
export interface EarlierReport {
  readonly set: string;
  readonly when: string;
  readonly bands: readonly {
    readonly baud: number;
    readonly frequencyHz: number | undefined;
    readonly figures: Figures;
  }[];
}

/**
 * Reads a report in JSON, to compare with.
 *
 * @throws DotphaseError where it is none
 */
export function readReport(data: unknown): EarlierReport {
  const record = (typeof data === 'object' && data !== null ? data : {}) as Record<string, unknown>;
  if (record.format !== REPORT_FORMAT || record.version !== 1 || !Array.isArray(record.bands))
    throw new DotphaseError('report', data, 'a report in JSON, as measure --report name.json writes it');
  const bands = (record.bands as unknown[]).map((one, i) => {
    const band = (typeof one === 'object' && one !== null ? one : {}) as Record<string, unknown>;
    const given = (typeof band.figures === 'object' && band.figures !== null ? band.figures : {}) as Record<
      string,
      unknown
    >;
    if (typeof band.baud !== 'number')
      throw new DotphaseError(`report.bands[${i}].baud`, band.baud, 'a bit rate');
    const figures: Partial<Record<FigureName, Figure>> = {};
    for (const name of FIGURES) {
      const figure = given[name];
      // JSON has no infinity: null stands for an uncertainty without bounds, and tells nothing.
      if (isFigure(figure)) figures[name] = figure;
    }
    const frequencyHz = typeof band.frequencyHz === 'number' ? band.frequencyHz : undefined;
    return { baud: band.baud, frequencyHz, figures };
  });
  const text = (value: unknown) => (typeof value === 'string' ? value : '');
  return { set: text(record.set), when: text(record.when), bands };
}

/** A figure before and after. */
export interface FigureChange {
  readonly before: Figure;
  /** After less before. */
  readonly change: Figure;
  /** Whether it changed by more than both uncertainties explain, in 95 % of cases. */
  readonly isChanged: boolean;
}

/** How figures differ from those of an earlier report, by their names. */
export function compareFigures(before: Figures, after: Figures): Partial<Record<FigureName, FigureChange>> {
  const changes: Partial<Record<FigureName, FigureChange>> = {};
  for (const name of FIGURES) {
    const [old, now] = [before[name], after[name]];
    if (!old || !now) continue;
    const change = {
      value: now.value - old.value,
      uncertainty: Math.hypot(now.uncertainty, old.uncertainty),
    };
    const isChanged = Math.abs(change.value) > COVERAGE_FACTOR * change.uncertainty && change.value !== 0;
    changes[name] = { before: old, change, isChanged };
  }
  return changes;
}
