/**
 * Measured calls as lines of JSON and as lines for people.
 */
import {
  FIGURES,
  FIGURE_WORDS,
  VERDICT_WORDS,
  figureText,
  limitsText,
  remarksOn,
  type Figures,
  type FigureVerdict,
  type JudgedCall,
  type SpectralLine,
} from '../../measure/index.js';
import { formatFrequency } from '../../frequencies/index.js';
import { clock, trustOf } from '../report.js';
import { pad, wrap, type Screen } from '../terminal.js';

/** A call of a recording that was measured, with what was made of it. */
export interface JudgedMeasurement extends JudgedCall {
  readonly file: string;
  /** When it began, ISO 8601, of a call that was heard live. */
  readonly time?: string;
}

const verdictJson = ({ figure, verdict, lowest, highest, source, certainty }: FigureVerdict) => ({
  figure,
  verdict,
  lowest,
  highest,
  source,
  certainty,
});

/** A measured call as one JSON object without a line break. */
export function measuredLine({ file, time, received, measured, text, ...own }: JudgedMeasurement): string {
  const { figures, verdicts, truth } = own;
  return JSON.stringify({
    file,
    time,
    start: measured.start,
    end: measured.end,
    baud: measured.baud,
    frequencyHz: measured.frequencyHz,
    inverted: measured.inverted,
    quality: received.quality,
    symbols: received.symbols,
    call: received.call,
    text,
    ...figures,
    lines: measured.lines,
    sequence: measured.sequence,
    isPhaseBroken: measured.isPhaseBroken,
    isUnsteady: measured.isUnsteady,
    isNoiseFromSilence: measured.isNoiseFromSilence,
    truth,
    verdicts: verdicts.map(verdictJson),
  });
}

/** Figures of several calls as one JSON object without a line break. */
export const pooledLine = (
  about: {
    readonly pooledCalls: number;
    readonly unsteadyCalls: number;
    readonly baud: number;
    readonly frequencyHz: number | undefined;
  },
  figures: Figures,
  verdicts: readonly FigureVerdict[],
): string => JSON.stringify({ ...about, ...figures, verdicts: verdicts.map(verdictJson) });

const NAME_COLUMNS = Math.max(...FIGURES.map((figure) => FIGURE_WORDS[figure].name.length)) + 2;
const VALUE_COLUMNS = 32;

const COLOUR = { within: 'green', outside: 'red', cannotTell: 'yellow' } as const;

/** A table of figures for people: name, value, verdict and limits. */
export function figureLines(
  figures: Figures,
  verdicts: readonly FigureVerdict[],
  { colours }: Screen,
): string[] {
  return FIGURES.flatMap((name) => {
    const figure = figures[name];
    if (!figure) return [];
    const { name: words, unit } = FIGURE_WORDS[name];
    const found = verdicts.find((verdict) => verdict.figure === name);
    const verdict = found
      ? `${colours[COLOUR[found.verdict]](VERDICT_WORDS[found.verdict])} (${limitsText(found.lowest, found.highest)})`
      : '';
    return [
      `    ${pad(words, NAME_COLUMNS)}${pad(figureText(figure, unit), VALUE_COLUMNS)}${verdict}`.trimEnd(),
    ];
  });
}

const lineText = ({ frequencyHz, levelDb, isHum }: SpectralLine) =>
  `${isHum ? 'hum' : 'a steady tone'} at ${figureText(frequencyHz, 'Hz')}, ${figureText(levelDb, 'dB')} against the call`;

const TRUTH_WORDS = { fits: 'fits', differs: 'DIFFERS', notSent: 'was not sent' } as const;

/** A measured call for people. */
export function measuredBlock(judged: JudgedMeasurement, screen: Screen): string {
  const { received, measured, text, figures, verdicts, truth } = judged;
  const { colours, width } = screen;
  const { time } = judged;
  const when = time === undefined ? clock(measured.start) : `${time.slice(11, 19)} UTC`;
  const head = `  ${when}  `;
  const indent = ' '.repeat(head.length);
  const on = measured.frequencyHz === undefined ? '' : `${formatFrequency(measured.frequencyHz)}: `;
  const { odd } = measured.sequence;
  const notes = [
    ...(received.quality === 'doubtful' ? [trustOf(received)] : []),
    ...odd.map(
      ({ position, character, expected, sent }) =>
        `${position} ${character === undefined ? 'phasing' : `character ${character + 1}`} is ${sent ?? 'no character'} instead of ${expected}`,
    ),
    ...measured.lines.map(lineText),
    ...remarksOn(measured),
    ...Object.entries(truth).map(([part, comparison]) => `${part}: ${TRUTH_WORDS[comparison]}`),
  ];
  return [
    ...wrap(on + text, width, indent, colours.bold(head)),
    ...figureLines(figures, verdicts, screen),
    ...notes.flatMap((note) => wrap(note, width, '    ', '    ')),
  ].join('\n');
}
