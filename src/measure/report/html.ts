/**
 * A report as a page that prints on two sheets of A4, and loads nothing from elsewhere.
 */
import { escapeMarkup } from '../../data/index.js';
import { FIGURES } from '../measurecall.js';
import { FIGURE_WORDS, VERDICT_WORDS, figureText, limitsText } from '../texts.js';
import { bandDrawings, ladderDrawing } from './drawings.js';
import { ladderTexts } from './ladderwords.js';
import {
  compareFigures,
  type EarlierReport,
  type FigureChange,
  type MeasurementReport,
  type ReportedBand,
} from './report.js';

const STYLE = `
@page { size: A4; margin: 12mm 14mm; }
* { box-sizing: border-box; }
body { font: 9.2pt/1.32 'Liberation Sans', Arial, sans-serif; color: #1b2730; max-width: 182mm; margin: 8mm auto; }
h1 { font-size: 15pt; margin: 0 0 2mm; }
h2 { font-size: 10.5pt; margin: 3.5mm 0 1.2mm; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .4mm 4mm; margin: 0; }
dt { color: #5a6872; } dd { margin: 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; font-size: 8pt; line-height: 1.2; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: .5mm 2mm .5mm 0; border-bottom: .2mm solid #d5dde2; vertical-align: top; }
th { color: #5a6872; font-weight: normal; }
.outside { color: #a61c1c; font-weight: bold; } .within { color: #1e6b3a; } .cannotTell { color: #7a5a00; font-weight: bold; }
.small { font-size: 7.6pt; color: #5a6872; } ul { margin: 0; padding-left: 4.5mm; }
.drawings { display: grid; grid-template-columns: 1fr 1fr; gap: 2mm; }
.second { break-before: page; }
.result { font-size: 11pt; margin: 2mm 0; }
svg { width: 100%; height: auto; }
td:not(:last-child), th { white-space: nowrap; } td .small { font-size: 6.8pt; line-height: 1.1; display: block; }
.dense table { font-size: 7.2pt; } .dense th, .dense td { padding-block: .22mm; } .dense h2 { margin-top: 2mm; } .dense p { margin: 1mm 0; }
.dense .sources { display: none; } .dense .drawings { grid-template-columns: 1fr 1fr 1fr; } .dense .second { font-size: 8.2pt; }
@media print { body { margin: 0; } }
`;

const e = escapeMarkup;

function changeText(change: FigureChange | undefined): string {
  if (!change) return '';
  return change.isChanged ? e(figureText(change.change)) : 'none seen';
}

function row(band: ReportedBand, name: (typeof FIGURES)[number], before: EarlierReport | undefined): string {
  const figure = band.figures[name];
  if (!figure) return '';
  const { name: words, unit } = FIGURE_WORDS[name];
  const verdict = band.verdicts.find((one) => one.figure === name);
  const earlier = before?.bands.find(
    ({ baud, frequencyHz }) => baud === band.baud && frequencyHz === band.frequencyHz,
  )?.figures;
  const change = earlier && compareFigures(earlier, band.figures)[name];
  const cells = [
    e(words),
    e(figureText(figure, unit)),
    ...(before ? [change ? e(figureText(change.before)) : '', changeText(change)] : []),
    verdict ? `<span class="${verdict.verdict}">${e(VERDICT_WORDS[verdict.verdict])}</span>` : '',
    verdict ? e(limitsText(verdict.lowest, verdict.highest)) : '',
    ...(before
      ? []
      : [verdict ? `<span class="small">${e(`${verdict.source} (${verdict.certainty})`)}</span>` : '']),
  ];
  const isSources = (i: number) => !before && i === cells.length - 1;
  return `<tr>${cells.map((cell, i) => `<td${isSources(i) ? ' class="sources"' : ''}>${cell}</td>`).join('')}</tr>`;
}

const SOURCES = 'where they come from';

function table(band: ReportedBand, before: EarlierReport | undefined): string {
  const heads = [
    'figure',
    'value ± standard uncertainty',
    ...(before ? ['before', 'change'] : []),
    'verdict',
    'limits',
    ...(before ? [] : [SOURCES]),
  ];
  const calls = band.calls === 1 ? 'one call' : `${band.calls} calls together`;
  const on = band.frequencyHz === undefined ? '' : `, ${band.frequencyHz / 1000} kHz`;
  const title = `${band.baud === 100 ? 'MF/HF, 100 Bd' : 'VHF, 1200 Bd'}${on}: ${calls}`;
  return [
    `<h2>${title}</h2>`,
    `<p class="small">${band.texts.slice(0, 3).map(e).join(' · ')}${band.texts.length > 3 ? ' · …' : ''}</p>`,
    `<table><tr>${heads.map((head) => `<th${head === SOURCES ? ' class="sources"' : ''}>${head}</th>`).join('')}</tr>`,
    ...FIGURES.map((name) => row(band, name, before)),
    '</table>',
  ].join('\n');
}

/** The result in a sentence. */
function result({ bands }: MeasurementReport): string {
  const verdicts = bands.flatMap((band) => band.verdicts);
  const names = (wanted: string) =>
    [
      ...new Set(
        verdicts.filter(({ verdict }) => verdict === wanted).map(({ figure }) => FIGURE_WORDS[figure].name),
      ),
    ].join(', ');
  const [outside, untold] = [names('outside'), names('cannotTell')];
  const parts = [
    outside === '' ? 'Nothing measured lies outside its limits.' : `Outside the limits: ${outside}.`,
    ...(untold === '' ? [] : [`The measurement can’t tell: ${untold}.`]),
  ];
  return `<p class="result ${outside === '' ? '' : 'outside'}">${e(parts.join(' '))}</p>`;
}

const list = (items: readonly string[]) => `<ul>${items.map((item) => `<li>${e(item)}</li>`).join('')}</ul>`;

/**
 * A report as HTML.
 *
 * @param before - an earlier report of the same set, to compare with
 */
export function reportHtml(report: MeasurementReport, before?: EarlierReport): string {
  const facts = [
    ['set', report.set],
    ['measured by', report.by],
    ['measured with', report.setup],
    ['when', report.when.replace('T', ' ').replace(/(:\d\d)?(\.\d+)?Z$/, ' UTC')],
    ['clock of the sound card', `${figureText(report.clock, 'ppm')} fast, ${report.clockSource}`],
    ...(before ? [['compared with', `${before.set}, ${before.when.slice(0, 10)}`]] : []),
  ];
  const lines = report.bands.flatMap((band) => band.lines);
  const { ladder } = report;
  const heard = ladder && ladderTexts(ladder);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>${e(report.set)}: what was measured</title><style>${STYLE}</style></head><body${report.bands.length > 1 ? ' class="dense"' : ''}>
<h1>${e(report.set)}: what was measured</h1>
<dl>${facts.map(([term, fact]) => `<dt>${e(term)}</dt><dd>${e(fact === '' ? 'not said' : fact)}</dd>`).join('')}</dl>
${result(report)}
${report.bands.map((band) => table(band, before)).join('\n')}
<p class="small">Within: the whole interval of ±1.96 standard uncertainties lies within the limits. Can’t tell: it reaches over one.</p>
<section class="second">
<h2>Drawings</h2>
<div class="drawings">${report.bands.flatMap(bandDrawings).join('\n')}${ladder ? ladderDrawing(ladder) : ''}</div>
${heard ? `<h2>How well it hears</h2>${list(heard)}` : ''}
<h2>Hum and steady tones beside the call</h2>
${lines.length === 0 ? '<p>None found.</p>' : list(lines.slice(0, 6).map(({ frequencyHz, levelDb, isHum }) => `${isHum ? 'hum' : 'tone'} at ${figureText(frequencyHz, 'Hz')}, ${figureText(levelDb, 'dB')} against the call`))}
<h2>Not measured</h2>${list(report.notMeasured)}
<h2>Cautions</h2>${list(report.cautions)}
</section></body></html>
`;
}
