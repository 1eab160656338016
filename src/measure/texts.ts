/**
 * Figures in words, for people.
 */
import type { Figure } from './figure.js';
import type { FigureName } from './measurecall.js';
import type { Verdict } from './verdict.js';

/** What a figure is called and its unit; no unit for counts. */
export interface FigureWords {
  readonly name: string;
  readonly unit: string;
}

/** The words of each figure. */
export const FIGURE_WORDS: Readonly<Record<FigureName, FigureWords>> = {
  centreHz: { name: 'centre of the tones', unit: 'Hz' },
  shiftHz: { name: 'shift', unit: 'Hz' },
  toneBHz: { name: 'tone of B', unit: 'Hz' },
  toneYHz: { name: 'tone of Y', unit: 'Hz' },
  driftHzPerSecond: { name: 'drift of the centre', unit: 'Hz a second' },
  rateErrorPpm: { name: 'symbol rate error', unit: 'ppm' },
  levelDifferenceDb: { name: 'level of B over Y', unit: 'dB' },
  levelDb: { name: 'level', unit: 'dB full scale' },
  droopDb: { name: 'droop over the call', unit: 'dB' },
  levelUnrestDb: { name: 'unrest of the level, rms', unit: 'dB' },
  phaseStepDegrees: { name: 'largest step of phase', unit: '°' },
  phaseStepRmsDegrees: { name: 'steps of phase, rms', unit: '°' },
  riseMs: { name: 'rise at the start', unit: 'ms' },
  fallMs: { name: 'fall at the end', unit: 'ms' },
  occupiedHz: { name: 'occupied bandwidth, 99 %', unit: 'Hz' },
  beyond500Share: { name: 'share beyond ±500 Hz', unit: '' },
  snrDb: { name: 'signal-to-noise ratio in 3 kHz', unit: 'dB' },
  noiseFloorDb: { name: 'noise floor in 3 kHz', unit: 'dB full scale' },
  dots: { name: 'dots', unit: '' },
  phasingDx: { name: 'phasing characters in DX', unit: '' },
  phasingRx: { name: 'phasing characters in RX', unit: '' },
  charactersBetween: { name: 'characters between DX and RX', unit: '' },
  oddCharacters: { name: 'wrong characters', unit: '' },
  unequalCharacters: { name: 'characters unequal in DX and RX', unit: '' },
  errorChecksWrong: { name: 'error checks that are wrong', unit: '' },
  endsDx: { name: 'ends of sequence in DX', unit: '' },
  endsRx: { name: 'ends of sequence in RX', unit: '' },
  gapMs: { name: 'gap before the sending', unit: 'ms' },
  sendingsUnequal: { name: 'sendings unlike the one before', unit: '' },
  peakDeviationHz: { name: 'peak deviation', unit: 'Hz' },
  modulationIndexB: { name: 'modulation index of B', unit: '' },
  modulationIndexY: { name: 'modulation index of Y', unit: '' },
  preEmphasisDb: { name: 'pre-emphasis', unit: 'dB an octave' },
  carrierErrorHz: { name: 'error of the carrier', unit: 'Hz' },
  assignedErrorHz: { name: 'error of the assigned frequency', unit: 'Hz' },
};

/** What makes figures of a call be left out, for people: parts of sentences, without a capital and a full stop. */
export function remarksOn({
  isPhaseBroken,
  isUnsteady,
}: {
  readonly isPhaseBroken: boolean;
  readonly isUnsteady: boolean;
}): string[] {
  if (isUnsteady) return [`its level moves more than a set’s does, ${UNSTEADY}`];
  if (isPhaseBroken) return ['the phase begins anew at nearly every transition: the rate can’t be measured'];
  return [];
}

const UNSTEADY =
  'as over a path that fades or through a gain that moves: tones, timing, droop and dots are left out. On a cable or a dummy load they can be measured';

/** What calls whose level moves do not tell, for a report to say; none where all are steady. */
export const unsteadyText = (calls: number): string[] =>
  calls === 0
    ? []
    : [
        `${calls} ${calls === 1 ? 'call, whose' : 'calls, whose'} level moves more than a set’s does, ${UNSTEADY}`,
      ];

/** Verdicts in words. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  within: 'within',
  outside: 'OUTSIDE',
  cannotTell: 'can’t tell',
};

/** What no audio tells, for a report to say. */
export const NOT_MEASURED: readonly string[] = [
  'radio frequency and its tolerance, power, spurious emissions: they need instruments at the antenna connector',
  'on VHF peak deviation, modulation index, carrier error, pre-emphasis: they need the carrier (I/Q), not audio',
  'what the receiver or pick-up between the set and the sound card adds: level, hum and a shift of all frequencies are measured together with the set',
];

/** What no slice of spectrum tells. */
export const NOT_MEASURED_ON_CARRIER: readonly string[] = [
  'power, spurious emissions: they need instruments at the antenna connector',
  'what the receiver and the pick-up between add: its clock moves all frequencies, its filters the levels',
];

/** Most decimals written. */
const MOST_DECIMALS = 6;

/** Decimals that show two digits of an uncertainty. */
function decimalsOf(uncertainty: number): number {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return uncertainty === 0 ? 0 : 2;
  return Math.max(0, Math.min(MOST_DECIMALS, 1 - Math.floor(Math.log10(uncertainty))));
}

/** A number with a proper minus, and none before a zero. */
function numberText(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** A figure for people: `1700.003 ± 0.012 Hz`, a count without doubt as it is. */
export function figureText({ value, uncertainty }: Figure, unit = ''): string {
  const isWhole = uncertainty === 0 && Number.isInteger(value);
  const decimals = isWhole ? 0 : decimalsOf(uncertainty);
  const doubt = isWhole ? '' : ` ± ${numberText(uncertainty, decimals)}`;
  return `${numberText(value, decimals)}${doubt}${unit === '' ? '' : unit === '°' ? unit : ` ${unit}`}`;
}

const limitText = (limit: number) => String(Number(limit.toFixed(4))).replace('-', '−');

/** Limits for people: `1690 to 1710`, `at most 20`, or one value where both are the same. */
export function limitsText(lowest: number | undefined, highest: number | undefined): string {
  if (lowest === undefined && highest === undefined) return 'no limit';
  if (lowest === undefined) return `at most ${limitText(highest ?? NaN)}`;
  if (highest === undefined) return `at least ${limitText(lowest)}`;
  return lowest === highest ? limitText(lowest) : `${limitText(lowest)} to ${limitText(highest)}`;
}
