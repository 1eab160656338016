/**
 * Drawings for the learner's page.
 */
import { BITS_PER_SYMBOL, MODULATIONS, encodeCall, frameCall, type AirSlot } from '../../src/index.js';
import { ALERT } from './sounds/calls.js';
import { PARTS, partOf, type Part } from './sounds/parts.js';
import {
  CONTENT,
  END,
  FORMAT,
  INK,
  JOIN,
  PAPER,
  PHASING,
  SOFT,
  drawing,
  line,
  rect,
  text,
} from './shapes.js';

const { symbols } = encodeCall(ALERT);
const frame = frameCall(symbols, { band: 'mf-hf' });
const [{ dots, slots }] = frame.sendings;
const { baud } = MODULATIONS['mf-hf'];
const small = (more = '') => `fill="${SOFT}" font-size="12" ${more}`;

const PART_NAMES: Readonly<Record<Part, readonly [name: string, fill: string]>> = {
  dots: ['dot pattern', PHASING],
  phasing: ['phasing', '#d9cfae'],
  format: ['format specifier', FORMAT],
  content: ['content', CONTENT],
  eos: ['end of sequence', END],
  ecc: ['error check', '#c9a0b4'],
};

/** An alert to scale, DX over RX, in the colours of its parts. */
function drawParts(): string {
  const [left, wide, top, tall] = [34, 930, 34, 26];
  const x = (seconds: number) => left + (seconds / frame.duration) * wide;
  const slotSeconds = BITS_PER_SYMBOL / baud;
  const cells = slots.map((slot, i) => {
    const from = dots / baud + i * slotSeconds;
    const y = slot.position === 'DX' ? top : top + tall + 6;
    return rect(x(from), y, x(slotSeconds) - left - 1, tall, PART_NAMES[partOf(slot, symbols.length)][1]);
  });
  const ticks = Array.from({ length: 8 }, (_, second) =>
    [
      line(x(second), 98, x(second), 104, SOFT),
      text(x(second), 118, second, small('text-anchor="middle"')),
    ].join(''),
  );
  const legend = PARTS.map((part, i) => {
    const [name, fill] = PART_NAMES[part];
    const at = left + i * 155;
    return rect(at, 140, 16, 16, fill) + text(at + 22, 153, name, '');
  });
  return drawing(980, 170, 'A distress alert on MF or HF to scale, in six parts', [
    text(left, 22, `${frame.duration.toFixed(1)} seconds, ${frame.bits.length} bits`, 'font-weight="bold"'),
    text(6, top + 18, 'DX', ''),
    text(6, top + tall + 24, 'RX', ''),
    rect(left, top, x(dots / baud) - left - 1, 2 * tall + 6, PART_NAMES.dots[1]),
    ...cells,
    ...ticks,
    text(left + wide, 132, 'seconds', small('text-anchor="end"')),
    ...legend,
  ]);
}

/** The slots that a crash takes in the drawing, from the first of them. */
const CRASH = { from: 17, slots: 4 } as const;

/** Slots of a call with a crash over some of them. */
function drawCrash(): string {
  const [step, cell, left, from, shown] = [38, 35, 40, 10, 22];
  const part = slots.slice(from, from + shown);
  const isLost = (i: number) => i + from >= CRASH.from && i + from < CRASH.from + CRASH.slots;
  const x = (i: number) => left + i * step;
  const y = ({ position }: AirSlot) => (position === 'DX' ? 30 : 92);
  const fill = ({ character }: AirSlot) =>
    character === undefined ? PHASING : character < 2 ? FORMAT : CONTENT;
  const cells = part.map((slot, i) => {
    const middle = x(i) + cell / 2;
    const cross = isLost(i)
      ? line(x(i) + 4, y(slot) + 4, x(i) + cell - 4, y(slot) + 24, JOIN, ' stroke-width="2.5"')
      : '';
    return rect(x(i), y(slot), cell, 28, fill(slot)) + text(middle, y(slot) + 19, slot.symbol) + cross;
  });
  const joins = part.map((slot, i) => {
    const again = part.findIndex((other, j) => j > i && other.character === slot.character);
    if (slot.character === undefined || again < 0 || !(isLost(i) || isLost(again))) return '';
    return line(x(i) + cell / 2, 58, x(again) + cell / 2, 92, JOIN, ' stroke-width="1.4"');
  });
  const begin = x(CRASH.from - from) - 2;
  return drawing(x(shown) + 10, 140, 'A crash of 400 ms takes four slots, and no character twice', [
    rect(begin, 14, CRASH.slots * step, 116, '#dccdd4'),
    text(
      begin + (CRASH.slots * step) / 2,
      11,
      '400 ms of static',
      `text-anchor="middle" fill="${JOIN}" font-size="12"`,
    ),
    text(8, 49, 'DX', ''),
    text(8, 111, 'RX', ''),
    ...joins,
    ...cells,
  ]);
}

/** Identities with their digits in boxes. */
function drawIdentities(): string {
  const rows = [
    ['a ship', '', '299', '123456'],
    ['a group of ships', '0', '299', '12345'],
    ['a coast station', '00', '299', '1234'],
  ] as const;
  const fills = [FORMAT, CONTENT, END];
  const [cell, left] = [40, 170];
  const lines = rows.flatMap(([name, ...groups], row) => {
    const y = 12 + row * 46;
    const digits = groups.flatMap((group, i) => Array.from(group, (digit) => [digit, fills[i]] as const));
    return [
      text(8, y + 23, name, 'font-size="15"'),
      ...digits.map(
        ([digit, fill], i) =>
          rect(left + i * cell, y, cell - 3, 34, fill) +
          text(left + i * cell + 18, y + 23, digit, 'text-anchor="middle" font-size="17"'),
      ),
    ];
  });
  const legend = ['zeros: what kind', 'MID: whose', 'its own number'].map(
    (words, i) => rect(560, 18 + i * 40, 16, 16, fills[i]) + text(584, 31 + i * 40, words, ''),
  );
  return drawing(720, 150, 'Identities of a ship, a group and a coast station', [...lines, ...legend]);
}

/** What happens in the minutes of a distress attempt on MF or HF. */
function drawAttempt(): string {
  const [left, minute, y] = [110, 160, 44];
  const x = (minutes: number) => left + minutes * minute;
  const burst = (from: number) =>
    Array.from({ length: 5 }, (_, i) =>
      rect(x(from + (i * frame.duration) / 60), y, (frame.duration / 60) * minute - 1, 30, '#dba36f'),
    ).join('');
  const marks = [0, 1, 2, 3, 4, 5].map(
    (at) => line(x(at), 168, x(at), 175, SOFT) + text(x(at), 190, `${at} min`, small('text-anchor="middle"')),
  );
  return drawing(970, 204, 'A distress attempt on MF or HF over time', [
    text(8, y + 20, 'ship', ''),
    text(8, y + 85, 'coast station', ''),
    line(left, y + 30, x(5.2), y + 30, INK),
    line(left, y + 95, x(5.2), y + 95, INK),
    burst(0),
    text(x(0), y - 10, 'five alerts, 36 s', ''),
    text(x(0.7), y + 20, 'listens', small()),
    rect(x(1), y + 65, x(2.75) - x(1), 30, CONTENT),
    text(x(1.875), y + 84, 'acknowledges within this time'),
    rect(x(3.5), y, x(4.5) - x(3.5), 30, PAPER),
    `<rect x="${x(3.5)}" y="${y}" width="${x(4.5) - x(3.5)}" height="30" fill="none" stroke="${JOIN}" stroke-dasharray="5 4"/>`,
    text(x(4), y + 20, 'or begins again'),
    text(x(4), y - 10, '3.5 to 4.5 min from the beginning', `text-anchor="middle" ${small()}`),
    ...marks,
  ]);
}

/** The drawings by file name. */
export function createLesson(): [string, string][] {
  return [
    ['lesson-parts.svg', drawParts()],
    ['lesson-crash.svg', drawCrash()],
    ['lesson-identities.svg', drawIdentities()],
    ['lesson-attempt.svg', drawAttempt()],
  ];
}
