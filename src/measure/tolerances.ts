/**
 * What the standard and practice allow, as data. Each line says where it comes from and how sure that is.
 */
import { dotPatternLength } from '../frames/index.js';
import { MODULATIONS } from '../modem/index.js';
import type { Band } from '../symbols/index.js';
import { DotphaseError } from '../errors.js';
import { FIGURES, type FigureName } from './measurecall.js';

/** How well a limit is known. */
export type LimitCertainty = 'established' | 'likely' | 'uncertain' | 'user';

/** What a figure may be. */
export interface Tolerance {
  readonly figure: FigureName;
  /** Smallest value allowed, or what the exact one is counted from; undefined: none. */
  readonly lowest: number | undefined;
  readonly highest: number | undefined;
  /** Recommendation and section, with "from memory" where it is. */
  readonly source: string;
  readonly certainty: LimitCertainty;
}

/** What limits hang on. */
export interface ToleranceOptions {
  readonly band: Band;
  /** The call's characters, which its dot pattern hangs on. */
  readonly symbols: readonly number[];
  /** Where the centre of the tones ought to lie; default 1700 Hz. */
  readonly centreHz?: number;
  /** Limits of the user, in place of those here; null takes one away. */
  readonly own?: OwnLimits;
}

/** Limits of the user, by the names of figures: smallest and highest value, either null where there is none. */
export type OwnLimits = Readonly<Partial<Record<FigureName, readonly [number | null, number | null] | null>>>;

interface Row {
  readonly figure: FigureName;
  readonly bands: readonly Band[];
  /** Around which value. */
  readonly about: number | 'centre' | 'B' | 'Y' | 'shift' | 'dots';
  /** How far below and above; Infinity: no limit. */
  readonly below: number;
  readonly above: number;
  readonly source: string;
  readonly certainty: Exclude<LimitCertainty, 'user'>;
}

const BOTH = ['mf-hf', 'vhf'] as const;
const MF_HF = ['mf-hf'] as const;
const VHF = ['vhf'] as const;

/** The table of tolerances. */
const ROWS: readonly Row[] = [
  {
    figure: 'rateErrorPpm',
    bands: BOTH,
    about: 0,
    below: 30,
    above: 30,
    source: 'M.493 Annex 1 §1.3, from memory',
    certainty: 'established',
  },
  {
    figure: 'centreHz',
    bands: MF_HF,
    about: 'centre',
    below: 10,
    above: 10,
    source: 'M.493 Annex 1 §1.3 and RR Appendix 2, from memory',
    certainty: 'established',
  },
  {
    figure: 'shiftHz',
    bands: MF_HF,
    about: 'shift',
    below: 1,
    above: 1,
    source: '170 Hz: M.493 Annex 1 §1.3, from memory; ±1 Hz: common practice, no source',
    certainty: 'uncertain',
  },
  {
    figure: 'toneBHz',
    bands: VHF,
    about: 'B',
    below: 10,
    above: 10,
    source: 'M.493 Annex 1 §1.3, from memory',
    certainty: 'established',
  },
  {
    figure: 'toneYHz',
    bands: VHF,
    about: 'Y',
    below: 10,
    above: 10,
    source: 'M.493 Annex 1 §1.3, from memory',
    certainty: 'established',
  },
  {
    figure: 'levelDifferenceDb',
    bands: MF_HF,
    about: 0,
    below: 2,
    above: 2,
    source: 'common practice, no source',
    certainty: 'uncertain',
  },
  {
    figure: 'phaseStepDegrees',
    bands: BOTH,
    about: 0,
    below: Infinity,
    above: 20,
    source: 'continuous phase: M.493 Annex 1 §1.3 (F1B, J2B), from memory; 20°: common practice, no source',
    certainty: 'uncertain',
  },
  {
    figure: 'dots',
    bands: BOTH,
    about: 'dots',
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §3.4, from memory; editions differ for calls to ships',
    certainty: 'likely',
  },
  {
    figure: 'phasingDx',
    bands: BOTH,
    about: 6,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §3.2, from memory',
    certainty: 'established',
  },
  {
    figure: 'phasingRx',
    bands: BOTH,
    about: 8,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §3.2, from memory',
    certainty: 'established',
  },
  {
    figure: 'charactersBetween',
    bands: BOTH,
    about: 4,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §1.2, from memory',
    certainty: 'established',
  },
  {
    figure: 'oddCharacters',
    bands: BOTH,
    about: 0,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §1.2, from memory',
    certainty: 'established',
  },
  {
    figure: 'unequalCharacters',
    bands: BOTH,
    about: 0,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §1.2, from memory',
    certainty: 'established',
  },
  {
    figure: 'errorChecksWrong',
    bands: BOTH,
    about: 0,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §10, from memory',
    certainty: 'established',
  },
  {
    figure: 'endsDx',
    bands: BOTH,
    about: 3,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §9, from memory',
    certainty: 'established',
  },
  {
    figure: 'endsRx',
    bands: BOTH,
    about: 1,
    below: 0,
    above: 0,
    source: 'M.493 Annex 1 §9, from memory',
    certainty: 'established',
  },
  {
    figure: 'gapMs',
    bands: BOTH,
    about: 0,
    below: 10,
    above: 10,
    source:
      'no gap between the calls of an attempt: M.541 Annex 1, from memory; ±10 ms: common practice, no source',
    certainty: 'likely',
  },
  {
    figure: 'sendingsUnequal',
    bands: BOTH,
    about: 0,
    below: 0,
    above: 0,
    source: 'M.541 Annex 1, from memory',
    certainty: 'likely',
  },
  {
    figure: 'peakDeviationHz',
    bands: VHF,
    about: 0,
    below: Infinity,
    above: 5000,
    source: '±5 kHz: ITU-R M.489 §1, from memory',
    certainty: 'likely',
  },
  {
    figure: 'modulationIndexB',
    bands: VHF,
    about: 2,
    below: 0.2,
    above: 0.2,
    source: 'M.493 Annex 1 §1.3, from memory',
    certainty: 'established',
  },
  {
    figure: 'modulationIndexY',
    bands: VHF,
    about: 2,
    below: 0.2,
    above: 0.2,
    source: 'M.493 Annex 1 §1.3, from memory',
    certainty: 'established',
  },
  {
    figure: 'preEmphasisDb',
    bands: VHF,
    about: 6,
    below: 1,
    above: 1,
    source: '6 dB an octave: M.493 Annex 1 §1.3, from memory; ±1 dB: common practice, no source',
    certainty: 'uncertain',
  },
  {
    figure: 'carrierErrorHz',
    bands: VHF,
    about: 0,
    below: 1565,
    above: 1565,
    source: '10 ppm of 156.525 MHz: RR Appendix 2, from memory',
    certainty: 'likely',
  },
  {
    figure: 'assignedErrorHz',
    bands: MF_HF,
    about: 0,
    below: 10,
    above: 10,
    source: 'M.493 Annex 1 §1.3 and RR Appendix 2, from memory',
    certainty: 'established',
  },
];

/** The limits that hold for a call. */
export function tolerancesFor(options: ToleranceOptions): Tolerance[] {
  const { band, symbols, own = {} } = options;
  const { shiftHz } = MODULATIONS[band];
  const centre = options.centreHz ?? MODULATIONS[band].centreHz;
  const abouts = {
    centre,
    B: centre + shiftHz / 2,
    Y: centre - shiftHz / 2,
    shift: shiftHz,
    dots: dotPatternLength(symbols, band),
  };
  return FIGURES.flatMap((figure): Tolerance[] => {
    const limits = own[figure];
    if (limits === null) return [];
    if (limits !== undefined) {
      const [lowest, highest] = limits.map((limit) => limit ?? undefined);
      return [{ figure, lowest, highest, source: 'set by the user', certainty: 'user' }];
    }
    return ROWS.filter((row) => row.figure === figure && row.bands.includes(band)).map((row) => {
      const about = typeof row.about === 'number' ? row.about : abouts[row.about];
      const { source, certainty } = row;
      const limit = (value: number) => (Number.isFinite(value) ? value : undefined);
      return {
        figure,
        lowest: limit(about - row.below),
        highest: limit(about + row.above),
        source,
        certainty,
      };
    });
  });
}

/**
 * Checks limits that come from outside, as JSON data: `{ "levelDifferenceDb": [-1, 1], "droopDb": [null, 0.5],
 * "dots": null }`.
 *
 * @throws DotphaseError that names the entry that is wrong
 */
export function readOwnLimits(data: unknown): OwnLimits {
  const shape = 'an object with the names of figures, each with [smallest, highest] or null';
  if (typeof data !== 'object' || data === null || Array.isArray(data))
    throw new DotphaseError('limits', data, shape);
  for (const [name, limits] of Object.entries(data as Record<string, unknown>)) {
    const field = `limits.${name}`;
    if (!FIGURES.some((figure) => figure === name))
      throw new DotphaseError(field, limits, `one of ${FIGURES.join(', ')}`);
    if (limits === null) continue;
    const isLimit = (value: unknown) =>
      value === null || (typeof value === 'number' && Number.isFinite(value));
    if (!Array.isArray(limits) || limits.length !== 2 || !limits.every(isLimit))
      throw new DotphaseError(
        field,
        limits,
        'two numbers [smallest, highest], either null where there is no limit, or null',
      );
    const [lowest, highest] = limits as [number | null, number | null];
    if (lowest !== null && highest !== null && lowest > highest)
      throw new DotphaseError(field, limits, 'the smaller number first');
  }
  return data;
}
