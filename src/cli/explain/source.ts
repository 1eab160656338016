/**
 * Where the sequences to be explained come from: a call, a list of characters or slots, a recording.
 */
import {
  PHASING_RX,
  dotPatternLength,
  phasingSymbol,
  readSequences,
  type CharacterReading,
  type SequenceReading,
} from '../../frames/index.js';
import { DotphaseError } from '../../errors.js';
import {
  BITS_PER_SYMBOL,
  FORMATS,
  PHASING_DX,
  bitsToSymbol,
  symbolToBits,
  type Band,
} from '../../symbols/index.js';
import type { Sequence } from './sequence.js';

/** What stands in a list of slots for one that was not read. */
const UNREAD = 'x';
/** Ten bits that are no character: seven Bs counted as none. */
const NO_CHARACTER = new Uint8Array(BITS_PER_SYMBOL);
const LIST = /^(?:\d{1,3}|x)(?:[\s,]+(?:\d{1,3}|x))*$/i;

/** Whether the arguments are a list of characters rather than a name. */
export function isList(args: readonly string[]): boolean {
  return args.length > 0 && LIST.test(args.join(' ').trim());
}

/** A call as it would go on the air. */
export function sequenceOfCall(
  symbols: readonly number[],
  expansions: readonly (readonly number[])[],
  band: Band,
): Sequence {
  return { band, dots: dotPatternLength(symbols, band), symbols, expansions };
}

/**
 * The sequence that a list spells: a call's characters from one format specifier through the error check, each
 * once; or all slots from the first phasing character on, `x` for one that was not read.
 *
 * @throws DotphaseError naming the place in the list that is wrong
 */
export function sequenceOfList(args: readonly string[], band: Band): Sequence {
  const slots = args
    .join(' ')
    .trim()
    .split(/[\s,]+/)
    .map((text, i) => {
      if (text.toLowerCase() === UNREAD) return undefined;
      const symbol = Number(text);
      if (symbol > 127) throw new DotphaseError(`character ${i + 1}`, symbol, 'a number from 0 to 127');
      return symbol;
    });
  const [first] = slots;
  if (first === PHASING_DX || first === undefined || first === PHASING_RX[0]) return readSlots(slots, band);
  const unread = slots.indexOf(undefined);
  if (unread >= 0) {
    const expected = 'a number: only in a list of slots, which begins with 125, may a slot be unread';
    throw new DotphaseError(`character ${unread + 1}`, UNREAD, expected);
  }
  if (!FORMATS.bySymbol(first)) {
    const formats = FORMATS.words.map(({ symbol }) => symbol).join(', ');
    throw new DotphaseError(
      'character 1',
      first,
      `a format specifier (${formats}) or the phasing character 125`,
    );
  }
  return sequenceOfCall(eachOnce(slots as number[]), [], band);
}

/** A list may show what DX carries after its phasing: the format specifier twice and the end of sequence thrice. */
function eachOnce(symbols: readonly number[]): readonly number[] {
  if (symbols[0] !== symbols[1]) return symbols;
  const [first, , second, third] = symbols.slice(-4);
  const closed = symbols.length >= 7 && first === second && second === third;
  return symbols.slice(1, closed ? -2 : undefined);
}

function readSlots(slots: readonly (number | undefined)[], band: Band): Sequence {
  const bits = slots.flatMap((symbol) => [...(symbol === undefined ? NO_CHARACTER : symbolToBits(symbol))]);
  const [reading] = readSequences(bits) as (SequenceReading | undefined)[];
  if (!reading?.symbols) {
    throw new DotphaseError(
      'slots',
      `${slots.length} slots`,
      'phasing in three places and a sequence to its end',
    );
  }
  const phasing = Array.from({ length: 2 * PHASING_RX.length }, (_, slot) => {
    const at = reading.start + slot * BITS_PER_SYMBOL;
    return at >= 0 && phasingSymbol(slot) !== undefined ? bitsToSymbol(bits, at) : undefined;
  });
  const trust = reading.checked
    ? 'The error check agrees.'
    : 'The error check disagrees: this call must not be believed.';
  return {
    band,
    dots: dotPatternLength(reading.symbols, band),
    symbols: reading.symbols,
    expansions: [],
    reception: { characters: reading.characters, phasing, trust },
  };
}

/** A call off a recording. */
export function sequenceOfReception(received: {
  readonly start: number;
  readonly baud: number;
  readonly symbols: readonly number[];
  readonly certainty: readonly number[];
  readonly expansions: readonly (readonly number[])[];
  readonly characters: readonly CharacterReading[];
  readonly trust: string;
}): Sequence {
  const { symbols, certainty, expansions, characters, start, trust } = received;
  const band = received.baud > 1000 ? 'vhf' : 'mf-hf';
  return { band, symbols, certainty, expansions, reception: { characters, start, trust } };
}
