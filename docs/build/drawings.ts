/**
 * Drawings of a sequence for the page that explains it, as SVG.
 */
import { BITS_PER_SYMBOL, MODULATIONS, bitsToLetters, modulateBits, symbolToBits } from '../../src/index.js';
import type { AirSlot, ReceivedCall } from '../../src/index.js';
import {
  B,
  CONTENT,
  END,
  FORMAT,
  INK,
  JOIN,
  PAPER,
  PHASING,
  SOFT,
  Y,
  drawing,
  line,
  rect,
  text,
} from './shapes.js';

/** The first slots as two rows, DX over RX, each character joined to its repetition. */
export function drawSlots(slots: readonly AirSlot[]): string {
  const [step, cell, left, shown] = [30, 28, 40, 28];
  const x = (slot: number) => left + slot * step;
  const y = ({ position }: AirSlot) => (position === 'DX' ? 12 : 78);
  const first = slots.slice(0, shown);
  const fill = ({ character }: AirSlot) =>
    character === undefined ? PHASING : character < 2 ? FORMAT : CONTENT;
  const cells = first.map(
    (slot, i) => rect(x(i), y(slot), cell, 28, fill(slot)) + text(x(i) + cell / 2, y(slot) + 19, slot.symbol),
  );
  const joins = first.map((slot, i) => {
    const again = first.findIndex((other, j) => j > i && other.character === slot.character);
    if (slot.character === undefined || again < 0) return '';
    return line(x(i) + cell / 2, 40, x(again) + cell / 2, 78, JOIN, ' stroke-width="1.2"');
  });
  return drawing(
    x(shown) + 12,
    118,
    `The first ${shown} slots: DX above, RX below, each character joined to its repetition`,
    [text(8, 31, 'DX', ''), text(8, 97, 'RX', ''), ...joins, ...cells],
  );
}

/** A character as ten bits, and the sound of three of them where the tone changes. */
export function drawBits(symbol: number): string {
  const bits = [...symbolToBits(symbol)];
  const letters = Array.from(bitsToLetters(bits));
  const [left, width, wide] = [70, 64, 720];
  const colour = (letter: string) => (letter === 'B' ? B : Y);
  const steps = letters.map((letter, i) => {
    const [x, y] = [left + i * width, letter === 'B' ? 34 : 62];
    return rect(x, y, width - 2, 14, colour(letter)) + text(x + width / 2 - 1, 104, letter);
  });
  const places = letters.map((_, i) =>
    text(
      left + i * width + width / 2 - 1,
      122,
      i < 7 ? 2 ** i : 2 ** (9 - i),
      `text-anchor="middle" fill="${SOFT}" font-size="11"`,
    ),
  );
  const change = letters.findIndex((letter, i) => i > 0 && letter !== letters[i - 1]);
  const shown = [change - 1, change, change + 1];
  const sampleRate = 48_000;
  const bitSamples = sampleRate / MODULATIONS['mf-hf'].baud;
  const samples = modulateBits(bits, { sampleRate }).subarray(
    shown[0] * bitSamples,
    (change + 2) * bitSamples,
  );
  const [top, tall] = [160, 60];
  const scale = (BITS_PER_SYMBOL * width) / samples.length;
  const points = [...samples].map(
    (value, n) => `${(left + n * scale).toFixed(1)} ${(top + tall / 2 - value * tall).toFixed(1)}`,
  );
  const thirds = shown.map((bit, i) => {
    const x = left + (i * BITS_PER_SYMBOL * width) / 3;
    const cycles = letters[bit] === 'B' ? 17.85 : 16.15;
    return (
      text(x + 8, top - 8, `${letters[bit]}: ${cycles} cycles in 10 ms`, `fill="${colour(letters[bit])}"`) +
      line(x, top - 22, x, top + tall + 4, SOFT, ' stroke-dasharray="3 3"')
    );
  });
  return drawing(wide, 236, `Character ${symbol} as ten bits, and the sound of three of them`, [
    text(8, 46, 'B 1785 Hz', 'font-size="11"'),
    text(8, 74, 'Y 1615 Hz', 'font-size="11"'),
    text(8, 104, 'bit', 'font-size="11"'),
    text(8, 122, 'worth', `fill="${SOFT}" font-size="11"`),
    ...steps,
    ...places,
    line(left + 7 * width - 1, 26, left + 7 * width - 1, 126, INK),
    text(
      left + 3.5 * width,
      18,
      'the number, Y counts',
      `text-anchor="middle" fill="${SOFT}" font-size="11"`,
    ),
    text(left + 8.5 * width, 18, 'how many B', `text-anchor="middle" fill="${SOFT}" font-size="11"`),
    ...thirds,
    `<path d="M${points.join('L')}" fill="none" stroke="${INK}" stroke-width="0.9"/>`,
  ]);
}

/** What each character was read as, DX and RX, over what was decided. */
export function drawReadings({ characters, symbols }: ReceivedCall): string {
  const decided = [symbols[0], ...symbols];
  const [step, cell, left] = [36, 34, 74];
  const rows = ['DX', 'RX', 'decided'];
  const cells = decided.flatMap((symbol, i) => {
    const { dx, rx } = characters[i];
    return [dx, rx, symbol].map((read, row) => {
      const isBad = read !== symbol;
      const [x, y] = [left + i * step, 10 + row * 32 + (row === 2 ? 8 : 0)];
      const fill = row === 2 ? (dx === symbol || rx === symbol ? CONTENT : FORMAT) : isBad ? PAPER : END;
      return (
        rect(x, y, cell, 28, fill) +
        text(
          x + cell / 2,
          y + 19,
          read ?? '✕',
          `text-anchor="middle"${isBad ? ` fill="${JOIN}" font-weight="bold"` : ''}`,
        )
      );
    });
  });
  return drawing(
    left + decided.length * step + 8,
    118,
    'What each character was read as in DX and in RX, and what was decided',
    [...rows.map((name, row) => text(8, 29 + row * 32 + (row === 2 ? 8 : 0), name, '')), ...cells],
  );
}
