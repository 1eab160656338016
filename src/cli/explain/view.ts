/**
 * An explanation as a text for a terminal: what a teacher projects on a wall.
 */
import { decodeCall, describeCall, explainFields } from '../../calls/index.js';
import { BIT_RATE } from '../../frames/index.js';
import { MODULATIONS } from '../../modem/index.js';
import { BITS_PER_SYMBOL, bitsToLetters, symbolToBits } from '../../symbols/index.js';
import { columnsOf, pad, wrap, type Screen } from '../terminal.js';
import { labelCharacters, labelSlots, type LabelledSlot, type Sequence } from './sequence.js';

const INFORMATION_BITS = 7;
const WEIGHTS = Array.from({ length: INFORMATION_BITS }, (_, bit) => 2 ** bit);

/** Draws the parts of an explanation on a screen. */
class View {
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

  line(text = ''): void {
    this.#lines.push(text.trimEnd());
  }

  /** A paragraph, broken to the width. */
  text(text: string, indent = ''): void {
    for (const line of wrap(text, this.width, indent, indent)) this.line(line);
  }

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

  toString(): string {
    return `${this.#lines.join('\n')}\n`;
  }
}

function drawFields(view: View, { symbols, expansions }: Sequence): void {
  const { bold, dim } = view.colours;
  view.heading('THE CALL', `${symbols.length} characters, field by field`);
  const fields = explainFields(symbols);
  const labelWidth = Math.max(...fields.map(({ label }) => columnsOf(label)));
  const spelled = fields.map((field) =>
    field.symbols.map((symbol) => String(symbol).padStart(2, '0')).join(' '),
  );
  const spelledWidth = Math.max(...spelled.map(columnsOf));
  const wide = view.width >= labelWidth + spelledWidth + 30;
  fields.forEach(({ label, digits, meaning }, i) => {
    const what = digits === undefined ? meaning : `${meaning}  ${dim(`(${digits})`)}`;
    const head = `${pad(label, labelWidth)}  ${view.tint(bold(wide ? pad(spelled[i], spelledWidth) : spelled[i]), i)}`;
    if (wide) {
      const [first, ...more] = wrap(what, view.width - columnsOf(head) - 2);
      view.line(`${head}  ${first}`);
      for (const line of more) view.line(' '.repeat(columnsOf(head) + 2) + line);
    } else {
      view.line(head);
      view.text(what, ' '.repeat(4));
    }
  });
  expansions.forEach((part, i) => {
    view.text(`${pad(`expansion ${i + 1}`, labelWidth)}  ${bold(part.join(' '))}`);
  });
}

function drawWorkedCharacter(view: View, symbol: number): void {
  const bits = symbolToBits(symbol).slice(0, INFORMATION_BITS);
  const weights = WEIGHTS.filter((_, bit) => bits[bit] === 1);
  const sum = weights.length > 1 ? `${weights.join(' + ')} = ${symbol}` : String(symbol);
  const count = INFORMATION_BITS - weights.length;
  const check = bitsToLetters(symbolToBits(symbol)).slice(INFORMATION_BITS);
  view.text(
    `Bits 1 to 7 are worth ${WEIGHTS.join(', ')} where they are Y; bits 8 to 10 count the Bs among them, worth 4, 2, 1. ` +
      `So ${symbol} is ${view.bits(symbol)}: ${sum}, and ${count} Bs make ${view.letters(check)}.`,
  );
}

function drawTiming(view: View, sequence: Sequence, slots: number): void {
  const { band, dots } = sequence;
  const baud = BIT_RATE[band];
  const { centreHz, shiftHz } = MODULATIONS[band];
  const name = band === 'vhf' ? 'VHF channel 70' : 'MF/HF';
  const bits = slots * BITS_PER_SYMBOL;
  const all = (dots ?? 0) + bits;
  const count = dots === undefined ? '' : `${dots} dots + `;
  const total = dots === undefined ? '' : ` = ${all} bits`;
  view.heading('ON THE AIR', 'every character twice: DX first, RX four characters later');
  view.text(
    `${name}, ${baud} Bd: ${count}${slots} slots × ${BITS_PER_SYMBOL} bits${total}, ${(all / baud).toFixed(2)} s. ` +
      `${view.letters('B')} is the higher tone, ${centreHz + shiftHz / 2} Hz, ` +
      `${view.letters('Y')} the lower, ${centreHz - shiftHz / 2} Hz.`,
  );
}

const SYMBOL_COLUMNS = 3;
const BITS_COLUMNS = BITS_PER_SYMBOL + 1;
const MARK_COLUMNS = 2;
const GAP = ' │ ';
const LEAST_LABEL = 16;

const spell = (symbol: number) => String(symbol).padStart(2, '0').padStart(SYMBOL_COLUMNS);

/** One slot: its character, bits, mark and label. */
function cell(view: View, slot: LabelledSlot, labelWidth: number, marked: boolean): string {
  const { dim, green, red } = view.colours;
  const untold = slot.read === 'untold';
  const shown = slot.read === 'untold' ? slot.symbol : slot.read;
  const mark = untold
    ? ''
    : slot.read === slot.symbol
      ? green('✓')
      : red(slot.read === undefined ? '✗' : '≠');
  const parts = [
    shown === undefined ? ' '.repeat(SYMBOL_COLUMNS) : view.tint(spell(shown), slot.field),
    shown === undefined ? dim('······· ···') : view.bits(shown),
    ...(marked ? [pad(mark, MARK_COLUMNS - 1)] : []),
    view.tint(pad(slot.label.slice(0, labelWidth), labelWidth), slot.field),
  ];
  return parts.join(' ');
}

function drawSlots(view: View, sequence: Sequence, slots: readonly LabelledSlot[]): void {
  const { bold, dim } = view.colours;
  const baud = BIT_RATE[sequence.band];
  const marked = slots.some(({ read }) => read !== 'untold');
  const secondsAt = (slot: number) => {
    const before = sequence.reception?.start ?? (sequence.dots ?? 0) / baud;
    return (before + (slot * BITS_PER_SYMBOL) / baud).toFixed(baud > 1000 ? 3 : 2);
  };
  const timeWidth = secondsAt(slots.length).length + 2;
  const fixed = SYMBOL_COLUMNS + 1 + BITS_COLUMNS + 1 + (marked ? MARK_COLUMNS : 0);
  const widest = Math.max(...slots.map(({ label }) => columnsOf(label)));
  const roomFor = (cells: number, head: number) =>
    Math.floor((view.width - head) / cells) - GAP.length - fixed;
  const gap = dim(GAP);
  const number = (pair: number) => String(pair + 1).padStart(2);
  view.line();
  if (roomFor(2, 2) < LEAST_LABEL) {
    const labelWidth = Math.min(widest, Math.max(8, view.width - 2 - GAP.length - 3 - fixed));
    slots.forEach((slot, at) => {
      const pair = at % 2 === 0 ? number(at >> 1) : '  ';
      view.line(`${dim(pair)}${gap}${bold(slot.position)} ${cell(view, slot, labelWidth, marked)}`);
    });
    return;
  }
  const withTime = roomFor(2, 2 + timeWidth) >= LEAST_LABEL;
  const labelWidth = Math.min(widest, roomFor(2, withTime ? 2 + timeWidth : 2));
  const time = (slot: number) => (withTime ? secondsAt(slot).padStart(timeWidth) : '');
  const heading = [
    `  ${withTime ? 's'.padStart(timeWidth) : ''}`,
    pad('DX, first sending', fixed + labelWidth),
    'RX, second sending',
  ];
  view.line(heading.map((text) => bold(text)).join(gap));
  for (let at = 0; at + 1 < slots.length; at += 2) {
    const cells = [slots[at], slots[at + 1]].map((slot) => cell(view, slot, labelWidth, marked));
    view.line([dim(number(at >> 1) + time(at)), ...cells].join(gap));
  }
}

function drawReception(view: View, { reception }: Sequence, slots: readonly LabelledSlot[]): void {
  if (!reception) return;
  const { green, red } = view.colours;
  const right = (position: string, character: number) =>
    slots.some(
      (slot) => slot.position === position && slot.character === character && slot.read === slot.symbol,
    );
  const told = slots.filter(
    (slot) => slot.position === 'DX' && slot.character !== undefined && slot.read !== 'untold',
  );
  const clean = told.map(
    ({ character = -1 }) => Number(right('DX', character)) + Number(right('RX', character)),
  );
  const count = (times: number) => clean.filter((reads) => reads === times).length;
  if (told.length === 0) {
    view.line();
    view.text('Several sendings were added up to read this call; no single one was read by itself.');
    if (reception.trust !== undefined) view.text(reception.trust);
    return;
  }
  view.line();
  view.text(
    `${green('✓')} the check bits agree; ${red('✗')} they do not, so the slot was not read; ` +
      `${red('≠')} they agree, but on another character than the one decided.`,
  );
  const neither = count(0) === 0 ? '' : `, ${count(0)} in neither and decided from soft information`;
  view.text(
    `Of ${told.length} characters, ${count(2)} read clean in both sendings, ${count(1)} in one${neither}.`,
  );
  if (reception.trust !== undefined) view.text(reception.trust);
}

function drawErrorCheck(view: View, symbols: readonly number[]): void {
  const { bold, dim, green, red } = view.colours;
  view.heading('THE ERROR CHECK', 'one format specifier to one end of sequence, exclusive-or');
  view.text(
    'Each step adds a character to the sum without carrying: where the character has a 1, the bit of the sum turns over.',
  );
  view.line();
  const characters = labelCharacters(symbols);
  const labelWidth = Math.max(...characters.map(({ label }) => columnsOf(label)));
  const weights = [...WEIGHTS].reverse();
  const arrow = '  → ';
  const widthWith = (bit: number) =>
    labelWidth + 1 + SYMBOL_COLUMNS + 2 * bit * INFORMATION_BITS + 2 + arrow.length + 2 + SYMBOL_COLUMNS;
  const bitColumns = [3, 2, 1].find((columns) => widthWith(columns) <= view.width) ?? 1;
  const row = (texts: readonly string[]) =>
    texts.map((text) => ' '.repeat(Math.max(0, bitColumns - columnsOf(text))) + text).join('');
  const bitsOf = (symbol: number, style: (text: string, weight: number) => string) =>
    row(weights.map((weight) => style(symbol & weight ? '1' : '0', weight)));
  const plain = (text: string) => text;
  const head = (label: string, symbol: string) =>
    `${pad(label, labelWidth)} ${symbol.padStart(SYMBOL_COLUMNS)}  `;
  if (bitColumns === 3) {
    const heading = row(weights.map(String));
    view.line(dim(`${head('', '')}${heading}${' '.repeat(arrow.length)}${heading}`));
  }
  let sum = 0;
  for (const [i, { symbol, label, field }] of characters.slice(0, -1).entries()) {
    sum ^= symbol;
    const turned = (text: string, weight: number) => (symbol & weight ? bold(text) : dim(text));
    const result = i === 0 ? '' : `${dim(arrow)}${bitsOf(sum, turned)}  ${spell(sum)}`;
    view.line(`${view.tint(head(label, spell(symbol)), field)}${bitsOf(symbol, plain)}${result}`);
  }
  const found = symbols[symbols.length - 1];
  const verdict = found === sum ? green('agrees ✓') : red(`disagrees ✗: ${sum} was expected`);
  view.line(
    `${bold(head('error check', spell(found)) + bitsOf(found, plain))}${' '.repeat(arrow.length)}${verdict}`,
  );
}

/**
 * A sequence explained: the call, its fields, its slots as B and Y, and how the error check comes about.
 */
export function renderExplanation(sequence: Sequence, screen: Screen): string {
  const view = new View(screen);
  const { symbols } = sequence;
  const sentence = describeCall(decodeCall(symbols, { ignoreErrorCheck: true }));
  for (const line of wrap(sentence, view.width)) view.line(view.colours.bold(line));
  drawFields(view, sequence);
  const slots = labelSlots(sequence);
  drawTiming(view, sequence, slots.length);
  drawWorkedCharacter(view, symbols[0]);
  drawSlots(view, sequence, slots);
  drawReception(view, sequence, slots);
  drawErrorCheck(view, symbols);
  return view.toString();
}
