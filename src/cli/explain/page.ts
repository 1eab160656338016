/**
 * The page that an explanation is drawn on.
 */
import type { Character } from '../../calls/index.js';
import { bitsToLetters, symbolToBits } from '../../symbols/index.js';
import { columnsOf, wrap, type Screen } from '../terminal.js';

/** The bits of a character that carry its number; the rest are check bits. */
export const INFORMATION_BITS = 7;

/** What the information bits are worth, in the order they are sent. */
export const WEIGHTS: readonly number[] = Array.from({ length: INFORMATION_BITS }, (_, bit) => 2 ** bit);

/** Columns a character's number takes. */
export const SYMBOL_COLUMNS = 3;

/** A character's number as the standard writes it, `09`, at the right of its columns; `?` where not received. */
export const spell = (symbol: Character) =>
  (symbol === null ? '?' : String(symbol).padStart(2, '0')).padStart(SYMBOL_COLUMNS);

/** Lines of an explanation, fitted to a screen. */
export class Page {
  readonly #screen: Screen;
  readonly #lines: string[] = [];

  constructor(screen: Screen) {
    this.#screen = screen;
  }

  get colours() {
    return this.#screen.colours;
  }

  get width() {
    return this.#screen.width;
  }

  /** A text in the colour of its field, so that the eye finds both sendings of it. */
  tint(text: string, field: number | undefined): string {
    const { dim, greenBright, magentaBright, blueBright, whiteBright } = this.colours;
    if (field === undefined) return dim(text);
    return [whiteBright, greenBright, magentaBright, blueBright][field % 4](text);
  }

  /** One line as it is. */
  line(text = ''): void {
    this.#lines.push(text.trimEnd());
  }

  /** A paragraph, broken to the width. */
  text(text: string, indent = ''): void {
    for (const line of wrap(text, this.width, indent, indent)) this.line(line);
  }

  /** A heading with a remark beside or below it, and a rule. */
  heading(title: string, remark: string): void {
    this.line();
    const { bold, dim } = this.colours;
    const fits = columnsOf(title) + 2 + columnsOf(remark) <= this.width;
    this.line(fits ? `${bold(title)}  ${dim(remark)}` : bold(title));
    if (!fits) for (const line of wrap(remark, this.width)) this.line(dim(line));
    this.line(dim('─'.repeat(this.width)));
  }

  /** B and Y in their colours. */
  letters(letters: string): string {
    const { cyan, yellow } = this.colours;
    return letters.replace(/B+/g, (run) => cyan(run)).replace(/Y+/g, (run) => yellow(run));
  }

  /** The ten bits of a symbol, the check bits apart. */
  bits(symbol: number): string {
    const letters = bitsToLetters(symbolToBits(symbol));
    return `${this.letters(letters.slice(0, INFORMATION_BITS))} ${this.letters(letters.slice(INFORMATION_BITS))}`;
  }

  /** All lines so far. */
  toString(): string {
    return `${this.#lines.join('\n')}\n`;
  }
}
