/**
 * The terminal: its width and whether it takes colours.
 */
import { stripVTControlCharacters } from 'node:util';
import pc from 'picocolors';

/** Functions that colour text, or leave it alone where colours are not wanted. */
export type Colours = ReturnType<typeof pc.createColors>;

/** A text for a person: how wide it may be and how it is coloured. */
export interface Screen {
  /** Columns, 40 or more. */
  readonly width: number;
  readonly colours: Colours;
}

const DEFAULT_WIDTH = 80;
/** Narrower than this nothing is readable. */
export const LEAST_WIDTH = 40;

/**
 * Whether a stream takes colours: NO_COLOR forbids them, FORCE_COLOR wants them, otherwise a terminal that is
 * not dumb takes them.
 */
function takesColours(stream: NodeJS.WriteStream): boolean {
  const { NO_COLOR, FORCE_COLOR, TERM } = process.env;
  if (NO_COLOR !== undefined && NO_COLOR !== '') return false;
  if (FORCE_COLOR !== undefined && FORCE_COLOR !== '0') return true;
  // On a pipe isTTY is undefined, whatever its type says, and picocolors would then decide by itself.
  return stream.isTTY ? TERM !== 'dumb' : false;
}

/** What a stream can show. */
export function screenOf(stream: NodeJS.WriteStream): Screen {
  const columns = stream.isTTY ? stream.columns : Number(process.env.COLUMNS);
  const width = columns >= 1 ? Math.max(LEAST_WIDTH, columns) : DEFAULT_WIDTH;
  return { width, colours: pc.createColors(takesColours(stream)) };
}

/** Text from outside without characters that a terminal would obey or that turn the direction of writing. */
export function plain(text: string): string {
  return text.replace(/[\p{Cc}\u200E\u200F\u2028-\u202E\u2066-\u2069]/gu, '\uFFFD');
}

/** Lines about a file that was written: its name and the facts. */
export function aboutFile(name: string, facts: readonly string[], { width, colours }: Screen): string {
  return wrap(`${colours.bold(plain(name))}: ${facts.join('; ')}`, width).join('\n');
}

/** Columns a text takes, without its colours. */
export function columnsOf(text: string): number {
  return Array.from(stripVTControlCharacters(text)).length;
}

/** Fills a text with spaces to a number of columns. */
export function pad(text: string, columns: number): string {
  return text + ' '.repeat(Math.max(0, columns - columnsOf(text)));
}

/** Breaks a text between words into lines of at most `width` columns, the first after `head`, the others after `indent`. */
export function wrap(text: string, width: number, indent = '', head = ''): string[] {
  const lines: string[] = [];
  let line = head;
  let isEmpty = true;
  for (const word of text.split(' ')) {
    if (isEmpty) line += word;
    else if (columnsOf(line) + 1 + columnsOf(word) <= width) line += ` ${word}`;
    else {
      lines.push(line);
      line = indent + word;
    }
    isEmpty = false;
  }
  return [...lines, line];
}
