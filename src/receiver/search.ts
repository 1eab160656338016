/**
 * Finding the phasing of a call anywhere in a band: tone contrasts correlated with the known pattern, for
 * every centre and every third of a bit.
 *
 * The contrast (upper − lower) / (upper + lower) of two tone powers is uniform on −1…1 in white noise, whatever
 * the level, so that the sum over n known bits has the variance n / 3 and thresholds are set in its deviations.
 */
import { PHASING_RX, phasingSymbol } from '../frames/index.js';
import { WINDOWS_PER_BIT, createToneBank } from '../modem/index.js';
import { BITS_PER_SYMBOL, SYMBOL_WORDS } from '../symbols/index.js';
import { KNOWN_BITS, PAIR_BITS, PHASING_BITS, PHASING_SIGNS, PHASING_SLOTS } from './pattern.js';
import { TONES_PER_SHIFT, WORKING_RATE, type BandPlan } from './plan.js';

/** A place where a call seems to begin. */
export interface Found {
  /** Working samples from the beginning of the stream to the first bit of the phasing; may be negative. */
  readonly start: number;
  /** Hertz midway between the tones, to half a search tone. */
  readonly centreHz: number;
  readonly inverted: boolean;
  /** Amplitude of the tones that should be sent less that of the others, in arbitrary units. */
  readonly strength: number;
}

/** Eats working samples. */
export interface Search {
  push(samples: Float32Array): Found[];
}

/** Rows of contrasts kept: more than the phasing and the wait for a better match take. */
const ROWS = 1024;
const ROW_MASK = ROWS - 1;

const DX_COUNT = 6;
const DX_DEVIATION = Math.sqrt((DX_COUNT * BITS_PER_SYMBOL) / 3);
const KNOWN_DEVIATION = Math.sqrt(KNOWN_BITS / 3);

/** Where the six DX characters alone are this likely, the whole pattern is looked at. */
const DX_THRESHOLD = 3.5 * DX_DEVIATION;

/** Where the whole pattern is this likely, a call is tried: about one false trial in 10⁴ s of noise. */
const PATTERN_THRESHOLD = 6.3 * KNOWN_DEVIATION;

/** Mean absolute contrast above which single bits can be trusted; 0.5 in noise, 1 without. */
const TRUSTED_CONTRAST = 0.72;
const CONTRAST_MEMORY = 1 / 32;

/** Rows between the end of the last DX phasing character and the end of the phasing. */
const DX_LEAD = (PHASING_SLOTS - 1 - 2 * (DX_COUNT - 1)) * BITS_PER_SYMBOL * WINDOWS_PER_BIT;

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

const NONE: Found[] = [];

interface Match {
  readonly row: number;
  readonly tone: number;
  readonly inverted: boolean;
  /** Amplitude of the tones that should be sent less that of the others, summed over the known bits. */
  readonly strength: number;
}

/**
 * @param plan - the modulation looked for
 * @param centres - the lowest and the highest centre, hertz
 */
export function createSearch(plan: BandPlan, centres: readonly [number, number]): Search {
  const spacing = WORKING_RATE / plan.period;
  const half = plan.modulation.shiftHz / 2;
  const lowest = Math.max(1, Math.round((centres[0] - half) / spacing));
  const width = Math.max(1, Math.round((centres[1] - half) / spacing) - lowest + 1);
  const range = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i);
  // Few centres leave a gap between their lower tones and their upper ones.
  const upperAt = Math.min(TONES_PER_SHIFT, width);
  const tones = [...range(lowest, upperAt), ...range(lowest + TONES_PER_SHIFT, width)];
  const bank = createToneBank({ bitSamples: plan.bitSamples, period: plan.period, tones });
  const { hop } = bank;
  const powers = new Float32Array(ROWS * tones.length);
  const contrasts = new Float32Array(ROWS * width);
  const characters = new Float32Array(ROWS * width);
  const runs = new Float32Array(ROWS * width);
  const activity = new Float32Array(WINDOWS_PER_BIT * width).fill(0.5);
  const due: Omit<Match, 'strength'>[][] = Array.from({ length: ROWS }, () => []);
  let waiting: Match[] = [];
  let rest = new Float32Array(0);
  let row = 0;

  const rowStart = (index: number) => (index & ROW_MASK) * width;
  const powersStart = (index: number) => (index & ROW_MASK) * tones.length;

  function measureContrasts(): void {
    const now = rowStart(row);
    const from = powersStart(row);
    for (let tone = 0; tone < width; tone++) {
      const lower = powers[from + tone];
      const upper = powers[from + tone + upperAt];
      contrasts[now + tone] = (upper - lower) / (upper + lower + 1e-30);
    }
  }

  /** The match with one DX phasing character ending now, and the run of six of them. */
  function correlateDx(): void {
    const now = rowStart(row);
    const b0 = rowStart(row - WINDOWS_PER_BIT * 9);
    const b1 = rowStart(row - WINDOWS_PER_BIT * 8);
    const b2 = rowStart(row - WINDOWS_PER_BIT * 7);
    const b3 = rowStart(row - WINDOWS_PER_BIT * 6);
    const b4 = rowStart(row - WINDOWS_PER_BIT * 5);
    const b5 = rowStart(row - WINDOWS_PER_BIT * 4);
    const b6 = rowStart(row - WINDOWS_PER_BIT * 3);
    const b7 = rowStart(row - WINDOWS_PER_BIT * 2);
    const b8 = rowStart(row - WINDOWS_PER_BIT);
    // 125 is Y B Y Y Y Y Y B B Y; written out, for this is the innermost loop of the search.
    for (let tone = 0; tone < width; tone++) {
      characters[now + tone] =
        contrasts[b1 + tone] +
        contrasts[b7 + tone] +
        contrasts[b8 + tone] -
        contrasts[b0 + tone] -
        contrasts[b2 + tone] -
        contrasts[b3 + tone] -
        contrasts[b4 + tone] -
        contrasts[b5 + tone] -
        contrasts[b6 + tone] -
        contrasts[now + tone];
    }
    const before = rowStart(row - WINDOWS_PER_BIT * PAIR_BITS);
    const leaving = rowStart(row - WINDOWS_PER_BIT * PAIR_BITS * DX_COUNT);
    for (let tone = 0; tone < width; tone++) {
      runs[now + tone] = runs[before + tone] + characters[now + tone] - characters[leaving + tone];
    }
  }

  /** The correlation with all known bits of a phasing whose last bit ends at `last`. */
  function correlatePattern(last: number, tone: number): number {
    let sum = 0;
    for (let bit = 0; bit < PHASING_BITS; bit++) {
      const sign = PHASING_SIGNS[bit];
      if (sign === 0) continue;
      sum += sign * contrasts[rowStart(last - WINDOWS_PER_BIT * (PHASING_BITS - 1 - bit)) + tone];
    }
    return sum;
  }

  function matchAt(last: number, tone: number, inverted: boolean): Match {
    let sum = 0;
    for (let bit = 0; bit < PHASING_BITS; bit++) {
      const sign = PHASING_SIGNS[bit];
      if (sign === 0) continue;
      const at = powersStart(last - WINDOWS_PER_BIT * (PHASING_BITS - 1 - bit)) + tone;
      sum += sign * (Math.sqrt(powers[at + upperAt]) - Math.sqrt(powers[at]));
    }
    return { row: last, tone, inverted, strength: inverted ? -sum : sum };
  }

  /** The ten bits that end at a row, the first sent least significant, Y = 1. */
  function wordAt(last: number, tone: number): number {
    let word = 0;
    for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) {
      const then = rowStart(last - WINDOWS_PER_BIT * (BITS_PER_SYMBOL - 1 - bit));
      if (contrasts[then + tone] < 0) word |= 1 << bit;
    }
    return word;
  }

  /** Whether enough phasing characters read in their places: two DX and one RX, one DX and two RX, or three RX. */
  function phasingReads(match: Omit<Match, 'strength'>): boolean {
    let dx = 0;
    let rx = 0;
    for (let slot = 0; slot < PHASING_SLOTS; slot++) {
      const symbol = phasingSymbol(slot);
      if (symbol === undefined) continue;
      const last = match.row - WINDOWS_PER_BIT * BITS_PER_SYMBOL * (PHASING_SLOTS - 1 - slot);
      if (last < WINDOWS_PER_BIT * BITS_PER_SYMBOL - 1) continue;
      const word = wordAt(last, match.tone) ^ (match.inverted ? WORD_MASK : 0);
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

  function matchRuns(): void {
    const then = rowStart(row - DX_LEAD);
    for (let tone = 0; tone < width; tone++) {
      const run = runs[then + tone];
      if (run < DX_THRESHOLD && run > -DX_THRESHOLD) continue;
      const sum = correlatePattern(row, tone);
      if (Math.abs(sum) >= PATTERN_THRESHOLD) keep(matchAt(row, tone, sum < 0));
    }
  }

  /** Where single bits can be trusted, any RX phasing character has the whole phasing looked at when it is over. */
  function matchCharacters(): void {
    const now = rowStart(row);
    const phase = (row % WINDOWS_PER_BIT) * width;
    for (let tone = 0; tone < width; tone++) {
      const contrast = Math.abs(contrasts[now + tone]);
      const mean = (activity[phase + tone] += CONTRAST_MEMORY * (contrast - activity[phase + tone]));
      if (mean < TRUSTED_CONTRAST) continue;
      const word = wordAt(row, tone);
      for (const inverted of [false, true]) {
        const slot = RX_SLOT_OF_WORD[inverted ? word ^ WORD_MASK : word];
        if (slot < 0) continue;
        const last = row + (PHASING_SLOTS - 1 - slot) * BITS_PER_SYMBOL * WINDOWS_PER_BIT;
        const list = due[last & ROW_MASK];
        if (!list.some((other) => other.tone === tone && other.inverted === inverted)) {
          list.push({ row: last, tone, inverted });
        }
      }
    }
    const list = due[row & ROW_MASK];
    for (const match of list) {
      if (phasingReads(match)) keep(matchAt(match.row, match.tone, match.inverted));
    }
    if (list.length > 0) due[row & ROW_MASK] = [];
  }

  function found(match: Match): Found {
    const end = (match.row + 1) * hop;
    return {
      start: end - PHASING_BITS * plan.bitSamples,
      centreHz: (lowest + match.tone + TONES_PER_SHIFT / 2) * spacing,
      inverted: match.inverted,
      strength: match.strength,
    };
  }

  function step(samples: Float32Array, at: number): Found[] {
    bank.step(samples, at, powers, powersStart(row));
    measureContrasts();
    correlateDx();
    matchRuns();
    matchCharacters();
    let ripe = NONE;
    if (waiting.length > 0) {
      ripe = waiting.filter((match) => row - match.row > SAME_CALL_ROWS).map(found);
      if (ripe.length > 0) waiting = waiting.filter((match) => row - match.row <= SAME_CALL_ROWS);
    }
    row++;
    return ripe;
  }

  return {
    push(samples) {
      const ripe: Found[] = [];
      let at = 0;
      if (rest.length > 0) {
        const needed = hop - rest.length;
        const joined = new Float32Array(rest.length + Math.min(needed, samples.length));
        joined.set(rest);
        joined.set(samples.subarray(0, joined.length - rest.length), rest.length);
        at = joined.length - rest.length;
        if (joined.length < hop) {
          rest = joined;
          return ripe;
        }
        ripe.push(...step(joined, 0));
      }
      for (; at + hop <= samples.length; at += hop) {
        const now = step(samples, at);
        if (now.length > 0) ripe.push(...now);
      }
      rest = samples.slice(at);
      return ripe;
    },
  };
}
