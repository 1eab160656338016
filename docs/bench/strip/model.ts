/**
 * Which field each character of an air sequence belongs to.
 */
import type { Frame, AirSlot, Character, ExplainedField } from 'dotphase';

/** A run of characters that stands for one thing. */
export interface Run {
  /** Chooses the tint: the field's name, or `phasing`, `closing`, `expansion`. */
  readonly tint: string;
  readonly label: string;
  /** Null where not received. */
  readonly symbols: readonly Character[];
  readonly digits?: string | undefined;
  readonly meaning: string;
}

/** The fields as runs in the order of the information characters, and the run of each character. */
export interface Runs {
  readonly runs: readonly Run[];
  /** Index into `runs` for each information character. */
  readonly ofCharacter: readonly number[];
}

const FORMAT_SENDINGS = 2;

/**
 * The runs of all information characters.
 *
 * @param fields - of the call, through the error check
 * @param expansions - the expansion sequences that follow it
 * @param count - information characters in all
 * @param check - the run of the error check, where it says more than the field does
 */
export function findRuns(
  fields: readonly ExplainedField[],
  expansions: readonly (readonly number[])[],
  count: number,
): Runs {
  const runs: Run[] = [];
  const ofCharacter: number[] = [];
  const add = (run: Run, sent = run.symbols.length) => {
    runs.push(run);
    for (let i = 0; i < sent; i++) ofCharacter.push(runs.length - 1);
  };
  const close = (label: string) => {
    const eos = fields.find(({ field }) => field === 'eos')?.symbols[0] ?? null;
    const symbols = Array.from({ length: Math.min(2, Math.max(0, count - ofCharacter.length)) }, () => eos);
    if (symbols.length > 0) {
      add({ tint: 'closing', label, symbols, meaning: 'the end of sequence twice more, so that RX can end' });
    }
  };
  for (const field of fields) {
    const tint = field.field;
    add({ ...field, tint }, tint === 'format' ? FORMAT_SENDINGS : field.symbols.length);
  }
  close('closing');
  expansions.forEach((symbols, i) => {
    const label = expansions.length === 1 ? 'expansion' : `expansion ${i + 1}`;
    add({ tint: 'expansion', label, symbols, meaning: 'says the call more precisely' });
    close(`closing ${label}`);
  });
  return { runs, ofCharacter };
}

/** A slot placed on the time axis. */
export interface PlacedSlot {
  readonly slot: AirSlot;
  /** Index of its first bit within the sending, dots included. */
  readonly bit: number;
  /** Index into the runs; undefined for phasing. */
  readonly run: number | undefined;
}

/** The slots of the first sending on the time axis. */
export function placeSlots(sequence: Frame, runs: Runs): PlacedSlot[] {
  const [sending] = sequence.sendings;
  return sending.slots.map((slot, i) => ({
    slot,
    bit: sending.dots + 10 * i,
    run: slot.character === undefined ? undefined : runs.ofCharacter[slot.character],
  }));
}
