/**
 * Finding an attempt as a whole: sendings too weak to be found each by itself, added up over the period at which they
 * repeat (ITU-R M.541, five alerts in a row, from memory).
 *
 * Two stages. The cheap one adds, at every centre and every third of a bit, what the search has anyway (the run of the
 * six DX phasing characters) and a running sum over the dots before it, at lags of one to four periods. Where that is
 * likely, the costly one adds all bits that are known of two to five sendings, in deviations of as many random bits.
 */
import { LONG_DOTS } from '../../frames/index.js';
import type { BandParameters, Repetition } from '../bandparameters.js';
import { KNOWN_BITS } from '../phasingsequence.js';
import { createBitSums } from './bitsums.js';
import { DX_B, DX_Y, RX_B, RX_Y } from './knownrows.js';
import { BEHIND_DX, DX_BITS, KEPT_BITS } from './rowconstants.js';
import type { Rows } from './rows.js';
import { Look } from './rowsettings.js';
import { WINDOWS_PER_BIT } from './windows.js';

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

/** Looks at the rows where attempts are likely. */
export interface Repetitions {
  /** The places at a row of the latest step, of which `look` tells what is likely there. */
  lookAt(row: number, look: number): RepeatedPlace[];
}

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

const RX_BITS = RX_B.length + RX_Y.length;
const RX_SUM = RX_B.length - RX_Y.length;
const KNOWN_SUM = DX_B.length - DX_Y.length + RX_SUM;

/** The known bits of the latest sending and of those before it together. */
interface Weight {
  /** Row at which the phasing of the earliest of them begins. */
  readonly first: number;
  /** How far they agree, and the sum of their squares about the mean. */
  readonly agreement: number;
  readonly power: number;
  /** Whether sendings besides the strongest, and the RX characters by themselves, agree. */
  readonly isRepeated: boolean;
  /** How many sendings before the latest the two lie that agree most. */
  readonly strongest: readonly [number, number];
}

/** @param rows - as they come */
export function createRepetitions({ repetitions }: BandParameters, rows: Rows): Repetitions {
  const { keptContrasts, keptBitsOf } = rows;
  const sums = createBitSums(rows);

  /** What the dots before the phasing that begins at a row agree to, and the sum of their squares. */
  function weighDots(first: number, tone: number): [number, number] {
    const ring = keptBitsOf(tone, first);
    const firstBit = Math.floor(first / WINDOWS_PER_BIT);
    let sum = 0;
    let squares = 0;
    for (let bit = 1; bit <= LONG_DOTS; bit++) {
      const value = keptContrasts[ring + ((firstBit - bit) & (KEPT_BITS - 1))];
      sum += bit % 2 === 1 ? -value : value;
      squares += value * value;
    }
    return [sum, squares];
  }

  /** The phasings of the latest sending and of those before it, added up one by one to the last that is repeated. */
  function weighPhasings(row: number, tone: number, bits: number): Weight[] {
    const weights: Weight[] = [];
    let last = 0;
    let sum = 0;
    sums.squares = 0;
    let rx = 0;
    let phased = 0;
    let most = 0;
    let strongest = 0;
    let second = 0;
    let secondStrongest = 0;
    for (let sending = 0; sending < MOST_SENDINGS; sending++) {
      const first = row - WINDOWS_PER_BIT * (bits * sending + DX_BITS - 1);
      if (first < 0) break;
      const count = sending + 1;
      const dxB = sums.add(DX_B, first, tone);
      const dxY = sums.add(DX_Y, first, tone);
      const rxB = sums.add(RX_B, first, tone);
      const rxY = sums.add(RX_Y, first, tone);
      const own = dxB - dxY + rxB - rxY;
      sum += dxB + dxY + rxB + rxY;
      rx += rxB - rxY;
      phased += own;
      const known = KNOWN_BITS * count;
      const mean = sum / known;
      const variance = sums.squares / known - mean * mean + 1e-12;
      const unbiased = own - KNOWN_SUM * mean;
      if (sending === 0) {
        // Without the latest, the attempt was looked at before.
        const least = variance > STRONG_VARIANCE ? LATEST_STRONG_THRESHOLD : LATEST_THRESHOLD;
        if (Math.abs(unbiased) < least * Math.sqrt(variance * KNOWN_BITS)) break;
      }
      if (Math.abs(unbiased) > Math.abs(most)) {
        second = most;
        secondStrongest = strongest;
        most = unbiased;
        strongest = sending;
      } else if (Math.abs(unbiased) > Math.abs(second)) {
        second = unbiased;
        secondStrongest = sending;
      }
      const all = phased - KNOWN_SUM * mean * count;
      const sign = all < 0 ? -1 : 1;
      const isRepeated =
        sending > 0 &&
        (all - most) * sign > REST_THRESHOLD * Math.sqrt(variance * KNOWN_BITS * sending) &&
        (rx - RX_SUM * mean * count) * sign > RX_THRESHOLD * Math.sqrt(variance * RX_BITS * count);
      if (isRepeated) last = count;
      weights.push({
        first,
        agreement: all,
        power: variance * known,
        isRepeated,
        strongest: [strongest, secondStrongest],
      });
    }
    return weights.slice(0, last);
  }

  /**
   * The attempt whose latest sending ends its phasing with `row`, by how far all known bits of two to five sendings
   * agree; nothing where none repeats. Mean and deviation are those of the contrasts themselves: beside a strong signal
   * they lean to one side, and where there is any signal they are larger than in noise.
   */
  function weigh(row: number, tone: number, repetition: Repetition): RepeatedPlace | undefined {
    const areBetween = repetition.dots >= LONG_DOTS;
    let best = 0;
    let most: Weight | undefined;
    let dotted = 0;
    let dotSquares = 0;
    for (const weight of weighPhasings(row - BEHIND_DX, tone, repetition.bits)) {
      const { first, agreement, power, isRepeated } = weight;
      const note = (sum: number, squares: number) => {
        const deviations = (agreement + sum) / Math.sqrt(power + squares);
        if (isRepeated && Math.abs(deviations) > Math.abs(best)) [best, most] = [deviations, weight];
      };
      note(dotted, dotSquares);
      if (!areBetween && !isRepeated) continue;
      const [sum, squares] = weighDots(first, tone);
      note(dotted + sum, dotSquares + squares);
      if (!areBetween) continue;
      dotted += sum;
      dotSquares += squares;
    }
    if (!most || Math.abs(best) < SECOND_THRESHOLD) return undefined;
    return {
      row,
      tone,
      inverted: best < 0,
      repetition,
      deviations: Math.abs(best),
      strongest: most.strongest,
    };
  }

  return {
    lookAt(row, look) {
      const places: RepeatedPlace[] = [];
      repetitions.forEach((repetition, way) => {
        if (!(look & (Look.repeated << way))) return;
        for (const tone of rows.repeated(row - BEHIND_DX, way)) {
          const place = weigh(row, tone, repetition);
          if (place) places.push(place);
        }
      });
      return places;
    },
  };
}
