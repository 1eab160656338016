/**
 * A sequence slot by slot: DX and RX, bits as B and Y, what was read.
 */
import { BITS_PER_SYMBOL, BIT_RATE } from '../../symbols/index.js';
import { columnsOf, pad } from '../terminal.js';
import { SYMBOL_COLUMNS, spell, type Page } from './page.js';
import type { LabelledSlot, Sequence } from './sequence.js';

const BITS_COLUMNS = BITS_PER_SYMBOL + 1;
const MARK_COLUMNS = 2;
const GAP = ' │ ';
const LEAST_LABEL = 16;

/** One slot: its character, bits, mark and label. */
function cell(page: Page, slot: LabelledSlot, labelWidth: number, marked: boolean): string {
  const { dim, green, red } = page.colours;
  const untold = slot.read === 'untold';
  // What the slots of a character read that was not received at all is no reading of it.
  const shown = slot.symbol === null ? undefined : untold ? slot.symbol : slot.read;
  const mark =
    untold && slot.symbol !== null
      ? ''
      : slot.symbol !== null && slot.read === slot.symbol
        ? green('✓')
        : red(slot.read === undefined || slot.symbol === null ? '✗' : '≠');
  const parts = [
    shown === undefined
      ? slot.symbol === null
        ? spell(null)
        : ' '.repeat(SYMBOL_COLUMNS)
      : page.tint(spell(shown), slot.field),
    shown === undefined ? dim('······· ···') : page.bits(shown),
    ...(marked ? [pad(mark, MARK_COLUMNS - 1)] : []),
    page.tint(pad(slot.label.slice(0, labelWidth), labelWidth), slot.field),
  ];
  return parts.join(' ');
}

/** Draws all slots, side by side where there is room. */
export function drawSlots(page: Page, sequence: Sequence, slots: readonly LabelledSlot[]): void {
  const { bold, dim } = page.colours;
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
    Math.floor((page.width - head) / cells) - GAP.length - fixed;
  const gap = dim(GAP);
  const number = (pair: number) => String(pair + 1).padStart(2);
  page.line();
  if (roomFor(2, 2) < LEAST_LABEL) {
    const labelWidth = Math.min(widest, Math.max(8, page.width - 2 - GAP.length - 3 - fixed));
    slots.forEach((slot, at) => {
      const pair = at % 2 === 0 ? number(at >> 1) : '  ';
      page.line(`${dim(pair)}${gap}${bold(slot.position)} ${cell(page, slot, labelWidth, marked)}`);
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
  page.line(heading.map((text) => bold(text)).join(gap));
  for (let at = 0; at + 1 < slots.length; at += 2) {
    const cells = [slots[at], slots[at + 1]].map((slot) => cell(page, slot, labelWidth, marked));
    page.line([dim(number(at >> 1) + time(at)), ...cells].join(gap));
  }
}
