/**
 * The six parts of a sequence, each alone (ITU-R M.493 Annex 1 §2 and §3, from memory): dot pattern, phasing, format
 * specifier, content, end of sequence, error check.
 */
import {
  encodeCall,
  frameCall,
  modulateBits,
  symbolToBits,
  type AirSlot,
  type Call,
} from '../../../src/index.js';

/** The parts in the order in which they begin. */
export const PARTS = ['dots', 'phasing', 'format', 'content', 'eos', 'ecc'] as const;

/** A part of a sequence. */
export type Part = (typeof PARTS)[number];

/** Which part a slot belongs to, in a call of so many symbols, from one format specifier through the error check. */
export function partOf({ character }: Pick<AirSlot, 'character'>, symbolCount: number): Part {
  // The format specifier is sent twice, so that the error check is character number `symbolCount`.
  if (character === undefined) return 'phasing';
  if (character < 2) return 'format';
  if (character < symbolCount - 1) return 'content';
  return character === symbolCount ? 'ecc' : 'eos';
}

/** The audio of one part of an MF/HF call: its slots in the order in which they go out, the others left out. */
export function partAudio(call: Call, part: Part, sampleRate: number): Float32Array {
  const { symbols } = encodeCall(call);
  const frame = frameCall(symbols, { band: 'mf-hf' });
  const [{ dots, slots }] = frame.sendings;
  const bits =
    part === 'dots'
      ? frame.bits.subarray(0, dots)
      : slots
          .filter((slot) => partOf(slot, symbols.length) === part)
          .flatMap(({ symbol }) => [...symbolToBits(symbol)]);
  return modulateBits(bits, { sampleRate });
}
