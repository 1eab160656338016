/**
 * A call as it goes on the air: dot pattern, phasing, and every character twice in DX and RX slots
 * (ITU-R M.493 Annex 1 §2–§3, from memory).
 */
import { DotphaseError, requireInteger } from '../errors.js';
import { BIT_RATE, PHASING_DX, SYMBOL_COUNT, symbolToBits, type Band } from '../symbols/index.js';

/** The DX phasing characters at the head of a sequence: 125 six times. */
export const PHASING_DX_COUNT = 6;

/** The RX phasing characters at the head of a sequence: 111 down to 104. */
export const PHASING_RX: readonly number[] = [111, 110, 109, 108, 107, 106, 105, 104];

/** A character goes out again in RX this many DX/RX pairs after its DX slot: four characters lie between. */
export const RX_DELAY_PAIRS = PHASING_RX.length - PHASING_DX_COUNT;

/** The two dot patterns, in bits (M.493 §3.4.1 and §3.4.2; JP567). */
export const LONG_DOTS = 200;
/** See {@link LONG_DOTS}. */
export const SHORT_DOTS = 20;

/** One character of the air sequence. */
export interface AirSlot {
  /** Whether the slot carries a first (DX) or a repeated (RX) sending. */
  readonly position: 'DX' | 'RX';
  readonly symbol: number;
  /** Index of the information character, 0 for the first format specifier; undefined for phasing. */
  readonly character: number | undefined;
}

/** One sending of a call: its dots and the slots after them. */
export interface Sending {
  /** Bits of the dot pattern before the slots; may be 0. */
  readonly dots: number;
  readonly slots: readonly AirSlot[];
}

/** All that goes on the air for a call, on one band. */
export interface Frame {
  readonly band: Band;
  readonly sendings: readonly Sending[];
  /** Every bit in order, 1 for Y and 0 for B. */
  readonly bits: Uint8Array;
  /** Seconds on the air. */
  readonly duration: number;
}

/** How a call is framed. */
export interface FramingOptions {
  /** Default `'mf-hf'`. */
  band?: Band;
  /** Bits of dot pattern, an even number 0–1000; default {@link dotPatternLength}. */
  dots?: number;
  /** Sendings in a row without a gap, 1–100; default 1. */
  repeat?: number;
  /**
   * Whether the dot pattern stands before every sending (default: `'each'`: JP567 speaks of no gap "between the last
   * signal of one alert and the dot signal of the next", so five alerts take 36.0 s) or only before the first
   * (28.0 s), which JP567 allows on frequencies that are not exclusive to DSC.
   */
  dotsBefore?: 'first' | 'each';
  /**
   * Where the expansions begin: after the two ends of sequence that close the call (default: `'end'`), each
   * expansion sequence closed likewise; or right after the call's error check, one after another, with the two
   * closing ends of sequence only behind the last (`'check'`). The standard is remembered with doubt.
   */
  expansionsAfter?: ExpansionsAfter;
}

/** See {@link FramingOptions.expansionsAfter}. */
export type ExpansionsAfter = 'end' | 'check';

const INDIVIDUAL = [120, 123];
const ADDRESSED = [114, ...INDIVIDUAL];
const ACKNOWLEDGE_GIVEN = 122;

/**
 * The dot pattern that goes before a call: 20 bits on VHF; on MF/HF 20 before acknowledgements of individual calls
 * (formats 120, 123) and before every call to a coast station (formats 114, 120, 123), so also before a relay to one,
 * and 200 before all others (M.493 §3.4.1 and §3.4.2; JP567. Figure 5 of JP567 shows 20 for test calls to a ship as
 * well: editions differ).
 *
 * @param symbols - the call's characters from one format specifier on
 */
export function dotPatternLength(symbols: readonly number[], band: Band): number {
  if (band === 'vhf') return SHORT_DOTS;
  const [format, address] = symbols;
  // The identity of a coast station, or of a group of them, begins with 00.
  const toCoastStation = ADDRESSED.includes(format) && address === 0;
  const answers = INDIVIDUAL.includes(format) && symbols[symbols.length - 2] === ACKNOWLEDGE_GIVEN;
  return toCoastStation || answers ? SHORT_DOTS : LONG_DOTS;
}

/**
 * What DX carries after its phasing: format specifier twice, body, EOS, ECC, then the expansions and the closing
 * EOS, EOS.
 *
 * @param symbols - the call's characters, each once
 */
export function informationCharacters(
  symbols: readonly number[],
  expansions: readonly (readonly number[])[] = [],
  expansionsAfter: ExpansionsAfter = 'end',
): number[] {
  const parts = [symbols, ...expansions];
  const closed = parts.map((part, i) => {
    const closing = expansionsAfter === 'end' || i === parts.length - 1 ? 2 : 0;
    return [...part, ...Array.from({ length: closing }, () => part[part.length - 2])];
  });
  return [symbols[0], ...closed.flat()];
}

/** The slots of one sending: DX and RX alternate, RX repeating DX two pairs later and ending on EOS and ECC. */
export function airSlots(
  symbols: readonly number[],
  expansions: readonly (readonly number[])[] = [],
  expansionsAfter: ExpansionsAfter = 'end',
): AirSlot[] {
  const information = informationCharacters(symbols, expansions, expansionsAfter);
  const pairs = PHASING_DX_COUNT + information.length;
  return Array.from({ length: 2 * pairs }, (_, slot): AirSlot => {
    const pair = slot >> 1;
    const position = slot % 2 === 0 ? 'DX' : 'RX';
    const character = pair - (position === 'DX' ? PHASING_DX_COUNT : PHASING_RX.length);
    if (character >= 0) return { position, symbol: information[character], character };
    return { position, symbol: position === 'DX' ? PHASING_DX : PHASING_RX[pair], character: undefined };
  });
}

/** The alternating B Y of a dot pattern. */
export function dotBits(count: number): Uint8Array {
  return Uint8Array.from({ length: count }, (_, i) => i % 2);
}

function sendingBits(sending: Sending): number[] {
  return [...dotBits(sending.dots), ...sending.slots.flatMap((slot) => [...symbolToBits(slot.symbol)])];
}

function requireSequence(value: unknown, field: string, expected: string): readonly number[] {
  if (!Array.isArray(value) || value.length < 3) throw new DotphaseError(field, value, expected);
  return Array.from(value as unknown[], (symbol, i) =>
    requireInteger(`${field}[${i}]`, symbol, 0, SYMBOL_COUNT - 1),
  );
}

function requireOneOf<Choice extends string>(
  field: string,
  value: unknown,
  choices: readonly Choice[],
): Choice {
  const choice = choices.find((candidate) => candidate === value);
  if (choice === undefined) {
    throw new DotphaseError(field, value, choices.map((candidate) => `'${candidate}'`).join(' or '));
  }
  return choice;
}

/** Characters to frame: a call with its expansions as `encodeCall` gives it, or the symbols of one without any. */
export type FramedCharacters =
  | readonly number[]
  | { readonly symbols: readonly number[]; readonly expansions: readonly (readonly number[])[] };

/**
 * Frames a call for the air.
 *
 * @param characters - one format specifier through end of sequence and error check, each once, and the expansions
 * @throws DotphaseError when a symbol or an option is out of range
 */
export function frameCall(characters: FramedCharacters, options: FramingOptions = {}): Frame {
  const isPlain =
    Array.isArray(characters) || typeof characters !== 'object' || (characters as unknown) === null;
  const given = (isPlain ? { symbols: characters } : characters) as {
    symbols?: unknown;
    expansions?: unknown;
  };
  const call = requireSequence(
    given.symbols,
    'symbols',
    'a format specifier, an end of sequence and an error check',
  );
  const following = given.expansions ?? [];
  if (!Array.isArray(following)) {
    throw new DotphaseError('expansions', following, 'a list of expansion sequences');
  }
  const expansions = following.map((expansion, i) =>
    requireSequence(
      expansion,
      `expansions[${i}]`,
      'a specifier, its data, an end of sequence and an error check',
    ),
  );
  const band = requireOneOf('band', options.band ?? 'mf-hf', ['mf-hf', 'vhf']);
  const dots = requireInteger('dots', options.dots ?? dotPatternLength(call, band), 0, 1000);
  if (dots % 2 !== 0) throw new DotphaseError('dots', dots, 'an even number of bits');
  const repeat = requireInteger('repeat', options.repeat ?? 1, 1, 100);
  const dotsBefore = requireOneOf('dotsBefore', options.dotsBefore ?? 'each', ['first', 'each']);
  const after = requireOneOf('expansionsAfter', options.expansionsAfter ?? 'end', ['end', 'check']);
  const slots = airSlots(call, expansions, after);
  const sendings = Array.from({ length: repeat }, (_, i) => ({
    dots: i === 0 || dotsBefore === 'each' ? dots : 0,
    slots,
  }));
  const bits = Uint8Array.from(sendings.flatMap(sendingBits));
  return { band, sendings, bits, duration: bits.length / BIT_RATE[band] };
}
