/**
 * Drawings that follow a page by night: the same hues, light on dark.
 */
import { lch } from 'd3-color';

/** Lightness (CIE L*) of white by night, and of black. */
const [WHITE, BLACK] = [11, 98];
/** Paper, as the pages have it by night: whatever is nearly white without a colour. */
const SHEET = '#14222b';
const PAPER = { lightness: 95, chroma: 8 };

function atNight(colour: string): string {
  const { l, c: chroma, h } = lch(colour);
  // White and black have none.
  const c = Number.isNaN(chroma) ? 0 : chroma;
  if (l > PAPER.lightness && c < PAPER.chroma) return SHEET;
  return lch(WHITE + ((100 - l) / 100) * (BLACK - WHITE), c, h).formatHex();
}

const PAINTS = ['fill', 'stroke'] as const;

/** Of a drawing whose outermost element sets its colours by a style of its own. */
const OWN_STYLE = /<svg[^>]* style="background:([^;"]+);color:([^;"]+)/;

/**
 * An SVG drawing with a style sheet for those who prefer dark colours; printed and by day it stays as it is.
 *
 * @param svg - a drawing whose colours stand in attributes, as six hexadecimal digits
 */
export function withNight(svg: string): string {
  const colours = new Set(
    [...svg.matchAll(/(?:fill|stroke)="(#[0-9a-f]{6})"/gi)].map(([, colour]) => colour),
  );
  const rules = [...colours].flatMap((colour) =>
    PAINTS.filter((paint) => svg.includes(`${paint}="${colour}"`)).map(
      (paint) => `[${paint}="${colour}"]{${paint}:${atNight(colour)}}`,
    ),
  );
  const own = OWN_STYLE.exec(svg);
  if (own) {
    rules.push(`svg[style]{background:${atNight(own[1])}!important;color:${atNight(own[2])}!important}`);
  }
  // A spectrogram is a picture in the drawing.
  if (svg.includes('<image')) rules.push('image{filter:invert(0.93) hue-rotate(180deg)}');
  const sheet = `<style>@media (prefers-color-scheme:dark){${rules.join('')}}</style>`;
  return svg.replace(/^([^]*?<svg[^>]*>)/, `$1${sheet}`);
}
