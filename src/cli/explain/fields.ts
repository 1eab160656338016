/**
 * A call field by field.
 */
import { explainFields, nameExpansion, type Character } from '../../calls/index.js';
import { columnsOf, pad, wrap } from '../terminal.js';
import type { Page } from './page.js';
import type { Sequence } from './sequence.js';

/** Columns for the meanings that make it worth setting them beside the characters. */
const LEAST_MEANING = 30;

const spelled = (symbols: readonly Character[]) =>
  symbols.map((symbol) => (symbol === null ? '??' : String(symbol).padStart(2, '0'))).join(' ');

/** Draws a call's fields with their characters and what they say. */
export function drawFields(page: Page, { symbols, certainty, expansions }: Sequence): void {
  const { dim } = page.colours;
  page.heading('THE CALL', `${symbols.length} characters, field by field`);
  const rows = [
    ...explainFields(symbols, certainty).map(({ label, digits, meaning, symbols: own }) => ({
      label,
      characters: spelled(own),
      meaning: digits === undefined ? meaning : `${meaning}  ${dim(`(${digits})`)}`,
    })),
    ...expansions.map((own, i) => ({
      label: `expansion ${i + 1}`,
      characters: spelled(own),
      meaning: nameExpansion(own),
    })),
  ];
  const labelWidth = Math.max(...rows.map(({ label }) => columnsOf(label))) + 2;
  const charactersWidth = Math.max(...rows.map(({ characters }) => columnsOf(characters))) + 2;
  const besides = page.width - labelWidth - charactersWidth;
  rows.forEach(({ label, characters, meaning }, i) => {
    if (besides >= LEAST_MEANING) {
      const head = pad(label, labelWidth) + page.tint(pad(characters, charactersWidth), i);
      const indent = ' '.repeat(columnsOf(head));
      for (const line of wrap(meaning, page.width, indent, head)) page.line(line);
      return;
    }
    const indent = ' '.repeat(labelWidth);
    const [first, ...more] = wrap(characters, page.width, indent, indent);
    page.line(pad(label, labelWidth) + page.tint(first.trimStart(), i));
    for (const line of more) page.line(page.tint(line, i));
    page.text(meaning, '    ');
  });
}
