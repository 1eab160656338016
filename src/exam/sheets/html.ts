/**
 * HTML as text, escaped unless it is markup already.
 */
import { escapeMarkup } from '../../pictures/index.js';

/** Text that is markup already. */
export class Markup {
  constructor(readonly text: string) {}
}

/** What may stand in a template. */
export type Piece = Markup | string | number | undefined | readonly Piece[];

/** Keeps the groups of an identity and a number with its unit on one line. */
const bound = (text: string) => text.replace(/(\d) (?=\d|[kM]?Hz\b|UTC\b|dB\b|ms\b)/g, '$1\u00A0');

function write(piece: Piece): string {
  if (piece === undefined) return '';
  if (piece instanceof Markup) return piece.text;
  if (typeof piece === 'object') return piece.map(write).join('');
  return bound(escapeMarkup(String(piece)));
}

/** A template whose values are escaped, unless they are {@link Markup}; lists are joined. */
export function html(strings: TemplateStringsArray, ...pieces: readonly Piece[]): Markup {
  return new Markup(strings.map((text, i) => text + write(pieces[i])).join(''));
}
