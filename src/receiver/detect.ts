/**
 * Finding the phasing of a call anywhere in a band: tone differences correlated with the known pattern, for
 * every centre and every third of a bit.
 */
import { PHASING_DX_COUNT, PHASING_RX, phasingSymbol } from '../frames/index.js';
import { WINDOWS_PER_BIT } from '../modem/internal.js';
import { BITS_PER_SYMBOL, SYMBOL_WORDS } from '../symbols/index.js';
import { DX_WEIGHT, MOST_ROWS, createToneDifferences } from './tonedifferences.js';
import { KNOWN_BITS, PAIR_BITS, PHASING_BITS, PHASING_SIGNS, PHASING_SLOTS } from './phasingsequence.js';
import type { BandParameters, Repetition } from './bandparameters.js';
import { createRepetitions, type RepeatedPlace } from './repetitions.js';

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

const DX_DEVIATION = Math.sqrt(DX_WEIGHT / 3);
const KNOWN_DEVIATION = Math.sqrt(KNOWN_BITS / 3);

/** Where the six DX characters alone are this likely, the whole pattern is looked at. */
const DX_THRESHOLD = 3.5 * DX_DEVIATION;

/** Where the whole pattern is this likely, a call is tried: about one false trial in 10⁴ s of noise. */
const PATTERN_THRESHOLD = 6.3 * KNOWN_DEVIATION;

/** Mean absolute contrast above which single bits can be trusted; 0.5 in noise, 1 without. */
const TRUSTED_CONTRAST = 0.72;
const CONTRAST_MEMORY = 1 / 32;

/** Rows of one slot. */
const SLOT_ROWS = WINDOWS_PER_BIT * BITS_PER_SYMBOL;

/** Rows between the end of the last DX phasing character and the end of the phasing. */
const DX_LEAD = (PHASING_SLOTS - 1 - 2 * (PHASING_DX_COUNT - 1)) * SLOT_ROWS;

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

/**
 * @param parameters - the modulation looked for
 * @param centres - the lowest and the highest centre, hertz
 */
export function createDetector(parameters: BandParameters, centres: readonly [number, number]): Search {
  const differences = createToneDifferences(parameters, centres);
  const { hop, width, values, runs } = differences;
  const activity = new Float32Array(WINDOWS_PER_BIT * width).fill(0.5);
  const due: Place[][] = Array.from({ length: ROWS_AHEAD }, () => []);
  const repetitions = createRepetitions(parameters, differences);
  let waiting: Match[] = [];
  let waitingRepeated: RepeatedPlace[] = [];
  let input = new Float32Array(0);
  let held = 0;

  const rowOfBit = (last: number, bit: number, bits: number) => last - WINDOWS_PER_BIT * (bits - 1 - bit);

  /** The correlation with all known bits of a phasing whose last bit ends at `last`. */
  function correlatePattern(last: number, tone: number): number {
    const first = rowOfBit(last, 0, PHASING_BITS);
    let sum = 0;
    for (let bit = 0; bit < PHASING_BITS; bit++) {
      const sign = PHASING_SIGNS[bit];
      if (sign !== 0) sum += sign * values[differences.placeOf(first + WINDOWS_PER_BIT * bit) + tone];
    }
    return sum;
  }

  function matchAt({ row, tone, inverted }: Place): Match {
    let sum = 0;
    for (let bit = 0; bit < PHASING_BITS; bit++) {
      const sign = PHASING_SIGNS[bit];
      if (sign !== 0) sum += sign * differences.difference(rowOfBit(row, bit, PHASING_BITS), tone);
    }
    return { row, tone, inverted, strength: inverted ? -sum : sum };
  }

  /** The ten bits that end at a row, the first sent least significant, Y = 1. */
  function wordAt(last: number, tone: number): number {
    const first = rowOfBit(last, 0, BITS_PER_SYMBOL);
    let word = 0;
    for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) {
      if (values[differences.placeOf(first + WINDOWS_PER_BIT * bit) + tone] < 0) word |= 1 << bit;
    }
    return word;
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

  /** The places where the six DX characters are likely and then the whole pattern. */
  function matchRuns(from: number, to: number): Place[] {
    const places: Place[] = [];
    for (let row = from; row < to; row++) {
      const at = differences.runPlaceOf(row - DX_LEAD);
      for (let tone = 0; tone < width; tone++) {
        const run = runs[at + tone];
        if (run < DX_THRESHOLD && run > -DX_THRESHOLD) continue;
        const sum = correlatePattern(row, tone);
        if (Math.abs(sum) >= PATTERN_THRESHOLD) places.push({ row, tone, inverted: sum < 0 });
      }
    }
    return places;
  }

  function expectPhasing(row: number, tone: number): void {
    const word = wordAt(row, tone);
    for (const inverted of [false, true]) {
      const slot = RX_SLOT_OF_WORD[inverted ? word ^ WORD_MASK : word];
      if (slot < 0) continue;
      const last = row + (PHASING_SLOTS - 1 - slot) * SLOT_ROWS;
      const list = due[last % ROWS_AHEAD];
      if (!list.some((other) => other.tone === tone && other.inverted === inverted)) {
        list.push({ row: last, tone, inverted });
      }
    }
  }

  /** Where single bits can be trusted, any RX phasing character has the whole phasing looked at when it is over. */
  function matchCharacters(from: number, to: number): void {
    for (let row = from; row < to; row++) {
      const at = differences.placeOf(row);
      const means = (row % WINDOWS_PER_BIT) * width;
      for (let tone = 0; tone < width; tone++) {
        const mean = activity[means + tone];
        const next = mean + CONTRAST_MEMORY * (Math.abs(values[at + tone]) - mean);
        activity[means + tone] = next;
        if (next >= TRUSTED_CONTRAST) expectPhasing(row, tone);
      }
    }
  }

  function found({ row, tone, inverted, strength }: Match): Found {
    const at = (row + SAME_CALL_ROWS + 2) * hop;
    const start = (row + 1) * hop - PHASING_BITS * parameters.bitSamples;
    return { at, start, centreHz: differences.centreHz(tone), inverted, strength };
  }

  function foundRepeated(place: RepeatedPlace): Found {
    const { repetition, strongest } = place;
    return { ...found(matchAt(place)), attempt: { repetition, strongest } };
  }

  /** Those that nothing stronger can replace any more, and those that something still can. */
  function ripen<Waiting extends Place>(places: Waiting[], row: number): [Waiting[], Waiting[]] {
    const isRipe = (place: Waiting) => row - place.row > SAME_CALL_ROWS;
    return places.some(isRipe)
      ? [places.filter(isRipe), places.filter((place) => !isRipe(place))]
      : [[], places];
  }

  function takeRows(at: number, count: number, ripe: Found[]): void {
    const from = differences.rows;
    differences.take(input, at, count);
    const places = matchRuns(from, from + count);
    matchCharacters(from, from + count);
    const repeated = repetitions.take(from, from + count);
    let next = 0;
    let nextRepeated = 0;
    for (let row = from; row < from + count; row++) {
      for (; next < places.length && places[next].row === row; next++) keep(matchAt(places[next]));
      const list = due[row % ROWS_AHEAD];
      if (list.length > 0) {
        // In one order, however the stream was cut.
        list.sort((a, b) => a.tone - b.tone || Number(a.inverted) - Number(b.inverted));
        for (const place of list) if (phasingReads(place)) keep(matchAt(place));
        due[row % ROWS_AHEAD] = [];
      }
      for (; nextRepeated < repeated.length && repeated[nextRepeated].row === row; nextRepeated++)
        keepRepeated(repeated[nextRepeated]);
      const [matches, left] = ripen(waiting, row);
      const [attempts, attemptsLeft] = ripen(waitingRepeated, row);
      waiting = left;
      waitingRepeated = attemptsLeft;
      ripe.push(...matches.map(found), ...attempts.map(foundRepeated));
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
      const rows = Math.floor(length / hop);
      for (let row = 0; row < rows; row += MOST_ROWS) {
        takeRows(row * hop, Math.min(MOST_ROWS, rows - row), ripe);
      }
      input.copyWithin(0, rows * hop, length);
      held = length - rows * hop;
      return ripe;
    },
  };
}
