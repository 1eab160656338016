/**
 * What a ladder came to, in sentences.
 */
import type { LadderEstimate } from '../ladder.js';
import { STEP_WORDS } from '../rungs.js';
import { figureText } from '../texts.js';
import { COVERAGE_FACTOR } from '../verdict.js';
import type { ReportedLadder } from './report.js';

const RECEIVER_WORDS = {
  textbook: 'The textbook receiver (hard bits, all else known)',
  dotphase: 'The receiver of dotphase',
} as const;

/** What the calls went through, beside what was stepped. */
function throughWords({ air: { snrDb, fading, step, band } }: ReportedLadder): string {
  const parts = [
    band === 'vhf' ? 'VHF, 1200 Bd' : 'MF/HF, 100 Bd',
    ...(fading === undefined ? [] : [`fading of ITU-R F.1487, ${fading.replaceAll('-', ' ')}`]),
    ...(snrDb === undefined || step === 'ratio' ? [] : [`noise at ${snrDb} dB in 3 kHz`]),
  ];
  return parts.join(', ');
}

/** The result of a ladder, and how receivers do on the same. */
export function ladderTexts(ladder: ReportedLadder): string[] {
  const { air, trials, estimate, beside } = ladder;
  const { name, unit } = STEP_WORDS[air.step];
  const say = ({ half, nineTenths }: LadderEstimate) =>
    `one half at ${figureText(half, unit)}, nine tenths at ${figureText(nineTenths, unit)}`;
  const compared = ([label, own]: readonly [keyof typeof RECEIVER_WORDS, LadderEstimate]) => {
    const who = RECEIVER_WORDS[label];
    if (!own.isInRange) return `${who}: one half lies beyond what was tried.`;
    if (!estimate.isInRange) return `${who}: ${say(own)}.`;
    const change = estimate.half.value - own.half.value;
    const doubt = Math.hypot(estimate.half.uncertainty, own.half.uncertainty);
    const isEqual = Math.abs(change) < COVERAGE_FACTOR * doubt;
    // Of what is an error, whoever bears more is better; of ratio and level whoever needs less.
    const isError = air.step === 'offset' || air.step === 'rate';
    const isBetter = isError
      ? Math.abs(estimate.half.value) > Math.abs(own.half.value)
      : estimate.half.value < own.half.value;
    const by = figureText({ value: Math.abs(change), uncertainty: doubt }, unit);
    const than = isEqual
      ? 'no difference to this set is seen'
      : `this set is ${isBetter ? 'better' : 'worse'} by ${by}`;
    return `${who}: ${say(own)}; ${than}.`;
  };
  return [
    `By ${name} (${throughWords(ladder)}), of ${trials.length} calls this set acknowledged ${estimate.isInRange ? say(estimate) : 'too few or too many to tell: one half lies at or beyond the end of what was tried'}.`,
    ...(beside ? (['textbook', 'dotphase'] as const).map((label) => compared([label, beside[label]])) : []),
  ];
}
