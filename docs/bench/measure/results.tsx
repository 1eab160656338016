/**
 * Figures with their uncertainties and verdicts, and the drawings.
 */
import {
  FIGURES,
  FIGURE_WORDS,
  VERDICT_WORDS,
  bandDrawings,
  compareFigures,
  figureText,
  limitsText,
  type EarlierReport,
  type FigureName,
  type Figures,
  type FigureVerdict,
  type ReportedBand,
  type SentSequence,
  type SpectralLine,
  type TruthComparison,
  type Verdict,
} from 'dotphase/measure';
import { formatFrequency } from 'dotphase/frequencies';

const verdictNames = (verdicts: readonly FigureVerdict[], wanted: Verdict) => [
  ...new Set(
    verdicts.filter(({ verdict }) => verdict === wanted).map(({ figure }) => FIGURE_WORDS[figure].name),
  ),
];

/** The result in a sentence or two. */
export function Result({ verdicts }: { verdicts: readonly FigureVerdict[] }) {
  const outside = verdictNames(verdicts, 'outside');
  const untold = verdictNames(verdicts, 'cannotTell');
  return (
    <div class="measured-result" role="status">
      <p class={outside.length > 0 ? 'outside' : 'within'}>
        {outside.length > 0
          ? `Outside the limits: ${outside.join(', ')}.`
          : 'Nothing measured lies outside its limits.'}
      </p>
      {untold.length > 0 && <p>The measurement can’t tell: {untold.join(', ')}.</p>}
    </div>
  );
}

/** The table of figures. */
export function FigureTable({
  caption,
  figures,
  verdicts,
  earlier,
}: {
  caption: string;
  figures: Figures;
  verdicts: readonly FigureVerdict[];
  earlier?: Figures | undefined;
}) {
  const changes = earlier && compareFigures(earlier, figures);
  const sayChange = (name: FigureName) => {
    const change = changes?.[name];
    if (!change) return '';
    return change.isChanged ? figureText(change.change) : 'none seen';
  };
  return (
    <table class="figures">
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Figure</th>
          <th scope="col">Value ± standard uncertainty</th>
          {changes && <th scope="col">Change</th>}
          <th scope="col">Verdict</th>
          <th scope="col">Limits</th>
          <th scope="col">Where they come from</th>
        </tr>
      </thead>
      <tbody>
        {FIGURES.map((name) => {
          const figure = figures[name];
          if (!figure) return null;
          const { name: words, unit } = FIGURE_WORDS[name];
          const verdict = verdicts.find((one) => one.figure === name);
          return (
            <tr key={name}>
              <th scope="row">{words}</th>
              <td class="value">{figureText(figure, unit)}</td>
              {changes && <td>{sayChange(name)}</td>}
              <td class={`verdict ${verdict?.verdict ?? ''}`}>{verdict && VERDICT_WORDS[verdict.verdict]}</td>
              <td class="limits">{verdict && limitsText(verdict.lowest, verdict.highest)}</td>
              <td class="source">{verdict && `${verdict.source} (${verdict.certainty})`}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

const TRUTH_WORDS = { fits: 'fits', differs: 'differs', notSent: 'was not sent' } as const;

/** What is to be said of a call beside its figures. */
export function Notes({
  sequence,
  lines,
  truth,
  remarks = [],
}: {
  sequence?: SentSequence;
  lines: readonly SpectralLine[];
  truth?: TruthComparison;
  /** As `remarksOn` gives them. */
  remarks?: readonly string[];
}) {
  const notes = [
    ...(sequence?.odd ?? []).map(
      ({ position, character, expected, sent }) =>
        `${position} ${character === undefined ? 'phasing' : `character ${character + 1}`} is ${sent ?? 'no character'} instead of ${expected}.`,
    ),
    ...remarks.map((remark) => `${remark[0].toUpperCase()}${remark.slice(1)}.`),
    ...Object.entries(truth ?? {}).map(([part, comparison]) => `The ${part} ${TRUTH_WORDS[comparison]}.`),
    ...lines.map(
      ({ frequencyHz, levelDb, isHum }) =>
        `${isHum ? 'Hum' : 'A steady tone'} at ${figureText(frequencyHz, 'Hz')}, ${figureText(levelDb, 'dB')} against the call.`,
    ),
  ];
  if (notes.length === 0) return null;
  return (
    <ul class="measured-notes">
      {notes.map((note) => (
        <li key={note}>{note}</li>
      ))}
    </ul>
  );
}

/** The drawings of a band; of them all the strongest call. */
export function Drawings({ band }: { band: ReportedBand }) {
  return (
    <div class="charts">
      {bandDrawings(band).map((svg, i) => (
        // Our own drawing; its words are escaped.
        <figure key={i} dangerouslySetInnerHTML={{ __html: svg }} />
      ))}
    </div>
  );
}

/** The figures of the same bit rate in an earlier report. */
export const earlierFigures = (before: EarlierReport | undefined, place: Place): Figures | undefined =>
  before?.bands.find((band) => isOfBand(place, band))?.figures;

/** The bit rate of a call, and in a slice of spectrum the frequency. */
interface Place {
  readonly baud: number;
  readonly frequencyHz?: number | undefined;
}

/** Whether a call is of those put together. */
export const isOfBand = (call: Place, band: Place) =>
  call.baud === band.baud && call.frequencyHz === band.frequencyHz;

export const sayFrequency = ({ frequencyHz }: Place) =>
  frequencyHz === undefined ? '' : ` on ${formatFrequency(frequencyHz)}`;
