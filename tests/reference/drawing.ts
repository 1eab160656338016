/**
 * Drawings of a call on the air: the slots of DX and RX to scale in time, with their fields above.
 */
import type { Frame, AirSlot } from '../../src/frames/index.js';
import { BIT_RATE } from '../../src/symbols/index.js';

/** A stretch of characters that belong together, in the order they are sent. */
export interface Stretch {
  readonly label: string;
  readonly count: number;
}

const SLOT = 20;
const PAIR = 2 * SLOT;
const DOTS = 96;
const LEFT = 44;
const TOP = 118;
const ROW = 26;
const AXIS = TOP + 2 * ROW + 30;
const HEIGHT = AXIS + 40;

const INK = '#1d2b36';
const FAINT = '#7b8a96';
const PAPER = '#fbfaf5';
const PHASING = '#e4e2d8';
/** One colour after another for the fields. */
const COLOURS = ['#cfe0ea', '#f3ddb8', '#d7e6c9', '#ecd0cd', '#dcd5ea', '#cfe6e1', '#f0e6b4', '#e3d7cb'];

const escape = (text: string) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');

function text(x: number, y: number, content: string, more = ''): string {
  return `<text x="${x}" y="${y}" ${more}>${escape(content)}</text>`;
}

function box(x: number, y: number, colour: string, slot: AirSlot): string {
  return (
    `<rect x="${x}" y="${y}" width="${SLOT}" height="${ROW - 4}" fill="${colour}" stroke="${INK}" stroke-width="0.6"/>` +
    text(x + SLOT / 2, y + 15, String(slot.symbol).padStart(2, '0'), 'text-anchor="middle" font-size="9"')
  );
}

/** The index of the stretch that a character lies in. */
function stretchOf(stretches: readonly Stretch[], character: number): number {
  let end = 0;
  return stretches.findIndex(({ count }) => character < (end += count));
}

/**
 * A sequence as an SVG.
 *
 * @param stretches - the fields of the information characters in order, from both format specifiers to the end
 */
export function drawSequence(title: string, sequence: Frame, stretches: readonly Stretch[]): string {
  const [{ slots, dots }] = sequence.sendings;
  const pairs = slots.length / 2;
  const start = LEFT + DOTS;
  const width = start + pairs * PAIR + 150;
  const rate = BIT_RATE[sequence.band];
  const colourOf = (character: number | undefined) =>
    character === undefined ? PHASING : COLOURS[stretchOf(stretches, character) % COLOURS.length];
  const boxes = slots.map((slot, i) =>
    box(start + i * SLOT, TOP + (slot.position === 'DX' ? 0 : ROW), colourOf(slot.character), slot),
  );
  const phasing = slots.findIndex((slot) => slot.character === 0) / 2;
  let at = phasing;
  const labels = [{ label: 'phasing', count: phasing }, ...stretches].map(({ label, count }, i) => {
    const first = i === 0 ? 0 : at;
    if (i > 0) at += count;
    const x = start + first * PAIR;
    return (
      `<path d="M${x + 1} ${TOP - 4}v-6h${count * PAIR - SLOT - 2}v6" fill="none" stroke="${FAINT}"/>` +
      text(x + 4, TOP - 14, label, `transform="rotate(-32 ${x + 4} ${TOP - 14})"`)
    );
  });
  const seconds = (bits: number) => bits / rate;
  const unit =
    sequence.band === 'vhf' ? { scale: 1000, name: 'ms', step: 50 } : { scale: 1, name: 's', step: 1 };
  const total = seconds(dots + 10 * slots.length) * unit.scale;
  const x = (time: number) => start + (((time / unit.scale) * rate - dots) / 10) * SLOT;
  const firstTick = Math.ceil((seconds(dots) * unit.scale) / unit.step);
  const ticks = Array.from({ length: Math.floor(total / unit.step) - firstTick + 1 }, (_, i) => {
    const time = (firstTick + i) * unit.step;
    return (
      `<path d="M${x(time).toFixed(1)} ${AXIS}v6" stroke="${INK}"/>` +
      text(Number(x(time).toFixed(1)), AXIS + 18, String(time), 'text-anchor="middle"')
    );
  });
  const again = start + phasing * PAIR;
  const gap = sequence.band === 'vhf' ? '33⅓ ms' : '400 ms';
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${HEIGHT}" width="${width}" height="${HEIGHT}" role="img" font-family="Helvetica, Arial, sans-serif" font-size="11" fill="${INK}">`,
    `<title>${escape(title)}</title>`,
    `<rect width="${width}" height="${HEIGHT}" fill="${PAPER}"/>`,
    text(8, 20, title, 'font-size="14" font-weight="bold"'),
    text(8, TOP + 15, 'DX'),
    text(8, TOP + ROW + 15, 'RX'),
    `<rect x="${LEFT}" y="${TOP}" width="${DOTS - 6}" height="${2 * ROW - 4}" fill="url(#dots)" stroke="${INK}" stroke-width="0.6"/>`,
    `<defs><pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="${PHASING}"/><rect width="3" height="6" fill="${FAINT}" opacity="0.35"/></pattern></defs>`,
    text(LEFT, TOP - 14, 'dot pattern'),
    text(LEFT, AXIS - 12, `${dots} bits, not to scale`, 'font-size="9"'),
    ...labels,
    `<path d="M${again + SLOT} ${TOP + ROW - 2}C${again + SLOT + 20} ${AXIS - 4} ${again + 3 * SLOT} ${AXIS - 4} ${again + 5 * SLOT + 2} ${TOP + 2 * ROW - 3}" fill="none" stroke="${INK}" stroke-dasharray="3 2"/>`,
    ...boxes,
    text(again + 6 * SLOT + 6, AXIS - 12, `sent again after ${gap}`, 'font-size="9"'),
    `<path d="M${start} ${AXIS}H${start + pairs * PAIR}" stroke="${INK}"/>`,
    ...ticks,
    text(
      start + pairs * PAIR + 8,
      AXIS + 4,
      `${total.toLocaleString('en', { maximumFractionDigits: 1 })} ${unit.name} in all`,
    ),
    '</svg>',
    '',
  ].join('\n');
}
