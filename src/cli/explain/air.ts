/**
 * What goes on the air: how long it takes, and how a character becomes B and Y.
 */
import { MODULATIONS } from '../../modem/index.js';
import { BITS_PER_SYMBOL, bitsToLetters, symbolToBits, BIT_RATE } from '../../symbols/index.js';
import { INFORMATION_BITS, WEIGHTS, type Page } from './page.js';
import type { Sequence } from './sequence.js';

/** Draws the times and tones of a sequence of so many slots. */
export function drawTiming(page: Page, sequence: Sequence, slots: number): void {
  const { band, dots } = sequence;
  const baud = BIT_RATE[band];
  const { centreHz, shiftHz } = MODULATIONS[band];
  const name = band === 'vhf' ? 'VHF channel 70' : 'MF/HF';
  const bits = slots * BITS_PER_SYMBOL;
  const all = (dots ?? 0) + bits;
  const count = dots === undefined ? '' : `${dots} dots + `;
  const total = dots === undefined ? '' : ` = ${all} bits`;
  page.heading('ON THE AIR', 'every character twice: DX first, RX four characters later');
  page.text(
    `${name}, ${baud} Bd: ${count}${slots} slots × ${BITS_PER_SYMBOL} bits${total}, ${(all / baud).toFixed(2)} s. ` +
      `${page.letters('B')} is the higher tone, ${centreHz + shiftHz / 2} Hz, ` +
      `${page.letters('Y')} the lower, ${centreHz - shiftHz / 2} Hz.`,
  );
}

/** Draws one character's way to its ten bits. */
export function drawWorkedCharacter(page: Page, symbol: number): void {
  const bits = symbolToBits(symbol).slice(0, INFORMATION_BITS);
  const weights = WEIGHTS.filter((_, bit) => bits[bit] === 1);
  const sum = weights.length > 1 ? `${weights.join(' + ')} = ${symbol}` : String(symbol);
  const count = INFORMATION_BITS - weights.length;
  const check = bitsToLetters(symbolToBits(symbol)).slice(INFORMATION_BITS);
  page.text(
    `Bits 1 to 7 are worth ${WEIGHTS.join(', ')} where they are Y; bits 8 to 10 count the Bs among them, worth 4, 2, 1. ` +
      `So ${symbol} is ${page.bits(symbol)}: ${sum}, and ${count} Bs make ${page.letters(check)}.`,
  );
}
