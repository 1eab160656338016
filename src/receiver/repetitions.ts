/**
 * Finding an attempt as a whole: sendings too weak to be found each by itself, added up over the period at which they
 * repeat (ITU-R M.541, five alerts in a row, from memory).
 *
 * Two stages. The cheap one adds, at every centre and every third of a bit, what the search has anyway (the run of the
 * six DX phasing characters) and a running sum over the dots before it, at lags of one to four periods. Where that is
 * likely, the costly one adds all bits that are known of two to five sendings, in deviations of as many random bits.
 */
import { LONG_DOTS, PHASING_DX_COUNT } from '../frames/index.js';
import { WINDOWS_PER_BIT } from '../modem/internal.js';
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import { KNOWN_BITS, PAIR_BITS, PHASING_BITS, PHASING_SIGNS } from './phasingsequence.js';
import type { BandParameters, Repetition } from './bandparameters.js';
import { DX_WEIGHT, ROWS_MASK, type ToneDifferences } from './tonedifferences.js';

/** Sendings of an attempt. */
export const MOST_SENDINGS = 5;

/** A place in the rows where the phasing of an attempt's latest sending seems to end. */
export interface RepeatedPlace {
  readonly row: number;
  readonly tone: number;
  readonly inverted: boolean;
  readonly repetition: Repetition;
  /** How far the known bits agree, in deviations of random ones. */
  readonly deviations: number;
  /** How many sendings before the latest the two lie whose phasings agree most. */
  readonly strongest: readonly [number, number];
}

/** Takes the rows as they come. */
export interface Repetitions {
  /** The places among the rows from `from` to `to` (exclusive), the newest; at most {@link MOST_ROWS} at a time. */
  take(from: number, to: number): RepeatedPlace[];
}

/** Bits from the first of the phasing to the end of its last DX character, and rows from there to its end. */
const DX_BITS = PAIR_BITS * (PHASING_DX_COUNT - 1) + BITS_PER_SYMBOL;
const BEHIND_DX = WINDOWS_PER_BIT * (PHASING_BITS - DX_BITS);

const DOT_ROWS = WINDOWS_PER_BIT * LONG_DOTS;

/** Deviations from which the costly stage looks: about 60 times in a second of noise over the whole passband. */
const FIRST_THRESHOLD = 3.5;

/** Deviations from which an attempt is tried: about once in some minutes of noise. */
const SECOND_THRESHOLD = 5.6;

/** What the RX phasing characters have to reach by themselves, so that a run of 125 or of dots is not tried. */
const RX_THRESHOLD = 2;

/** What the phasings besides the strongest have to reach, so that one sending alone is no attempt. */
const REST_THRESHOLD = 3;

/** What the phasing of the latest sending has to reach, either way up. */
const LATEST_THRESHOLD = 0.8;

/** Where contrasts vary like this, 1/3 being noise, there is a signal, and the latest sending must reach more to be it. */
const STRONG_VARIANCE = 0.45;
const LATEST_STRONG_THRESHOLD = 4;

/** Rows whose runs of dots are kept, a power of two. */
const DOTS_KEPT = 512;

/** How far random bits have the sum of so many contrasts stray. */
const deviation = (bits: number) => Math.sqrt(bits / 3);

/** No sending counts for more deviations than this in the cheap stage, so that a strong one alone is not looked at. */
const MOST_OF_ONE = 3.5;

/** Rows from the first bit of the phasing to each known bit, its sign, and whether it is sent in RX. */
const KNOWN = Array.from({ length: PHASING_BITS }, (_, bit) => bit).filter((bit) => PHASING_SIGNS[bit] !== 0);
const KNOWN_OFFSETS = Int32Array.from(KNOWN, (bit) => WINDOWS_PER_BIT * bit);
const KNOWN_SIGNS = Int8Array.from(KNOWN, (bit) => PHASING_SIGNS[bit]);
const KNOWN_RX = Uint8Array.from(KNOWN, (bit) => (bit % PAIR_BITS >= BITS_PER_SYMBOL ? 1 : 0));
const KNOWN_SUM = KNOWN_SIGNS.reduce((sum, sign) => sum + sign, 0);
const RX_BITS = KNOWN_RX.reduce((sum, isRx) => sum + isRx, 0);
const RX_SUM = KNOWN_SIGNS.reduce((sum, sign, i) => sum + sign * KNOWN_RX[i], 0);

/** @param differences - where the rows are taken to; each is asked for once, as the newest */
export function createRepetitions(parameters: BandParameters, differences: ToneDifferences): Repetitions {
  const { width, values, runs } = differences;
  const placeOf = (row: number) => differences.placeOf(row);
  const runPlaceOf = (row: number) => differences.runPlaceOf(row);
  const { repetitions } = parameters;
  if (repetitions.length === 0) return { take: () => [] };
  const withDots = repetitions.some((repetition) => repetition.dots >= LONG_DOTS);
  /** At the place of a row and centre: the run of DX characters that ends there, and that with the dots before it; at most so much. */
  const limited = new Float32Array(values.length);
  const limitedDotted = withDots ? new Float32Array(values.length) : limited;
  const mostRun = MOST_OF_ONE * deviation(DX_WEIGHT);
  const mostDotted = MOST_OF_ONE * deviation(DX_WEIGHT + LONG_DOTS);
  /** The run of dots that ends at a row, in places of its own. */
  const dots = new Float32Array(withDots ? DOTS_KEPT * width : 0);
  const dotsPlaceOf = (row: number) => (row & (DOTS_KEPT - 1)) * width;

  const limit = (value: number, most: number) => (value > most ? most : value < -most ? -most : value);

  function keepRuns(row: number): void {
    const now = placeOf(row);
    const run = runPlaceOf(row);
    for (let tone = 0; tone < width; tone++) limited[now + tone] = limit(runs[run + tone], mostRun);
    if (!withDots) return;
    const leaving = placeOf(row - DOT_ROWS);
    const own = dotsPlaceOf(row);
    const before = dotsPlaceOf(row - WINDOWS_PER_BIT);
    const ended = dotsPlaceOf(row - WINDOWS_PER_BIT * DX_BITS);
    for (let tone = 0; tone < width; tone++) {
      // B and Y in turn, Y last.
      dots[own + tone] = values[leaving + tone] - dots[before + tone] - values[now + tone];
      limitedDotted[now + tone] = limit(runs[run + tone] + dots[ended + tone], mostDotted);
    }
  }

  /**
   * How far all known bits of two to five sendings agree, in deviations; the latest of them has its last DX character
   * end at `row`. Mean and deviation are those of the contrasts themselves: beside a strong signal they lean to one
   * side, and where there is any signal they are larger than in noise.
   */
  function weigh(
    row: number,
    tone: number,
    { bits, dots: between }: Repetition,
  ): Pick<RepeatedPlace, 'deviations' | 'strongest'> {
    let sum = 0;
    let squares = 0;
    let rx = 0;
    let phased = 0;
    let dotted = 0;
    let dotSquares = 0;
    let [most, strongest, second, secondStrongest] = [0, 0, 0, 0];
    let best: Pick<RepeatedPlace, 'deviations' | 'strongest'> = { deviations: 0, strongest: [0, 0] };
    for (let sending = 0; sending < MOST_SENDINGS; sending++) {
      const first = row - WINDOWS_PER_BIT * (bits * sending + DX_BITS - 1);
      if (first < 0) break;
      const count = sending + 1;
      let own = 0;
      for (let i = 0; i < KNOWN_OFFSETS.length; i++) {
        const value = values[((first + KNOWN_OFFSETS[i]) & ROWS_MASK) * width + tone];
        const agreeing = KNOWN_SIGNS[i] * value;
        own += agreeing;
        rx += KNOWN_RX[i] * agreeing;
        sum += value;
        squares += value * value;
      }
      phased += own;
      const known = KNOWN_BITS * count;
      const mean = sum / known;
      const variance = squares / known - mean * mean + 1e-12;
      const unbiased = own - KNOWN_SUM * mean;
      if (sending === 0) {
        // Without the latest, the attempt was looked at before.
        const least = variance > STRONG_VARIANCE ? LATEST_STRONG_THRESHOLD : LATEST_THRESHOLD;
        if (Math.abs(unbiased) < least * Math.sqrt(variance * KNOWN_BITS)) break;
      }
      if (Math.abs(unbiased) > Math.abs(most)) {
        [second, secondStrongest] = [most, strongest];
        [most, strongest] = [unbiased, sending];
      } else if (Math.abs(unbiased) > Math.abs(second)) {
        [second, secondStrongest] = [unbiased, sending];
      }
      const all = phased - KNOWN_SUM * mean * count;
      const sign = all < 0 ? -1 : 1;
      const isRepeated =
        sending > 0 &&
        (all - most) * sign > REST_THRESHOLD * Math.sqrt(variance * KNOWN_BITS * sending) &&
        (rx - RX_SUM * mean * count) * sign > RX_THRESHOLD * Math.sqrt(variance * RX_BITS * count);
      const note = (total: number, power: number) => {
        const deviations = total / Math.sqrt(power);
        if (!isRepeated || Math.abs(deviations) <= Math.abs(best.deviations)) return;
        best = { deviations, strongest: [strongest, secondStrongest] };
      };
      note(all + dotted, variance * known + dotSquares);
      const areBetween = between >= LONG_DOTS;
      if (!withDots || !(areBetween || isRepeated)) continue;
      let ownDots = 0;
      let ownSquares = 0;
      for (let bit = 1; bit <= LONG_DOTS; bit++) {
        const value = values[((first - WINDOWS_PER_BIT * bit) & ROWS_MASK) * width + tone];
        ownDots += bit % 2 === 1 ? -value : value;
        ownSquares += value * value;
      }
      note(all + dotted + ownDots, variance * known + dotSquares + ownSquares);
      if (!areBetween) continue;
      dotted += ownDots;
      dotSquares += ownSquares;
    }
    return best;
  }

  /** The squares of what the sums of three and of five sendings must exceed. */
  const limits = repetitions.map(({ dots: between }) => {
    const dx = DX_WEIGHT;
    const square = (bits: number) => (FIRST_THRESHOLD ** 2 * bits) / 3;
    const isBetween = withDots && between >= LONG_DOTS;
    return isBetween
      ? { three: square(3 * (dx + LONG_DOTS)), five: square(5 * (dx + LONG_DOTS)) }
      : { three: square(3 * dx), five: square(5 * dx + (withDots ? LONG_DOTS : 0)) };
  });

  /** Calls `look` for each centre at which an attempt is likely whose latest run of DX characters ends with the row. */
  function lookAt(row: number, which: number, look: (tone: number) => void): void {
    const { bits, dots: between } = repetitions[which];
    const { three, five } = limits[which];
    const lag = WINDOWS_PER_BIT * bits;
    const a = placeOf(row);
    const b = placeOf(row - lag);
    const c = placeOf(row - 2 * lag);
    const d = placeOf(row - 3 * lag);
    const e = placeOf(row - 4 * lag);
    const latest = between >= LONG_DOTS ? limitedDotted : limited;
    const first = limitedDotted;
    for (let tone = 0; tone < width; tone++) {
      const sum = latest[a + tone] + latest[b + tone] + latest[c + tone];
      const all = sum + latest[d + tone] + first[e + tone];
      if (sum * sum > three || all * all > five) look(tone);
    }
  }

  return {
    take(from, to) {
      for (let row = from; row < to; row++) keepRuns(row);
      const places: RepeatedPlace[] = [];
      for (let which = 0; which < repetitions.length; which++) {
        const repetition = repetitions[which];
        // The RX characters behind the run must have come.
        for (let row = Math.max(0, from - BEHIND_DX); row < to - BEHIND_DX; row++) {
          lookAt(row, which, (tone) => {
            const { deviations, strongest } = weigh(row, tone, repetition);
            if (Math.abs(deviations) < SECOND_THRESHOLD) return;
            places.push({
              row: row + BEHIND_DX,
              tone,
              inverted: deviations < 0,
              repetition,
              deviations: Math.abs(deviations),
              strongest,
            });
          });
        }
      }
      return places.sort((a, b) => a.row - b.row);
    },
  };
}
