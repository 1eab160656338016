/**
 * Finding the phasing of a call anywhere in a band: tone differences correlated with the known pattern, for
 * every centre and every third of a bit.
 */
import { LONG_DOTS, PHASING_DX_COUNT, PHASING_RX, phasingSymbol } from '../../frames/index.js';
import { BITS_PER_SYMBOL, SYMBOL_WORDS } from '../../symbols/index.js';
import type { BandParameters, Repetition } from '../bandparameters.js';
import { KNOWN_BITS, PAIR_BITS, PHASING_BITS, PHASING_SLOTS } from '../phasingsequence.js';
import { createBitSums } from './bitsums.js';
import { KNOWN_B, KNOWN_ROWS, KNOWN_SIGNS, KNOWN_Y } from './knownrows.js';
import { createRepetitions, type RepeatedPlace } from './repetitions.js';
import { DX_LEAD, PAIR_ROWS, SLOT_ROWS } from './rowconstants.js';
import { createRows } from './rows.js';
import { Look } from './rowsettings.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** A place where a call seems to begin. */
export interface Found {
  /** Working samples after which it was found; a stronger match of the same call can no longer come. */
  readonly at: number;
  /** Working samples from the beginning of the stream to the first bit of the phasing; may be negative. */
  readonly start: number;
  /** Hertz midway between the tones, to half a search tone. */
  readonly centreHz: number;
  readonly inverted: boolean;
  /** Amplitude of the tones that should be sent less that of the others, in arbitrary units. */
  readonly strength: number;
  /** Where sendings that repeat were found together, the latest of which is this one. */
  readonly attempt?: {
    readonly repetition: Repetition;
    /** How many sendings before the latest the two lie that seem strongest. */
    readonly strongest: readonly [number, number];
  };
}

/** Eats working samples. */
export interface Search {
  push(samples: Float32Array): Found[];
}

/** Rows ahead that matches are kept for: more than the phasing takes, a power of two. */
const ROWS_AHEAD = 512;

const KNOWN_DEVIATION = Math.sqrt(KNOWN_BITS / 3);

/** Where the whole pattern is this likely, a call is tried: about one false trial in 10⁴ s of noise. */
const PATTERN_THRESHOLD = 6.3 * KNOWN_DEVIATION;

/** The same with the dots before it, and what the pattern by itself must reach behind them. */
const DOTTED_THRESHOLD = 6.3 * Math.sqrt((KNOWN_BITS + LONG_DOTS) / 3);
const LEAST_BEHIND_DOTS = 3 * KNOWN_DEVIATION;

/** Either in deviations of the contrasts at hand: in a strong signal they are larger, whatever it says. */
const LEAST_DEVIATIONS = 6;

/** Rows within which two matches are one call: three DX characters. */
const SAME_CALL_ROWS = 3 * PAIR_BITS * WINDOWS_PER_BIT;
/** Tones within which two matches are one call. */
const SAME_CALL_TONES = 9;

/** A match this much weaker in amplitude than one that begins in the same call's time is its splatter. */
const SPLATTER = 1 / 8;

/** So is one this much weaker that begins within a bit, not so far off that its side lobes would be weaker still. */
const CLOSE_SPLATTER = 1 / 4;
const CLOSE_SPLATTER_ROWS = WINDOWS_PER_BIT;
const CLOSE_SPLATTER_TONES = 16;

/**
 * The phasing fits again some pairs behind itself, for all six DX characters are alike; by the time that it is found
 * there, it was given at its own place. A match so much weaker in amplitude is that: measured below 0.5.
 */
const REPEATED_ROWS = (PHASING_DX_COUNT - 1) * PAIR_ROWS;
const REPEATED_TONES = 2;
const REPEATED_SHARE = 0.6;

/** The complement of a ten-bit word: what an inverted signal spells. */
const WORD_MASK = (1 << BITS_PER_SYMBOL) - 1;

/** For each ten-bit word the slot of the RX phasing character it spells, or −1. */
const RX_SLOT_OF_WORD: Int8Array = (() => {
  const slots = new Int8Array(WORD_MASK + 1).fill(-1);
  PHASING_RX.forEach((symbol, i) => (slots[SYMBOL_WORDS[symbol]] = 2 * i + 1));
  return slots;
})();

/** A place in the rows where the phasing may end. */
interface Place {
  readonly row: number;
  readonly tone: number;
  readonly inverted: boolean;
}

interface Match extends Place {
  /** Amplitude of the tones that should be sent less that of the others, summed over the known bits. */
  readonly strength: number;
}

/** Whether a correlation lies over its threshold, and over what noise of this power makes of it. */
const isEnough = (all: number, threshold: number, power: number) =>
  Math.abs(all) >= threshold && all * all >= LEAST_DEVIATIONS ** 2 * power;

/**
 * @param parameters - the modulation looked for
 * @param centres - the lowest and the highest centre, hertz
 */
export function createDetector(parameters: BandParameters, centres: readonly [number, number]): Search {
  const rows = createRows(parameters, centres);
  const { hop, width, contrasts, rowOf, looks } = rows;
  const due: Place[][] = Array.from({ length: ROWS_AHEAD }, () => []);
  const sums = createBitSums(rows);
  const repetitions = createRepetitions(parameters, rows);
  /** The latest word of each third of a bit and centre, and the row at which it ended. */
  const words = new Uint16Array(WINDOWS_PER_BIT * width);
  const wordRows = new Float64Array(words.length).fill(-WINDOWS_PER_BIT - 1);
  let waiting: Match[] = [];
  /** Matches given lately. */
  let given: Match[] = [];
  let waitingRepeated: RepeatedPlace[] = [];
  let input = new Float32Array(0);
  let held = 0;

  const rowOfBit = (last: number, bit: number, bits: number) => last - WINDOWS_PER_BIT * (bits - 1 - bit);

  /**
   * The correlation with all known bits of a phasing whose last bit ends at `last`; 0 where that is too little, by
   * itself and with the dots before it.
   */
  function correlatePattern(last: number, tone: number): number {
    const first = rowOfBit(last, 0, PHASING_BITS);
    sums.squares = 0;
    const sum = sums.add(KNOWN_B, first, tone) - sums.add(KNOWN_Y, first, tone);
    const { squares } = sums;
    if (isEnough(sum, PATTERN_THRESHOLD, squares)) return sum;
    if (Math.abs(sum) < LEAST_BEHIND_DOTS) return 0;
    const dots = rows.dotsBefore(last - DX_LEAD, tone);
    // No more power than where all dots are clear.
    return isEnough(sum + dots, DOTTED_THRESHOLD, squares + Math.abs(dots)) && sum * dots > 0 ? sum : 0;
  }

  function matchAt({ row, tone, inverted }: Place): Match {
    const first = rowOfBit(row, 0, PHASING_BITS);
    let sum = 0;
    for (let i = 0; i < KNOWN_ROWS.length; i++)
      sum += KNOWN_SIGNS[i] * rows.difference(first + KNOWN_ROWS[i], tone);
    return { row, tone, inverted, strength: inverted ? -sum : sum };
  }

  /** The ten bits that end at a row, the first sent least significant, Y = 1. */
  function wordAt(last: number, tone: number): number {
    const first = rowOfBit(last, 0, BITS_PER_SYMBOL);
    let word = 0;
    for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) {
      if (contrasts[rowOf(first + WINDOWS_PER_BIT * bit) + tone] < 0) word |= 1 << bit;
    }
    return word;
  }

  /** The same for the newest row, from the word a bit before where that was asked for. */
  function newestWordAt(row: number, tone: number): number {
    const at = (row % WINDOWS_PER_BIT) * width + tone;
    const bit = contrasts[rowOf(row) + tone] < 0 ? 1 : 0;
    const isNext = wordRows[at] === row - WINDOWS_PER_BIT;
    words[at] = isNext ? (words[at] >> 1) | (bit << (BITS_PER_SYMBOL - 1)) : wordAt(row, tone);
    wordRows[at] = row;
    return words[at];
  }

  /** Whether enough phasing characters read in their places: two DX and one RX, one DX and two RX, or three RX. */
  function phasingReads({ row, tone, inverted }: Place): boolean {
    let dx = 0;
    let rx = 0;
    for (let slot = 0; slot < PHASING_SLOTS; slot++) {
      const symbol = phasingSymbol(slot);
      if (symbol === undefined) continue;
      const last = row - (PHASING_SLOTS - 1 - slot) * SLOT_ROWS;
      if (last < SLOT_ROWS - 1) continue;
      const word = wordAt(last, tone) ^ (inverted ? WORD_MASK : 0);
      if (word !== SYMBOL_WORDS[symbol]) continue;
      if (slot % 2 === 0) dx++;
      else rx++;
    }
    return rx >= 3 || (rx >= 1 && dx + rx >= 3);
  }

  /** Whether a match is a phasing that was given already, some pairs behind its own place. */
  function isRepeated({ row, tone, inverted, strength }: Match): boolean {
    return given.some((other) => {
      const behind = row - other.row;
      return (
        behind <= REPEATED_ROWS &&
        Math.abs(behind - PAIR_ROWS * Math.round(behind / PAIR_ROWS)) <= 1 &&
        Math.abs(tone - other.tone) <= REPEATED_TONES &&
        inverted === other.inverted &&
        strength < REPEATED_SHARE * other.strength
      );
    });
  }

  /** Keeps the strongest match of one call and drops the splatter of strong ones. */
  function keep(match: Match): void {
    const overlaps = (other: Match) => Math.abs(other.row - match.row) <= SAME_CALL_ROWS;
    const beats = (a: Match, b: Match) => {
      const apart = Math.abs(a.tone - b.tone);
      const isClose = apart <= CLOSE_SPLATTER_TONES && Math.abs(a.row - b.row) <= CLOSE_SPLATTER_ROWS;
      const share = apart <= SAME_CALL_TONES ? 1 : isClose ? CLOSE_SPLATTER : SPLATTER;
      return a.strength * share >= b.strength;
    };
    if (waiting.some((other) => overlaps(other) && beats(other, match))) return;
    waiting = waiting.filter((other) => !overlaps(other) || !beats(match, other));
    waiting.push(match);
  }

  /** Keeps the likeliest place of one attempt. */
  function keepRepeated(place: RepeatedPlace): void {
    const overlaps = (other: RepeatedPlace) =>
      Math.abs(other.row - place.row) <= SAME_CALL_ROWS &&
      Math.abs(other.tone - place.tone) <= SAME_CALL_TONES;
    if (waitingRepeated.some((other) => overlaps(other) && other.deviations >= place.deviations)) return;
    waitingRepeated = waitingRepeated.filter((other) => !overlaps(other));
    waitingRepeated.push(place);
  }

  /** Keeps the places where the six DX characters are likely and then the whole pattern. */
  function matchRuns(row: number): void {
    for (const tone of rows.likelyRuns(row - DX_LEAD)) {
      const sum = correlatePattern(row, tone);
      if (sum !== 0) keep(matchAt({ row, tone, inverted: sum < 0 }));
    }
  }

  /** Expects a phasing to end where a slot with an RX phasing character says that it does. */
  function expectPhasing(row: number, tone: number, slot: number, inverted: boolean): void {
    const last = row + (PHASING_SLOTS - 1 - slot) * SLOT_ROWS;
    const list = due[last % ROWS_AHEAD];
    if (!list.some((other) => other.tone === tone && other.inverted === inverted)) {
      list.push({ row: last, tone, inverted });
    }
  }

  /** Where single bits can be trusted, any RX phasing character has the whole phasing looked at when it is over. */
  function matchCharacters(row: number): void {
    for (const tone of rows.trusted(row)) {
      const word = newestWordAt(row, tone);
      const slot = RX_SLOT_OF_WORD[word];
      const invertedSlot = RX_SLOT_OF_WORD[word ^ WORD_MASK];
      if (slot >= 0) expectPhasing(row, tone, slot, false);
      if (invertedSlot >= 0) expectPhasing(row, tone, invertedSlot, true);
    }
  }

  /** Keeps the phasings that were expected to end with the row and do. */
  function matchPhasings(row: number): void {
    const places = due[row % ROWS_AHEAD];
    if (places.length === 0) return;
    for (const place of places) if (phasingReads(place)) keep(matchAt(place));
    due[row % ROWS_AHEAD] = [];
  }

  function found({ row, tone, inverted, strength }: Match): Found {
    const at = (row + SAME_CALL_ROWS + 2) * hop;
    const start = (row + 1) * hop - PHASING_BITS * parameters.bitSamples;
    return { at, start, centreHz: rows.centreHz(tone), inverted, strength };
  }

  function foundRepeated(place: RepeatedPlace): Found {
    const { repetition, strongest } = place;
    return { ...found(matchAt(place)), attempt: { repetition, strongest } };
  }

  /** Looks at a row whose step has been taken. What is ripe by then, nothing stronger can replace any more. */
  function lookAt(row: number, look: number, ripe: Found[]): void {
    if (look & Look.characters) matchCharacters(row);
    if (look & Look.run) matchRuns(row);
    matchPhasings(row);
    repetitions.lookAt(row, look).forEach(keepRepeated);
    const isRipe = (place: Place) => row - place.row > SAME_CALL_ROWS;
    if (waiting.some(isRipe)) {
      const matches = waiting.filter((match) => isRipe(match) && !isRepeated(match));
      ripe.push(...matches.map(found));
      given = [...given.filter((other) => row - other.row <= REPEATED_ROWS), ...matches];
      waiting = waiting.filter((match) => !isRipe(match));
    }
    if (waitingRepeated.some(isRipe)) {
      ripe.push(...waitingRepeated.filter(isRipe).map(foundRepeated));
      waitingRepeated = waitingRepeated.filter((place) => !isRipe(place));
    }
  }

  return {
    push(samples) {
      const length = held + samples.length;
      if (input.length < length) {
        const longer = new Float32Array(2 * length);
        longer.set(input.subarray(0, held));
        input = longer;
      }
      input.set(samples, held);
      const ripe: Found[] = [];
      let at = 0;
      while (length - at >= hop) {
        const first = rows.count;
        const count = rows.take(input.subarray(at, length));
        for (let n = 0; n < count; n++) {
          const look = looks[n];
          const row = first + n;
          if (
            look !== 0 ||
            waiting.length > 0 ||
            waitingRepeated.length > 0 ||
            due[row % ROWS_AHEAD].length > 0
          )
            lookAt(row, look, ripe);
        }
        at += count * hop;
      }
      input.copyWithin(0, at, length);
      held = length - at;
      return ripe;
    },
  };
}
