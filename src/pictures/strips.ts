/**
 * A call bit by bit, in strips: the spectrogram around its tones, the energy of both tones in each bit, the bits, and
 * the characters that they spell.
 */
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import type { Piece } from './overview.js';
import { spectrogramImage } from './raster.js';
import { spectrogram } from './spectrogram.js';
import type { CallStructure, ReceivedSlot } from './structure.js';
import { COLOUR, LEFT, plotWidth } from './style.js';
import { element, label, line, rect, textWidth } from './svg.js';

const SLOTS_PER_STRIP = 18;
/** Width of a drawing with strips. */
export const STRIPS_WIDTH = 1000;
const SLOT_WIDTH = plotWidth(STRIPS_WIDTH) / SLOTS_PER_STRIP;
const BIT_WIDTH = SLOT_WIDTH / BITS_PER_SYMBOL;

const SPECTRUM_HEIGHT = 46;
const ENERGY_HEIGHT = 44;
const BITS_HEIGHT = 9;
const SLOT_HEIGHT = 17;
const FIELD_HEIGHT = 17;
const GAP = 16;
const FONT = 10;

/** Columns of the spectrogram a bit, and its rows. */
const COLUMNS_PER_BIT = 4;
const ROWS = 46;
/** Hertz around the centre that are drawn, in shifts. */
const SPAN = 1.5;
/** Bits that the window of the spectrogram takes. */
const WINDOW_BITS = 1.6;

const small = (fill: string, anchor = 'end') => ({ 'font-size': FONT, fill, 'text-anchor': anchor });

function drawSpectrum(
  samples: Float32Array,
  sampleRate: number,
  { grid }: CallStructure,
  firstBit: number,
  bits: number,
  top: number,
): string {
  const { start, bitRate, bHz, yHz } = grid;
  const centre = (bHz + yHz) / 2;
  const span = SPAN * Math.abs(bHz - yHz);
  const lowHz = Math.max(0, centre - span);
  const highHz = Math.min(sampleRate / 2, centre + span);
  const fromSeconds = start + firstBit / bitRate;
  const image = spectrogramImage(
    spectrogram(samples, {
      sampleRate,
      fromSeconds,
      toSeconds: fromSeconds + bits / bitRate,
      columns: bits * COLUMNS_PER_BIT,
      rows: ROWS,
      lowHz,
      highHz,
      windowSeconds: WINDOW_BITS / bitRate,
    }),
  );
  const y = (hz: number) => top + (1 - (hz - lowHz) / (highHz - lowHz)) * SPECTRUM_HEIGHT;
  return [
    element('image', {
      x: LEFT,
      y: top,
      width: bits * BIT_WIDTH,
      height: SPECTRUM_HEIGHT,
      preserveAspectRatio: 'none',
      href: image,
    }),
    label(LEFT - 6, y(bHz) + 4, 'B', { ...small(COLOUR.b), 'font-weight': 'bold' }),
    label(LEFT - 6, y(yHz) + 4, 'Y', { ...small(COLOUR.y), 'font-weight': 'bold' }),
  ].join('');
}

/** Amplitude that a bar of full height stands for: what nine bits in ten do not exceed. */
function fullAmplitude({ tones }: CallStructure): number {
  const sorted = tones.b.map((power, i) => Math.sqrt(Math.max(power, tones.y[i]))).sort();
  return 1.15 * (sorted[Math.floor(0.9 * (sorted.length - 1))] || 1);
}

function drawBits(structure: CallStructure, firstBit: number, bits: number, top: number): string {
  const { tones, dots } = structure;
  const full = fullAmplitude(structure);
  const middle = top + ENERGY_HEIGHT / 2;
  const height = (power: number) => Math.min(1, Math.sqrt(power) / full) * (ENERGY_HEIGHT / 2);
  const bars: Record<'b' | 'y' | 'bCells' | 'yCells', string> = { b: '', y: '', bCells: '', yCells: '' };
  const path = (x: number, y: number, width: number, tall: number) =>
    `M${x.toFixed(1)} ${y.toFixed(1)}h${width.toFixed(1)}v${tall.toFixed(1)}h${(-width).toFixed(1)}z`;
  for (let i = 0; i < bits; i++) {
    const index = firstBit + i + dots;
    const x = LEFT + i * BIT_WIDTH;
    bars.b += path(x + 0.6, middle, BIT_WIDTH - 1.2, -height(tones.b[index]));
    bars.y += path(x + 0.6, middle, BIT_WIDTH - 1.2, height(tones.y[index]));
    const cell = path(x + 0.4, top + ENERGY_HEIGHT + 3, BIT_WIDTH - 0.8, BITS_HEIGHT);
    if (tones.bits[index] === 0) bars.bCells += cell;
    else bars.yCells += cell;
  }
  return [
    element('path', { d: `${bars.b}${bars.bCells}`, fill: COLOUR.b }),
    element('path', { d: `${bars.y}${bars.yCells}`, fill: COLOUR.y }),
    line(LEFT, middle, LEFT + bits * BIT_WIDTH, middle, { stroke: COLOUR.ink, 'stroke-width': 0.5 }),
    label(LEFT - 6, middle + 4, 'energy', small(COLOUR.muted)),
    label(LEFT - 6, top + ENERGY_HEIGHT + 3 + BITS_HEIGHT, 'bits', small(COLOUR.muted)),
  ].join('');
}

function drawSlot(slot: ReceivedSlot, x: number, top: number): string {
  const isRight = !slot.isLost && slot.received === slot.symbol;
  const fill =
    slot.character === undefined
      ? COLOUR.phasing
      : slot.position === 'DX'
        ? COLOUR.characters
        : COLOUR.repeated;
  const text = slot.isLost ? '?' : slot.received === undefined ? '✕' : String(slot.received).padStart(2, '0');
  return [
    rect(x + 0.5, top, SLOT_WIDTH - 1, SLOT_HEIGHT, { fill, stroke: isRight ? 'none' : COLOUR.bad }),
    label(x + 4, top + 12, slot.position, { 'font-size': 8, fill: COLOUR.muted }),
    label(x + SLOT_WIDTH - 6, top + 12.5, text, {
      'font-size': 11,
      'font-weight': 'bold',
      'text-anchor': 'end',
      fill: isRight ? COLOUR.ink : COLOUR.bad,
    }),
  ].join('');
}

/** The names of the fields under the slots of their first sending. */
function drawFields(structure: CallStructure, firstSlot: number, slots: number, top: number): string {
  return structure.fields
    .map(({ label: name, firstSlot: from, endSlot }) => {
      const first = Math.max(from, firstSlot);
      const end = Math.min(endSlot + 1, firstSlot + slots);
      if (end <= first) return '';
      const x = LEFT + (first - firstSlot) * SLOT_WIDTH;
      const width = (end - first) * SLOT_WIDTH;
      const bracket = line(x + 2, top + 3, x + width - 2, top + 3, { stroke: COLOUR.muted });
      const fits = textWidth(name, FONT) <= width;
      return bracket + (fits ? label(x + 2, top + 13, name, small(COLOUR.muted, 'start')) : '');
    })
    .join('');
}

/** Draws a call bit by bit with its upper edge at `top`. */
export function drawStrips(
  samples: Float32Array,
  sampleRate: number,
  structure: CallStructure,
  top: number,
): Piece {
  const { slots, dots } = structure;
  // The first strip begins with the end of the dots, where there are some.
  const lead = Math.min(2, Math.floor(dots / BITS_PER_SYMBOL));
  const whole = lead + slots.length;
  const pieces: string[] = [];
  let y = top;
  for (let at = 0; at < whole; at += SLOTS_PER_STRIP) {
    const count = Math.min(SLOTS_PER_STRIP, whole - at);
    const firstSlot = at - lead;
    const firstBit = firstSlot * BITS_PER_SYMBOL;
    const bits = count * BITS_PER_SYMBOL;
    const energyTop = y + SPECTRUM_HEIGHT + 4;
    const slotTop = energyTop + ENERGY_HEIGHT + BITS_HEIGHT + 6;
    pieces.push(
      drawSpectrum(samples, sampleRate, structure, firstBit, bits, y),
      drawBits(structure, firstBit, bits, energyTop),
      ...Array.from({ length: count }, (_, i) => {
        const x = LEFT + i * SLOT_WIDTH;
        if (firstSlot + i >= 0) return drawSlot(slots[firstSlot + i], x, slotTop);
        return (
          rect(x + 0.5, slotTop, SLOT_WIDTH - 1, SLOT_HEIGHT, { fill: COLOUR.dots }) +
          label(x + SLOT_WIDTH / 2, slotTop + 12, 'dots', small(COLOUR.muted, 'middle'))
        );
      }),
      drawFields(structure, firstSlot, count, slotTop + SLOT_HEIGHT),
    );
    y = slotTop + SLOT_HEIGHT + FIELD_HEIGHT + GAP;
  }
  return { markup: pieces.join(''), height: y - top };
}
