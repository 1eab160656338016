/**
 * The drawings of a report as SVG: lines and points in a frame with scales.
 */
import { escapeMarkup } from '../../data/index.js';

/** One kind of thing drawn. */
export interface Series {
  readonly points: readonly (readonly [x: number, y: number])[];
  readonly colour: string;
  readonly isLine: boolean;
  /** Shown in the legend. */
  readonly name?: string;
}

/** A drawing. */
export interface Chart {
  readonly title: string;
  readonly x: { readonly label: string; readonly from: number; readonly to: number };
  readonly y: { readonly label: string; readonly from: number; readonly to: number };
  readonly series: readonly Series[];
  /** Upright lines, as of limits. */
  readonly uprights?: readonly number[];
  /** Level lines. */
  readonly levels?: readonly number[];
}

const WIDTH = 360;
const HEIGHT = 190;
const FRAME = { left: 44, right: 8, top: 22, bottom: 32 };
/** Colours by day; a page may set others by custom properties, as for the night. */
const colour = (name: string, byDay: string) => `var(--chart-${name}, ${byDay})`;
const INK = colour('ink', '#1b2730');
const MUTED = colour('muted', '#5a6872');
const RULE = colour('rule', '#d5dde2');
const LIMIT = colour('limit', '#a61c1c');
/** Of the higher tone, the lower one, and what is only for comparison. */
export const TONE_COLOURS = {
  b: colour('b', '#b8602a'),
  y: colour('y', '#17576e'),
  other: colour('other', '#8a979f'),
} as const;
const TICKS = 5;

/** Round numbers between two ends. */
function ticks(from: number, to: number): number[] {
  const rough = (to - from) / TICKS;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((size) => size >= rough) ?? rough;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
}

const short = (value: number) => String(Number(value.toPrecision(6))).replace('-', '−');
const at = (value: number) => value.toFixed(1);

/** A drawing as an SVG element. */
export function drawChart({ title, x, y, series, uprights = [], levels = [] }: Chart): string {
  const [left, right] = [FRAME.left, WIDTH - FRAME.right];
  const [top, bottom] = [FRAME.top, HEIGHT - FRAME.bottom];
  const px = (value: number) => left + ((value - x.from) / (x.to - x.from)) * (right - left);
  const py = (value: number) => bottom - ((value - y.from) / (y.to - y.from)) * (bottom - top);
  const held = (value: number) => Math.max(y.from, Math.min(y.to, value));
  const text = (tx: number, ty: number, words: string, more = '') =>
    `<text x="${at(tx)}" y="${at(ty)}" ${more}>${escapeMarkup(words)}</text>`;
  const grid = [
    ...ticks(x.from, x.to).map(
      (value) =>
        `<path d="M${at(px(value))} ${top}V${bottom}" stroke="${RULE}"/>${text(px(value), bottom + 11, short(value), 'text-anchor="middle"')}`,
    ),
    ...ticks(y.from, y.to).map(
      (value) =>
        `<path d="M${left} ${at(py(value))}H${right}" stroke="${RULE}"/>${text(left - 4, py(value) + 3, short(value), 'text-anchor="end"')}`,
    ),
  ];
  const limits = [
    ...uprights
      .filter((value) => value > x.from && value < x.to)
      .map((value) => `M${at(px(value))} ${top}V${bottom}`),
    ...levels
      .filter((value) => value > y.from && value < y.to)
      .map((value) => `M${left} ${at(py(value))}H${right}`),
  ].map((path) => `<path d="${path}" stroke="${LIMIT}" stroke-dasharray="4 3"/>`);
  const drawn = series.map(({ points, colour, isLine }) => {
    const shown = points.filter(([px0, py0]) => px0 >= x.from && px0 <= x.to && Number.isFinite(py0));
    if (isLine) {
      const path = shown
        .map(([vx, vy], i) => `${i === 0 ? 'M' : 'L'}${at(px(vx))} ${at(py(held(vy)))}`)
        .join('');
      return `<path d="${path}" stroke="${colour}" fill="none"/>`;
    }
    return shown
      .map(([vx, vy]) => `<circle cx="${at(px(vx))}" cy="${at(py(held(vy)))}" r="1.1" fill="${colour}"/>`)
      .join('');
  });
  const legend = series
    .filter(({ name }) => name !== undefined)
    .map(({ name, colour }, i) =>
      text(right - 62 * i, 12, name ?? '', `text-anchor="end" fill="${colour}" font-weight="bold"`),
    );
  return [
    `<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeMarkup(title)}" font-size="9" fill="${MUTED}" font-family="sans-serif">`,
    text(left, 12, title, `fill="${INK}" font-size="10" font-weight="bold"`),
    ...grid,
    `<path d="M${left} ${top}V${bottom}H${right}" stroke="${MUTED}" fill="none"/>`,
    ...limits,
    ...drawn,
    ...legend,
    text((left + right) / 2, HEIGHT - 6, x.label, 'text-anchor="middle"'),
    `<text transform="translate(9 ${(top + bottom) / 2}) rotate(-90)" text-anchor="middle">${escapeMarkup(y.label)}</text>`,
    '</svg>',
  ].join('');
}
