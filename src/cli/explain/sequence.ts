/**
 * What an explanation is about: a sequence character by character, and how each sending of it was read.
 */
import { explainFields, type Character, type ExplainedField } from '../../calls/index.js';
import { airSlots, type AirSlot, type CharacterReading } from '../../frames/index.js';
import type { Band } from '../../symbols/index.js';

/** How a sequence was received. */
export interface Reception {
  /** Of each information character, both format specifiers first. */
  readonly characters: readonly CharacterReading[];
  /** What each phasing slot read as, by slot; undefined altogether where the receiver does not tell. */
  readonly phasing?: readonly (number | undefined)[];
  /** Seconds from the start of the recording to the first phasing character. */
  readonly start?: number;
  /** A sentence on how far the reading can be trusted. */
  readonly trust?: string;
}

/** A sequence to be explained. */
export interface Sequence {
  readonly band: Band;
  /** Bits of dot pattern; undefined where nobody knows. */
  readonly dots?: number;
  /** One format specifier through the error check. */
  readonly symbols: readonly number[];
  /** How certain each of them is, 0–1; default: all are. */
  readonly certainty?: readonly number[] | undefined;
  readonly expansions: readonly (readonly number[])[];
  readonly reception?: Reception;
}

/** One character with the name of its field and, in a longer field, its number there: `self-ID 3/5`. */
export interface LabelledCharacter {
  /** Null where not received. */
  readonly symbol: Character;
  readonly label: string;
  /** Number of its field in the sequence, from 0: characters of one field belong together. */
  readonly field: number;
}

/** A slot of the sequence with its label and how it read. */
export interface LabelledSlot extends Omit<AirSlot, 'symbol'> {
  /** Null where the character was not received in any sending. */
  readonly symbol: Character;
  readonly label: string;
  /** As in {@link LabelledCharacter}; undefined for phasing. */
  readonly field: number | undefined;
  /** The symbol read in it, undefined where its check bits disagree, `'untold'` where that is not known. */
  readonly read: number | undefined | 'untold';
}

function labelled({ label, symbols }: ExplainedField, field: number): LabelledCharacter[] {
  const part = (i: number) => (symbols.length > 1 ? ` ${i + 1}/${symbols.length}` : '');
  return symbols.map((symbol, i) => ({ symbol, label: label + part(i), field }));
}

/** The characters from one format specifier through the error check. */
export function labelCharacters({
  symbols,
  certainty,
}: Pick<Sequence, 'symbols' | 'certainty'>): LabelledCharacter[] {
  return explainFields(symbols, certainty).flatMap(labelled);
}

function labelExpansion(symbols: readonly number[], index: number, field: number): LabelledCharacter[] {
  const ends = ['end of sequence', 'error check'];
  const body = symbols.length - ends.length;
  return symbols.map((symbol, i) => ({
    symbol,
    label: i < body ? `expansion ${index + 1}: ${i + 1}/${body}` : ends[i - body],
    field: field + Math.max(0, i - body + 1),
  }));
}

/** Every slot of the sequence, DX and RX in turn. */
export function labelSlots({ symbols, certainty, expansions, reception }: Sequence): LabelledSlot[] {
  const closed = (part: LabelledCharacter[]) => {
    const eos = part[part.length - 2];
    return [...part, eos, eos];
  };
  const call = labelCharacters({ symbols, certainty });
  const fields = call[call.length - 1].field + 1;
  const characters = [
    call[0],
    ...closed(call),
    ...expansions.flatMap((part, i) => closed(labelExpansion(part, i, fields + 3 * i))),
  ];
  const readOf = (slot: AirSlot, at: number): LabelledSlot['read'] => {
    if (!reception) return 'untold';
    if (slot.character === undefined) return reception.phasing ? reception.phasing[at] : 'untold';
    const character = reception.characters.at(slot.character);
    if (!character) return 'untold';
    return slot.position === 'DX' ? character.dx : character.rx;
  };
  return airSlots(symbols, expansions).map((slot, at) => ({
    ...slot,
    symbol: slot.character === undefined ? slot.symbol : characters[slot.character].symbol,
    label: slot.character === undefined ? 'phasing' : characters[slot.character].label,
    field: slot.character === undefined ? undefined : characters[slot.character].field,
    read: readOf(slot, at),
  }));
}
