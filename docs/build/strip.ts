/**
 * A whole sequence as a strip of characters, DX over RX, that a sound plays through: an SVG for within a page, in the
 * colours of the page, and what sounds in each of its cells and when.
 */
import { BITS_PER_SYMBOL, MODULATIONS, explainFields, type Frame } from '../../src/index.js';

/** What sounds when: seconds in the audio, the cell of the strip, and words. */
export interface Cue {
  readonly from: number;
  readonly to: number;
  readonly cell: string;
  readonly says: string;
}

/** Fields of calls by their keys: short names that fit over their cells, and the tints of the theme. */
const FIELDS: ReadonlyMap<string, readonly [name: string, tint: string]> = new Map([
  ['format', ['format', 'format']],
  ['self', ['self-identification', 'self']],
  ['nature', ['nature', 'nature']],
  ['position', ['position', 'position']],
  ['time', ['time', 'time']],
  ['followOn', ['follow-on', 'command']],
  ['eos', ['EOS', 'end']],
  ['errorCheck', ['ECC', 'check']],
]);

interface Character {
  readonly field: string;
  readonly label: string;
  /** Whether it opens its field. */
  readonly isFirst: boolean;
}

/** The characters as they are sent: the format specifier twice, the end of sequence three times. */
function charactersOf(symbols: readonly number[]): Character[] {
  const each = explainFields(symbols).flatMap(({ field, label, symbols: own }) =>
    own.map((_, i): Character => ({ field, label, isFirst: i === 0 })),
  );
  const [format] = each;
  const end = each[each.length - 2];
  return [format, { ...format, isFirst: false }, ...each.slice(1), end, { ...end, isFirst: false }];
}

const SLOTS_PER_LINE = 26;
const [STEP, CELL, TALL, LEFT, DOTS] = [38, 35, 28, 40, 88];
const [LINE, DX_Y, RX_Y] = [124, 24, 62];
const DOTS_CELL = 'dots';

/**
 * The strip of a frame with one sending.
 *
 * @param symbols - of its call, from one format specifier through the error check
 * @param start - when it begins in the audio, seconds
 */
export function drawStrip(
  { band, sendings: [{ dots, slots }] }: Frame,
  symbols: readonly number[],
  start: number,
): { svg: string; cues: Cue[] } {
  const characters = charactersOf(symbols);
  const { baud } = MODULATIONS[band];
  const slotStart = (slot: number) => start + (dots + slot * BITS_PER_SYMBOL) / baud;
  const place = (slot: number) => {
    const line = Math.floor(slot / SLOTS_PER_LINE);
    const x = LEFT + (line === 0 ? DOTS : 0) + (slot % SLOTS_PER_LINE) * STEP;
    return { x, y: line * LINE + (slots[slot].position === 'DX' ? DX_Y : RX_Y) };
  };
  const fieldOf = (slot: number): readonly [name: string, tint: string] => {
    const { character } = slots[slot];
    if (character === undefined) return ['phasing', 'phasing'];
    const { field, label } = characters[character];
    return FIELDS.get(field) ?? [label, 'message'];
  };

  const cell = (
    name: string,
    x: number,
    y: number,
    width: number,
    tall: number,
    tint: string,
    text: string,
  ) =>
    `<g data-cell="${name}"><rect x="${x}" y="${y}" width="${width}" height="${tall}" class="tint-${tint}"/>` +
    `<text x="${x + width / 2}" y="${y + tall / 2 + 5}" text-anchor="middle">${text}</text></g>`;

  const cells = slots.map(({ symbol }, slot) => {
    const { x, y } = place(slot);
    return cell(String(slot), x, y, CELL, TALL, fieldOf(slot)[1], String(symbol));
  });
  const names = slots.map(({ position, character }, slot) => {
    const opens = character === undefined ? slot === 0 : characters[character].isFirst;
    if (position === 'RX' || !opens) return '';
    const { x, y } = place(slot);
    return `<text x="${x}" y="${y - 7}" class="small">${fieldOf(slot)[0]}</text>`;
  });
  const lines = Math.ceil(slots.length / SLOTS_PER_LINE);
  const rows = Array.from({ length: lines }, (_, line) =>
    [
      ['DX', DX_Y],
      ['RX', RX_Y],
    ].map(([name, y]) => `<text x="4" y="${line * LINE + Number(y) + 19}">${name}</text>`),
  ).flat();

  const cues: Cue[] = slots.map(({ symbol, position, character }, slot) => {
    const what = character === undefined ? 'phasing' : characters[character].label;
    const again = position === 'RX' && character !== undefined ? ', again' : '';
    return {
      from: slotStart(slot),
      to: slotStart(slot + 1),
      cell: String(slot),
      says: `${position}: ${symbol}, ${what}${again}`,
    };
  });
  if (dots > 0) {
    cells.unshift(cell(DOTS_CELL, LEFT, DX_Y, DOTS - 3, RX_Y - DX_Y + TALL, 'phasing', `${dots} dots`));
    cues.unshift({
      from: start,
      to: slotStart(0),
      cell: DOTS_CELL,
      says: `dot pattern: ${dots} bits, B and Y in turn`,
    });
  }
  const width = LEFT + DOTS + SLOTS_PER_LINE * STEP + 4;
  const height = lines * LINE - 24;
  const svg =
    `<svg class="strip-drawing" viewBox="0 0 ${width} ${height}" role="img" aria-label="All ${slots.length} slots of the call, DX over RX, in ${lines} lines">` +
    [...rows, ...names, ...cells].join('') +
    '</svg>';
  return { svg, cues };
}
