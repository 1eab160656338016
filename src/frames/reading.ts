/**
 * Slots back to characters by the standard's own rules (ITU-R M.493 Annex 1 §3 and §10, from memory):
 * phasing, DX or RX by the ten-unit check, the format specifier twice where it must be, the error check.
 */
import { errorCheck } from '../symbols/index.js';
import { END_OF_SEQUENCE_CODES } from '../symbols/internal.js';
import { DotphaseError } from '../errors.js';
import { BITS_PER_SYMBOL, PHASING_DX, bitsToSymbol } from '../symbols/index.js';
import { LONGEST_EXPANSIONS, splitExpansions } from './expansions.js';
import { PHASING_DX_COUNT, PHASING_RX } from './sequence.js';

/** What was read of one information character. */
export interface CharacterReading {
  /** The first sending, undefined where its check bits disagree or it was not received. */
  readonly dx: number | undefined;
  /** The repetition, likewise. */
  readonly rx: number | undefined;
  /** The character taken: DX where it reads, else RX, else undefined. */
  readonly symbol: number | undefined;
}

/** A sequence read off hard bits. */
export interface SequenceReading {
  /** Index of the first bit of slot 0 (the first DX phasing); negative where the beginning was not received. */
  readonly start: number;
  /** Index of the bit after the last slot of the sequence. */
  readonly end: number;
  /** How many phasing characters stood in their places. */
  readonly phasing: number;
  /** Both format specifiers, the body, EOS, ECC, EOS, EOS, with the expansions where they stand. */
  readonly characters: readonly CharacterReading[];
  /**
   * One format specifier through EOS and ECC, or undefined where a character reads in neither sending, the
   * end was not found, or a distress or all-ships format specifier was not read twice.
   */
  readonly symbols: readonly number[] | undefined;
  /** Whether the error check agrees. */
  readonly checked: boolean;
  /** The expansion sequences that follow, each from its specifier through its error check, which agrees. */
  readonly expansions: readonly (readonly number[])[];
  /** Whether the specifier of another expansion was read behind them, in both sendings alike. */
  readonly moreFollowed: boolean;
}

const FORMAT_TWICE = [112, 116];
const FORMAT_SPECIFIERS = [102, 112, 114, 116, 120, 123];

/** The longest information sequence looked for: format specifiers, body, EOS and ECC. */
export const LONGEST_INFORMATION = 60;

/** Slot pairs after which all phasing has passed. */
const PHASING_PAIRS = PHASING_RX.length;

/** The phasing symbol of a slot, or undefined from where the information characters begin. */
export function phasingSymbol(slot: number): number | undefined {
  if (slot < 0) return undefined;
  if (slot % 2 === 1) return PHASING_RX[(slot - 1) / 2];
  return slot / 2 < PHASING_DX_COUNT ? PHASING_DX : undefined;
}

/**
 * How many phasing characters stand in their places when slot 0 starts at `start`, and whether they suffice:
 * two DX and one RX, one DX and two RX, or three RX (M.493 §3.2), which is any three that are not all DX.
 */
export function countPhasing(bits: ArrayLike<number>, start: number): { count: number; achieved: boolean } {
  let dx = 0;
  let rx = 0;
  for (let slot = 0; slot < 2 * PHASING_PAIRS; slot++) {
    const expected = phasingSymbol(slot);
    const at = start + slot * BITS_PER_SYMBOL;
    if (expected === undefined || at < 0 || at + BITS_PER_SYMBOL > bits.length) continue;
    if (bitsToSymbol(bits, at) !== expected) continue;
    if (slot % 2 === 0) dx++;
    else rx++;
  }
  return { count: dx + rx, achieved: rx >= 1 && dx + rx >= 3 };
}

/** The characters read at slot positions, from hard bits with slot 0 at `start`. */
export function readCharacter(bits: ArrayLike<number>, start: number, character: number): CharacterReading {
  const read = (pair: number, rx: number) => {
    const at = start + (2 * pair + rx) * BITS_PER_SYMBOL;
    return at >= 0 && at + BITS_PER_SYMBOL <= bits.length ? bitsToSymbol(bits, at) : undefined;
  };
  const dx = read(character + PHASING_DX_COUNT, 0);
  const rx = read(character + PHASING_PAIRS, 1);
  return { dx, rx, symbol: dx ?? rx };
}

function readFormat(first: CharacterReading, second: CharacterReading): number | undefined {
  const [a, b] = [first.symbol, second.symbol];
  if (a === b) return a;
  const single = [a, b].filter((symbol) => symbol !== undefined && FORMAT_SPECIFIERS.includes(symbol));
  const [format] = single;
  return single.length === 1 && format !== undefined && !FORMAT_TWICE.includes(format) ? format : undefined;
}

/** Where the end of sequence stands: the first whose error check agrees, else the first of all. */
function findEnd(characters: readonly CharacterReading[], format: number | undefined): number | undefined {
  let first: number | undefined;
  const content = [format ?? 0];
  for (let i = 2; i + 1 < characters.length; i++) {
    const symbol = characters[i].symbol;
    content.push(symbol ?? 0);
    if (symbol === undefined || !END_OF_SEQUENCE_CODES.bySymbol(symbol)) continue;
    first ??= i;
    if (characters[i + 1].symbol === errorCheck(content)) return i;
  }
  return first;
}

/**
 * Reads the sequence whose slot 0 starts at a bit, whatever its phasing.
 *
 * @param bits - received bits, 1 for Y and 0 for B
 * @param start - index of the first bit of the first DX phasing character; may be negative
 * @throws DotphaseError when `start` is not an integer
 */
export function readSequence(bits: ArrayLike<number>, start: number): SequenceReading {
  if (!Number.isInteger(start)) throw new DotphaseError('start', start, 'the index of a bit');
  const phasing = countPhasing(bits, start).count;
  const pairs = Math.floor((bits.length - start + BITS_PER_SYMBOL) / (2 * BITS_PER_SYMBOL));
  const room = pairs - PHASING_DX_COUNT;
  const read = (from: number, longest: number) =>
    Array.from({ length: Math.max(0, Math.min(longest, room - from)) }, (_, i) =>
      readCharacter(bits, start, from + i),
    );
  const information = read(0, LONGEST_INFORMATION);
  const format = information.length >= 2 ? readFormat(information[0], information[1]) : undefined;
  const eos = findEnd(information, format);
  if (eos === undefined) {
    return {
      start,
      end: endOf(bits, start, information.length),
      phasing,
      characters: information,
      symbols: undefined,
      checked: false,
      expansions: [],
      moreFollowed: false,
    };
  }
  const content = [format, ...information.slice(2, eos + 2).map((character) => character.symbol)];
  const symbols = content.every((symbol) => symbol !== undefined) ? content : undefined;
  const following = read(eos + 2, LONGEST_EXPANSIONS + 1);
  const { expansions, length, next } = splitExpansions(following.map((character) => character.symbol));
  const characters = [...information.slice(0, eos + 2), ...following.slice(0, length)];
  return {
    start,
    end: endOf(bits, start, eos + 2 + length),
    phasing,
    characters,
    symbols,
    checked: symbols !== undefined && errorCheck(symbols) === 0,
    expansions,
    moreFollowed: next !== undefined && following[next].dx === following[next].rx,
  };
}

/** The index of the bit after so many information characters, or of the last bit received. */
function endOf(bits: ArrayLike<number>, start: number, characters: number): number {
  return Math.min(bits.length, start + 2 * (PHASING_DX_COUNT + characters) * BITS_PER_SYMBOL);
}

/**
 * Finds every sequence in a run of hard bits: a textbook receiver.
 *
 * @param bits - received bits, 1 for Y and 0 for B
 */
export function readSequences(bits: ArrayLike<number>): SequenceReading[] {
  const found: SequenceReading[] = [];
  let start = -2 * PHASING_PAIRS * BITS_PER_SYMBOL;
  while (start < bits.length) {
    if (countPhasing(bits, start).achieved) {
      const reading = readSequence(bits, start);
      if (reading.symbols) {
        found.push(reading);
        start = Math.max(start + 1, reading.end);
        continue;
      }
    }
    start++;
  }
  return found;
}
