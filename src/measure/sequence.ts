/**
 * Whether the characters sent follow the sequence of the standard (ITU-R M.493 Annex 1 §2–§3, from memory).
 */
import { PHASING_DX_COUNT, PHASING_RX, RX_DELAY_PAIRS } from '../frames/index.js';
import { PHASING_DX, errorCheck } from '../symbols/index.js';
import type { SentSlot } from './sent.js';

/** A character that was sent otherwise in DX and RX, or otherwise than the call needs. */
export interface OddCharacter {
  readonly position: 'DX' | 'RX';
  /** Index of the information character, 0 for the first format specifier; undefined for phasing. */
  readonly character: number | undefined;
  readonly expected: number;
  /** Null where the ten bits are no character. */
  readonly sent: number | null;
}

/** The sequence as it was sent. */
export interface SentSequence {
  /** Characters in DX, null where the ten bits are no character. */
  readonly dx: readonly (number | null)[];
  /** Characters in RX, likewise. */
  readonly rx: readonly (number | null)[];
  /** Phasing characters in their places in DX, of 6. */
  readonly phasingDx: number;
  /** Phasing characters in their places in RX, of 8. */
  readonly phasingRx: number;
  /** Characters between the two sendings of a character: 4 by the standard; undefined where RX repeats nothing. */
  readonly charactersBetween: number | undefined;
  /** Characters that differ from what the call needs, where RX has the right delay: with another the call is read in doubt. */
  readonly odd: readonly OddCharacter[];
  /** Information characters that differ between DX and RX. */
  readonly unequal: number;
  /**
   * Whether the error check sent agrees with the characters before it, each from DX, or from RX where its ten bits in
   * DX are no character; undefined where one is none in both.
   */
  readonly errorCheckAgrees: boolean | undefined;
  /** Ends of sequence in DX, 3 by the standard, and in RX, 1. */
  readonly endsDx: number;
  readonly endsRx: number;
  /** Slots in which the audio was not clear enough to tell wrong characters from noise. */
  readonly unclear: number;
}

const LONGEST_DELAY_PAIRS = 8;
/** RX repeats DX with a delay where most of its characters do. */
const LEAST_REPEATED = 0.7;

/** @param length - information characters in DX of the call without its expansions */
export function readSequence(slots: readonly SentSlot[], length: number): SentSequence {
  const dx = slots.filter((_, slot) => slot % 2 === 0).map(({ sent }) => sent);
  const rx = slots.filter((_, slot) => slot % 2 === 1).map(({ sent }) => sent);
  const information = dx.slice(PHASING_DX_COUNT);

  const repeated = Array.from({ length: LONGEST_DELAY_PAIRS + 1 }, (_, pairs) => {
    const compared = information
      .map((symbol, i) => [symbol, rx.at(i + PHASING_DX_COUNT + pairs)] as const)
      .filter(([, again]) => again !== undefined);
    return compared.filter(([symbol, again]) => symbol === again).length / Math.max(1, compared.length);
  });
  const best = repeated.indexOf(Math.max(...repeated));
  const delayPairs = repeated[best] >= LEAST_REPEATED ? best : undefined;
  const isUsual = delayPairs === RX_DELAY_PAIRS;

  const odd = slots.flatMap(({ expected, sent, isClear }, slot): OddCharacter[] => {
    const position = slot % 2 === 0 ? 'DX' : 'RX';
    if (!isUsual || !isClear || sent === expected) return [];
    const character = (slot >> 1) - (position === 'DX' ? PHASING_DX_COUNT : PHASING_RX.length);
    return [{ position, character: character < 0 ? undefined : character, expected, sent }];
  });
  const unequal =
    delayPairs === undefined
      ? 0
      : information.filter((symbol, i) => {
          const again = rx.at(i + PHASING_DX_COUNT + delayPairs);
          return again !== undefined && again !== symbol;
        }).length;

  // Format specifier once, body, EOS, then the error check, then EOS twice.
  const [end, check] = [length - 4, length - 3];
  const eos = slots[2 * (PHASING_DX_COUNT + end)].expected;
  const taken = information.map(
    (symbol, i) => symbol ?? rx.at(i + PHASING_DX_COUNT + (delayPairs ?? RX_DELAY_PAIRS)) ?? null,
  );
  const checked = taken.slice(1, end + 1).filter((symbol) => symbol !== null);
  const isChecked = checked.length === end && taken[check] !== null;
  const endsAt = (characters: readonly (number | null)[], places: readonly number[]) =>
    places.filter((place) => characters[place] === eos).length;
  return {
    dx,
    rx,
    phasingDx: dx.slice(0, PHASING_DX_COUNT).filter((symbol) => symbol === PHASING_DX).length,
    phasingRx: PHASING_RX.filter((symbol, i) => rx[i] === symbol).length,
    charactersBetween: delayPairs === undefined ? undefined : 2 * delayPairs,
    odd,
    unequal,
    errorCheckAgrees: isChecked ? errorCheck(checked) === taken[check] : undefined,
    endsDx: endsAt(information, [end, end + 2, end + 3]),
    endsRx: endsAt(rx, [end + PHASING_DX_COUNT + (delayPairs ?? RX_DELAY_PAIRS)]),
    unclear: slots.filter(({ isClear }) => !isClear).length,
  };
}
