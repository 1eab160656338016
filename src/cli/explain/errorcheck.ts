/**
 * How the error check comes about: the running exclusive-or.
 */
import { columnsOf, pad } from '../terminal.js';
import { INFORMATION_BITS, SYMBOL_COLUMNS, WEIGHTS, spell, type Page } from './page.js';
import { labelCharacters, type Sequence } from './sequence.js';

/** Columns of a line without its label, at its narrowest. */
const NARROWEST_SUM = 29;

/** Draws the exclusive-or of a call's characters, one by one, and whether the error check agrees. */
export function drawErrorCheck(page: Page, sequence: Sequence): void {
  const { bold, dim, green, red } = page.colours;
  page.heading('THE ERROR CHECK', 'one format specifier to one end of sequence, exclusive-or');
  const characters = labelCharacters(sequence);
  const missing = characters.filter(({ symbol }) => symbol === null).length;
  if (missing > 0) {
    page.text(
      `It can't be checked: ${missing} of the ${characters.length} characters ${missing === 1 ? 'was' : 'were'} not received.`,
    );
    return;
  }
  page.text(
    'Each step adds a character to the sum without carrying: where the character has a 1, the bit of the sum turns over.',
  );
  page.line();
  const longest = Math.max(...characters.map(({ label }) => columnsOf(label)));
  const labelWidth = Math.min(longest, page.width - NARROWEST_SUM);
  const weights = [...WEIGHTS].reverse();
  const arrow = '  → ';
  const widthWith = (bit: number) =>
    labelWidth + 1 + SYMBOL_COLUMNS + 2 * bit * INFORMATION_BITS + 2 + arrow.length + 2 + SYMBOL_COLUMNS;
  const bitColumns = [3, 2, 1].find((columns) => widthWith(columns) <= page.width) ?? 1;
  const row = (texts: readonly string[]) =>
    texts.map((text) => ' '.repeat(Math.max(0, bitColumns - columnsOf(text))) + text).join('');
  const bitsOf = (symbol: number, style: (text: string, weight: number) => string) =>
    row(weights.map((weight) => style(symbol & weight ? '1' : '0', weight)));
  const plain = (text: string) => text;
  const head = (label: string, symbol: string) =>
    `${pad(label.slice(0, labelWidth), labelWidth)} ${symbol.padStart(SYMBOL_COLUMNS)}  `;
  if (bitColumns === 3) {
    const heading = row(weights.map(String));
    page.line(dim(`${head('', '')}${heading}${' '.repeat(arrow.length)}${heading}`));
  }
  let sum = 0;
  for (const [i, { label, field }] of characters.slice(0, -1).entries()) {
    const symbol = sequence.symbols[i];
    sum ^= symbol;
    const turned = (text: string, weight: number) => (symbol & weight ? bold(text) : dim(text));
    const result = i === 0 ? '' : `${dim(arrow)}${bitsOf(sum, turned)}  ${spell(sum)}`;
    page.line(`${page.tint(head(label, spell(symbol)), field)}${bitsOf(symbol, plain)}${result}`);
  }
  const found = sequence.symbols[sequence.symbols.length - 1];
  const agrees = found === sum;
  const carried = bold(head('error check', spell(found)) + bitsOf(found, plain));
  page.line(agrees ? `${carried}${' '.repeat(arrow.length)}${green('agrees ✓')}` : carried);
  if (!agrees) page.line(red(`disagrees ✗: ${sum} was expected`));
}
