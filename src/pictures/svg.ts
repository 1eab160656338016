/**
 * Pieces of SVG 1.1 as text.
 */

import { escapeMarkup } from '../data/index.js';

/** Attributes of an element; undefined ones are left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

const rounded = (value: number) => String(Math.round(value * 100) / 100);

/** An element with its attributes and content, which must be markup already. */
export function element(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(
      ([key, value]) => ` ${key}="${typeof value === 'number' ? rounded(value) : escapeMarkup(value ?? '')}"`,
    )
    .join('');
  return content === '' ? `<${name}${written}/>` : `<${name}${written}>${content}</${name}>`;
}

/** A filled rectangle. */
export function rect(x: number, y: number, width: number, height: number, attributes: Attributes): string {
  return element('rect', { x, y, width, height, ...attributes });
}

/** A straight line. */
export function line(x1: number, y1: number, x2: number, y2: number, attributes: Attributes): string {
  return element('line', { x1, y1, x2, y2, ...attributes });
}

/** A run of plain text. */
export function label(x: number, y: number, text: string, attributes: Attributes = {}): string {
  return element('text', { x, y, ...attributes }, escapeMarkup(text));
}

/** About how wide a text is, in units of the drawing. */
export function textWidth(text: string, fontSize: number): number {
  return 0.58 * fontSize * Array.from(text).length;
}

/** Breaks a text between words into lines of about `width`. */
export function wrapText(text: string, fontSize: number, width: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    const joined = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && textWidth(joined, fontSize) <= width) lines[lines.length - 1] = joined;
    else lines.push(word);
  }
  return lines;
}
