/**
 * The look of the sheets: made for A4 paper, readable on a screen too. No script, no font or picture from elsewhere.
 */

/** The style sheet that both sheets share. */
export const STYLE = `
:root, :host { --ink: #1b2730; --muted: #54626c; --rule: #c5cfd5; --tint: #eef3f5; --accent: #17576e; --warn: #8a3b12; }
@page { size: A4; margin: 15mm 16mm 17mm; @bottom-right { content: counter(page) " / " counter(pages); font: 8.5pt "Liberation Sans", Arial, sans-serif; color: #54626c; } }
* { box-sizing: border-box; }
html, :host { font: 10pt/1.42 "Source Sans 3", "Segoe UI", "Helvetica Neue", "Liberation Sans", Arial, sans-serif; color: var(--ink); background: #fff; }
body, .body { max-width: 178mm; margin: 0 auto; padding: 8mm 0; }
h1 { font-size: 19pt; line-height: 1.15; font-weight: 600; margin: 0 0 1mm; letter-spacing: -.01em; }
h2 { font-size: 13pt; font-weight: 600; margin: 0; color: var(--accent); }
h3, h2.part { font-size: 10.5pt; font-weight: 600; margin: 5mm 0 1.5mm; break-after: avoid; }
h2.part { color: inherit; }
p { margin: 0 0 2mm; }
.kicker { font-size: 9pt; font-weight: 600; text-transform: uppercase; letter-spacing: .09em; color: var(--accent); margin: 0 0 2mm; }
.lead { color: var(--muted); margin-bottom: 4mm; }
.blanks { display: grid; grid-template-columns: 3fr 1.6fr 1.4fr; gap: 6mm; margin: 5mm 0; }
.blanks div { border-bottom: .3mm solid var(--ink); padding-bottom: 1mm; font-size: 8.5pt; color: var(--muted); min-height: 9mm; display: flex; align-items: flex-end; justify-content: space-between; }
.caution { border: .35mm solid var(--warn); border-radius: 1mm; padding: 2.5mm 3.5mm; margin: 4mm 0; font-size: 9pt; line-height: 1.38; break-inside: avoid; }
.caution b { color: var(--warn); }
.caution p:last-child, .box p:last-child { margin: 0; }
.box { background: var(--tint); border-radius: 1mm; padding: 2.5mm 3.5mm; margin: 4mm 0; break-inside: avoid; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.stations { columns: 3; column-gap: 6mm; font-size: 9pt; margin: 0; padding: 0; list-style: none; }
.stations li { display: flex; justify-content: space-between; gap: 3mm; border-bottom: .15mm solid var(--rule); padding: .55mm 0; break-inside: avoid; }
.stations span { font-variant-numeric: tabular-nums; white-space: nowrap; }
.exercise { margin-top: 8mm; border-top: .5mm solid var(--accent); padding-top: 3mm; }
.exercise > header { display: flex; justify-content: space-between; align-items: baseline; gap: 6mm; margin-bottom: 1.5mm; break-after: avoid; }
.exercise > header span { color: var(--muted); font-size: 9pt; font-variant-numeric: tabular-nums; }
.opening { break-inside: avoid; break-after: avoid; }
.picture { margin: 2mm 0 3mm; }
.picture svg { display: block; width: 100%; height: auto; }
.question { break-inside: avoid; margin: 0 0 3.4mm; display: grid; grid-template-columns: 12mm 1fr; }
.question .id { font-weight: 600; font-variant-numeric: tabular-nums; color: var(--accent); }
.question .ask { font-weight: 600; margin: 0 0 .8mm; }
.choices { list-style: none; margin: 0; padding: 0; display: grid; grid-template-columns: 1fr 1fr; gap: .5mm 6mm; }
.choices.long { grid-template-columns: 1fr; }
.choices li { display: grid; grid-template-columns: 4.4mm 4mm 1fr; align-items: start; }
.choices li::before { content: ""; width: 2.6mm; height: 2.6mm; border: .25mm solid var(--ink); border-radius: .4mm; margin-top: .95mm; }
.choices i { font-style: normal; color: var(--muted); }
.call { font-weight: 600; margin: 3mm 0 2mm; padding: .8mm 2.5mm; background: var(--tint); border-radius: .8mm; break-after: avoid; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
table { border-collapse: collapse; width: 100%; font-size: 9.5pt; }
th, td { text-align: left; vertical-align: top; padding: 1.1mm 3mm 1.1mm 0; border-bottom: .15mm solid var(--rule); }
th { font-weight: 600; color: var(--muted); font-size: 8.5pt; }
td.n, th.n { font-variant-numeric: tabular-nums; white-space: nowrap; }
tr { break-inside: avoid; }
thead { display: table-header-group; }
.characters { font: 7.5pt/1.35 "DejaVu Sans Mono", "Liberation Mono", Consolas, monospace; margin: 0 0 2.5mm; break-inside: avoid; }
.characters p { margin: 0; font-weight: 600; }
.characters div { display: flex; flex-wrap: wrap; padding-left: 8mm; position: relative; }
.characters span { width: 6.05mm; text-align: right; }
.characters b { font-weight: 400; color: var(--muted); position: absolute; left: 0; }
.glance { display: flex; flex-wrap: wrap; gap: .5mm 5mm; font-variant-numeric: tabular-nums; }
.right { font-weight: 600; }
.because { color: var(--muted); font-size: 9pt; line-height: 1.36; }
.lost { color: var(--warn); }
.small { font-size: 9pt; color: var(--muted); }
.sheet-of-one { break-before: page; }
.name { font-size: 15pt; overflow-wrap: anywhere; }
.figures { display: grid; grid-template-columns: repeat(3, 1fr); gap: 2mm 6mm; margin: 4mm 0; }
.figures div { border-bottom: .15mm solid var(--rule); padding-bottom: .8mm; }
.figures dt { font-size: 8.5pt; color: var(--muted); }
.figures dd { margin: 0; font-weight: 600; font-variant-numeric: tabular-nums; }
.plain { margin: 0; padding: 0; list-style: none; font-size: 9.5pt; }
.plain li { margin-bottom: 1mm; }
.statistics { break-inside: avoid; margin-top: 4mm; }
.statistics h3 { margin: 0 0 .6mm; }
.statistics h3 span { font-weight: 400; }
.statistics p { margin: 0 0 .6mm; }
.statistics td:first-child { width: 45%; }
.statistics td { overflow-wrap: anywhere; }
.remark { color: var(--warn); font-weight: 600; font-size: 9pt; }
.conditions { margin-top: 1.5mm; }
.line { border-bottom: .25mm solid var(--ink); height: 8mm; display: flex; align-items: flex-end; justify-content: flex-end; max-width: 110mm; margin: 0; }
.line span { font-size: 8pt; color: var(--muted); padding-bottom: .6mm; }
.worked { margin: 1mm 0 0; font-size: 8.5pt; line-height: 1.35; color: var(--muted); }
.worked div { display: grid; grid-template-columns: 30mm 1fr; }
.worked dt, .worked dd { margin: 0; }
.worked b { font-weight: 600; color: var(--ink); font-variant-numeric: tabular-nums; margin-right: 1.5mm; }
.form { break-before: page; }
.form table { font-size: 10pt; }
.grid { display: flex; flex-wrap: wrap; gap: 2.5mm 3mm; }
.grid span { display: inline-flex; flex-direction: column; align-items: center; font-size: 8pt; color: var(--muted); }
.grid span.wide::after { width: 48mm; }
.grid span::after { content: ""; width: 9mm; height: 7.5mm; border: .25mm solid var(--ink); border-radius: .6mm; margin-top: .4mm; }
@media screen { html, :host { background: #f3f5f6; } body, .body { background: #fff; padding: 14mm 16mm; max-width: 210mm; margin: 8mm auto; box-shadow: 0 .3mm 2mm rgb(0 0 0 / .12); } }
@media screen and (max-width: 220mm) { body, .body { margin: 0; padding: 6mm 5mm; box-shadow: none; } .stations { columns: 1; } .choices { grid-template-columns: 1fr; } td, th { overflow-wrap: anywhere; } }
`;
