/**
 * The parts of a received call over time: dot pattern, phasing, characters (ITU-R M.493 Annex 1 §2 and §3, from
 * memory).
 */
import { certainCharacters, explainFields } from '../calls/index.js';
import { airSlots, type AirSlot } from '../frames/index.js';
import { MODULATIONS } from '../modem/index.js';
import type { ReceivedCall } from '../receiver/index.js';
import { BITS_PER_SYMBOL, bitsToSymbol } from '../symbols/index.js';
import { toneEnergies, type BitGrid, type ToneEnergies } from './tones.js';

/** What the structure of a call is found from. */
export type CallInAudio = Pick<
  ReceivedCall,
  'start' | 'end' | 'baud' | 'centreHz' | 'inverted' | 'symbols' | 'expansions'
> &
  Partial<Pick<ReceivedCall, 'certainty'>>;

/** A slot and what was received in it. */
export interface ReceivedSlot extends AirSlot {
  /** The symbol whose ten bits were received, undefined where the check bits disagree. */
  readonly received: number | undefined;
  /** Whether its character was received in none of its sendings, so that what this slot reads is no reading of it. */
  readonly isLost: boolean;
}

/** A run of slots that carries the first sending of one field. */
export interface FieldSpan {
  /** The field's name for people, such as `self-ID`. */
  readonly label: string;
  /** Number of its first DX slot, from 0 for the first phasing character. */
  readonly firstSlot: number;
  /** Number of the slot behind its last DX slot. */
  readonly endSlot: number;
}

/** A call taken apart over time. */
export interface CallStructure {
  /** Bit 0 is the first of the first phasing character. */
  readonly grid: BitGrid;
  /** Bits of dot pattern before bit 0 that were heard. */
  readonly dots: number;
  /** Both tones, from the first dot to the last bit of the last slot. */
  readonly tones: ToneEnergies;
  readonly slots: readonly ReceivedSlot[];
  /** Slots that hold nothing but phasing characters. */
  readonly phasingSlots: number;
  /** The fields of the call, then its closing characters; without the expansions. */
  readonly fields: readonly FieldSpan[];
}

const LONGEST_DOTS = 200;

function slotsOf(call: CallInAudio): AirSlot[] {
  const framings = (['end', 'check'] as const).map((after) => airSlots(call.symbols, call.expansions, after));
  const heard = ((call.end - call.start) * call.baud) / BITS_PER_SYMBOL;
  const miss = (slots: readonly AirSlot[]) => Math.abs(slots.length - heard);
  return miss(framings[1]) < miss(framings[0]) ? framings[1] : framings[0];
}

function gridOf(call: CallInAudio, bits: number): BitGrid {
  const half = Object.values(MODULATIONS).find(({ baud }) => baud === call.baud)?.shiftHz ?? 0;
  const up = ((call.inverted ? -1 : 1) * half) / 2;
  return {
    start: call.start,
    bitRate: bits / (call.end - call.start),
    bHz: call.centreHz + up,
    yHz: call.centreHz - up,
  };
}

/** How many bits before the first slot alternate: the length at which most agree. */
function countDots(bits: Uint8Array): number {
  let score = 0;
  let best = 0;
  let dots = 0;
  for (let count = 1; count <= bits.length; count++) {
    score += bits[bits.length - count] === count % 2 ? 1 : -2;
    if (score > best) [best, dots] = [score, count];
  }
  return dots < 6 ? 0 : dots - (dots % 2);
}

function fieldSpans({ symbols, certainty }: CallInAudio, slots: readonly AirSlot[]): FieldSpan[] {
  const slotOf = (character: number) =>
    slots.findIndex((slot) => slot.position === 'DX' && slot.character === character);
  let character = 0;
  return explainFields(symbols, certainty).map(({ label, symbols: own }, i) => {
    const first = character;
    character += own.length + (i === 0 ? 1 : 0);
    return { label, firstSlot: slotOf(first), endSlot: slotOf(character - 1) + 1 };
  });
}

/** The information characters that were not received: the format specifier stands twice, and the end closes the call. */
function lostCharacters({ symbols, certainty }: CallInAudio): ReadonlySet<number> {
  const characters = certainCharacters(symbols, certainty);
  const end = characters[characters.length - 2];
  const sent = [characters[0], ...characters, end, end];
  return new Set(sent.flatMap((character, i) => (character === null ? [i] : [])));
}

/**
 * Takes a received call apart.
 *
 * @param samples - the recording that it was received from, full scale ±1
 * @param sampleRate - samples per second
 */
export function callStructure(samples: Float32Array, sampleRate: number, call: CallInAudio): CallStructure {
  const slots = slotsOf(call);
  const lost = lostCharacters(call);
  const bits = slots.length * BITS_PER_SYMBOL;
  const grid = gridOf(call, bits);
  const before = toneEnergies(samples, sampleRate, grid, -LONGEST_DOTS, LONGEST_DOTS);
  const dots = countDots(before.bits);
  const tones = toneEnergies(samples, sampleRate, grid, -dots, dots + bits);
  return {
    grid,
    dots,
    tones,
    slots: slots.map((slot, i) => ({
      ...slot,
      received: bitsToSymbol(tones.bits, dots + i * BITS_PER_SYMBOL),
      isLost: slot.character !== undefined && lost.has(slot.character),
    })),
    phasingSlots: slots.findIndex((slot) => slot.character !== undefined),
    fields: fieldSpans(call, slots),
  };
}
