/**
 * Sendings of one call after another: gaps, and whether they are equal; and figures of several calls as one.
 */
import { exactly, weightedMean, type Figure } from './figure.js';
import { FIGURES, type FigureName, type Figures, type MeasuredCall } from './measurecall.js';

/** Calls of the same characters that begin within this many seconds of the end of the one before are sendings of one attempt: common practice, no source. */
const LONGEST_GAP = 5;

const spelled = ({ sequence }: MeasuredCall) => [...sequence.dx, '', ...sequence.rx].join(' ');

/**
 * Which calls are sendings of one attempt: the index of each, group by group.
 *
 * @param calls - in the order of their times
 */
function groupSendings(calls: readonly MeasuredCall[]): number[][] {
  const groups: number[][] = [];
  calls.forEach((call, i) => {
    const before = i > 0 ? calls[i - 1] : undefined;
    const follows =
      before?.baud === call.baud &&
      before.symbols.join() === call.symbols.join() &&
      call.start - before.end < LONGEST_GAP;
    if (follows) groups[groups.length - 1].push(i);
    else groups.push([i]);
  });
  return groups;
}

/** Adds to each sending but the first of its group the gap before it, `gapMs`, and whether it differs, `sendingsUnequal`. */
export function withGaps(calls: readonly MeasuredCall[]): MeasuredCall[] {
  const before = new Map(groupSendings(calls).flatMap((members) => members.slice(1).map((i) => [i, i - 1])));
  return calls.map((call, i) => {
    const previous = before.get(i);
    if (previous === undefined) return call;
    const differs = spelled(call) !== spelled(calls[previous]);
    const sendingsUnequal = exactly(differs ? 1 : 0);
    // Where dots and timing can't be told, nor can the gap.
    if (call.isUnsteady || calls[previous].isUnsteady)
      return { ...call, figures: { ...call.figures, sendingsUnequal } };
    const dotsDoubt = (call.figures.dots?.uncertainty ?? 0) / call.baud;
    const gapMs: Figure = {
      value: 1000 * (call.start - calls[previous].end),
      uncertainty: 1000 * Math.hypot(call.timeUncertainty, calls[previous].timeUncertainty, dotsDoubt),
    };
    return { ...call, figures: { ...call.figures, gapMs, sendingsUnequal } };
  });
}

/** Figures of which the worst call counts, not the mean. */
const WORST: readonly FigureName[] = [
  'phaseStepDegrees',
  'oddCharacters',
  'unequalCharacters',
  'errorChecksWrong',
  'sendingsUnequal',
];

/**
 * Figures of several calls as one: means weighing by the inverse variance, more uncertain where the calls differ by
 * more than their uncertainties tell; of what must never happen, the worst. For figures by the clock of the audio, before `withClock`: what all calls share
 * does not average out.
 */
export function pooled(calls: readonly MeasuredCall[]): Figures {
  const result: Partial<Record<FigureName, Figure>> = {};
  for (const name of FIGURES) {
    const figures = calls.flatMap(({ figures: own }) => own[name] ?? []);
    if (figures.length === 0) continue;
    result[name] = WORST.includes(name)
      ? figures.reduce((worst, figure) => (figure.value > worst.value ? figure : worst))
      : weightedMean(figures);
  }
  return result;
}
