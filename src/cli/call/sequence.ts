/**
 * What goes out, as it goes out: the dot pattern, the phasing and the characters in DX and RX, by their time on the air.
 */
import type { Frame } from '../../frames/index.js';
import { BIT_RATE, BITS_PER_SYMBOL } from '../../symbols/index.js';
import { SYMBOL_COLUMNS, spell } from '../explain/page.js';
import { labelSlots, type LabelledSlot } from '../explain/sequence.js';

/** Columns in front of the characters: seconds, and DX or RX. */
const HEAD_COLUMNS = 14;

/** So many slot pairs stand in a row at most. */
const MOST_PAIRS = 16;

/** Lines that are shown when what they say has gone out. */
interface Piece {
  /** Seconds on the air. */
  readonly end: number;
  readonly lines: readonly string[];
}

const seconds = (value: number) => `${value.toFixed(1)} s`;

/** The sequence of a call while it is sent. */
export class SentSequence {
  private readonly pieces: readonly Piece[];
  private readonly slots: readonly LabelledSlot[];
  private shown = 0;

  /**
   * @param columns - that the lines may take
   */
  constructor(
    private readonly frame: Frame,
    call: { readonly symbols: readonly number[]; readonly expansions: readonly (readonly number[])[] },
    columns: number,
  ) {
    this.slots = labelSlots({ band: frame.band, ...call });
    this.pieces = this.piecesOf(columns);
  }

  /** The lines of what has gone out since they were asked for last. */
  linesUntil(time: number): readonly string[] {
    const out = this.pieces.slice(this.shown).filter(({ end }) => end <= time);
    this.shown += out.length;
    return out.flatMap(({ lines }) => lines);
  }

  /** Where the sequence is at a time, in a line. */
  at(time: number): string {
    const { sendings, duration } = this.frame;
    const clock = `On the air ${time.toFixed(1)} of ${seconds(duration)}`;
    let begin = 0;
    for (const [i, { dots, slots }] of sendings.entries()) {
      const end = begin + this.time(dots + slots.length * BITS_PER_SYMBOL);
      const which = sendings.length > 1 ? `, sending ${i + 1} of ${sendings.length}` : '';
      if (time < end) return `${clock}${which}: ${this.slotAt(time - begin - this.time(dots))}`;
      begin = end;
    }
    return clock;
  }

  private time(bits: number): number {
    return bits / BIT_RATE[this.frame.band];
  }

  private slotAt(time: number): string {
    if (time < 0) return 'dots';
    const slot = this.slots.at(Math.floor(time / this.time(BITS_PER_SYMBOL)));
    return slot ? `${slot.position} ${spell(slot.symbol).trim()}, ${slot.label}` : '';
  }

  private piecesOf(columns: number): Piece[] {
    const pairs = Math.min(MOST_PAIRS, Math.floor((columns - HEAD_COLUMNS) / (SYMBOL_COLUMNS + 1)));
    const { sendings } = this.frame;
    const pieces: Piece[] = [];
    let begin = 0;
    for (const [i, { dots, slots }] of sendings.entries()) {
      const first = begin + this.time(dots);
      const end = first + this.time(slots.length * BITS_PER_SYMBOL);
      if (i === 0) {
        if (dots > 0) pieces.push({ end: first, lines: [`${head(begin)}${dots} dots`] });
        for (let at = 0; at < slots.length; at += 2 * pairs) {
          const part = slots.slice(at, at + 2 * pairs);
          const row = (position: 'DX' | 'RX') =>
            part
              .filter((slot) => slot.position === position)
              .map(({ symbol }) => spell(symbol))
              .join(' ');
          pieces.push({
            end: first + this.time((at + part.length) * BITS_PER_SYMBOL),
            lines: [
              `${head(first + this.time(at * BITS_PER_SYMBOL))}DX  ${row('DX')}`,
              `${' '.repeat(HEAD_COLUMNS - 4)}RX  ${row('RX')}`,
            ],
          });
        }
      } else {
        pieces.push({
          end,
          lines: [`${head(begin)}sending ${i + 1} of ${sendings.length}, the same again`],
        });
      }
      begin = end;
    }
    return pieces;
  }
}

/** Seconds on the air in front of a line. */
function head(time: number): string {
  return `${seconds(time).padStart(HEAD_COLUMNS - 6)}  `;
}
