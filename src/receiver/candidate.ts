/**
 * A call that is being received: locked by its phasing, then looked at when each length that it may have has come.
 */
import { LEAST_CERTAINTY, decodeCall } from '../calls/index.js';
import { WORKING_RATE, type BandParameters } from './bandparameters.js';
import { MARGIN_BITS, type Basebands, type Piece } from './basebands.js';
import type { Combiner, ObservedBurst } from './combine.js';
import {
  SURE_DECISION,
  UNLIKELY,
  decideBurst,
  rate,
  rejectionReason,
  type BurstDecision,
} from './confidence.js';
import { CHARACTERS_AROUND, callLengths, informationLength } from './constraints.js';
import { measure, sequenceBits, type Burst } from './demodulate.js';
import type { Extent } from './lostcandidates.js';
import { readingOf, type Reading, type Reports } from './reports.js';
import type { Found } from './search/detect.js';
import { sentSigns } from './snr.js';
import {
  integrateTones,
  lockCentre,
  lockPhasing,
  type KnownTones,
  type Lock,
  type Tones,
} from './synchronise.js';
import { expansionBegins, readTrailingExpansions } from './trailingexpansions.js';

/** A call goes on to the next length while that explains more than this share of the doubt. */
const UNFINISHED_SHARE = 0.1;

/**
 * A call that goes on is not looked at closer where an end of sequence is as unlikely (ln) as this: three of its four
 * slots read clearly as something else. What fades says less.
 */
const NO_END = -10;

/** Information characters that have been received when the phasing ends. */
const PHASING_CHARACTERS = 2;

/** Bits waited behind a call to see whether an expansion begins: three slots. */
export const EXPANSION_BITS = 30;

/** Why a call is lost of which only question marks would be told. */
const NOTHING_CERTAIN = 'none of its characters is certain';

/** What came of a look: a call, nothing yet, or nothing at all and why. */
export type Outcome = Reading | 'wait' | { readonly lost: string };

/** A call that is being received. */
export interface Candidate {
  readonly parameters: BandParameters;
  /** Of its tones, in units of amplitude. */
  readonly strength: number;
  /** Seconds of the stream to its phasing. */
  readonly start: number;
  readonly centreHz: number;
  readonly inverted: boolean;
  /** The call, where it is decided and only expansions may follow. */
  readonly decided: Reading | undefined;
  /** Working samples that it needs before it is looked at again. */
  needed(): number;
  /** Whether its phasing is there. */
  isPhased(): boolean;
  /** Looks at its next possible length; with `isLast` at all there is of it. */
  look(isLast: boolean): Outcome;
  /** Looks at what follows the call that was decided: the whole call, or `'wait'` where more may come. */
  follow(call: Reading, isLast: boolean): Reading | 'wait';
  /** Where it lies; where nothing came of it, to the end of its phasing. */
  extent(isLost?: boolean): Extent;
}

const moved = (lock: Lock, by: number): Lock => ({
  ...lock,
  timing: { ...lock.timing, start: lock.timing.start + by },
});

/** Opens a candidate where the search found one. */
export function openCandidate(
  parameters: BandParameters,
  found: Found,
  basebands: Basebands,
  combiner: Combiner,
  reports: Reports,
): Candidate {
  const { decimation, modulation } = parameters;
  const lengths = callLengths();
  const { baseband, origin } = basebands.piece(
    parameters,
    found.start,
    sequenceBits(PHASING_CHARACTERS),
    found.centreHz,
  );
  const samplesPerBit = baseband.rate / modulation.baud;
  const timing = { start: (found.start - origin) / decimation, samplesPerBit };
  const rough: Lock = { centreHz: found.centreHz, inverted: found.inverted, timing };
  const { lock: phased, strength } = lockPhasing(
    baseband,
    parameters,
    rough,
    WORKING_RATE / parameters.period,
  );
  const lock = lockCentre(baseband, parameters, phased);
  /** Which of the possible lengths is looked at next. */
  let length = 0;
  /** Information characters at the latest look that has shown a call that goes on. */
  let goesOn: number | undefined;
  let final: Reading | undefined;
  /** Characters looked at next behind the decided call. */
  let following = 0;

  /** Working samples from the beginning of the stream to a bit. */
  const sampleOf = ({ timing: { start, samplesPerBit: perBit } }: Lock, bit: number) =>
    origin + (start + bit * perBit) * decimation;
  const timeOf = (own: Lock, bit: number) => sampleOf(own, bit) / WORKING_RATE;

  /** What was read of the call before, as far as it holds. */
  let known: { readonly piece: Piece; readonly tones: Tones } | undefined;

  function read(bits: number, isWithoutClicks: boolean): { piece: Piece; tones: Tones } {
    const start = sampleOf(lock, 0);
    const integrate = ({ baseband }: Piece, before?: KnownTones) =>
      integrateTones(baseband, parameters, lock, { known: before });
    if (isWithoutClicks) {
      const piece = basebands.pieceWithoutClicks(parameters, start, bits, lock.centreHz);
      return { piece, tones: integrate(piece) };
    }
    const piece = known
      ? basebands.longerPiece(known.piece, parameters, start, bits)
      : basebands.piece(parameters, start, bits, lock.centreHz);
    known = { piece, tones: integrate(piece, known && { tones: known.tones, count: known.piece.settled }) };
    return known;
  }

  function measureBurst(characters: number, isWithoutClicks = false): Burst {
    const { piece, tones } = read(sequenceBits(characters), isWithoutClicks);
    const shift = (origin - piece.origin) / decimation;
    const burst = measure(piece.baseband, parameters, moved(lock, shift), characters, tones);
    return { ...burst, lock: moved(burst.lock, -shift) };
  }

  /**
   * The decision on what has come; where that is not sure and the audio may have clicks, also without them. A call that
   * goes on waits where nothing speaks for an end.
   */
  function decideSending(
    characters: number,
    mayWait: boolean,
  ): ({ burst: Burst } & BurstDecision) | 'wait' | undefined {
    const measured = measureBurst(characters);
    if (goesOn !== undefined && mayWait && !parameters.hasClicks && measured.endEvidence(goesOn) < NO_END)
      return 'wait';
    const decide = (burst: Burst) => {
      const decided = decideBurst(burst, mayWait);
      return decided && { burst, ...decided };
    };
    const one = decide(measured);
    const isSure = one && (!one.decision || one.decision.errorProbability < SURE_DECISION);
    if (isSure || !parameters.hasClicks) return one;
    const other = decide(measureBurst(characters, true));
    const evidence = (decided: typeof one) => decided?.decision?.logEvidenceSoFar ?? -Infinity;
    return other && evidence(other) >= evidence(one) ? other : one;
  }

  return {
    parameters,
    strength,
    start: timeOf(lock, 0),
    centreHz: lock.centreHz,
    inverted: lock.inverted,
    get decided() {
      return final;
    },
    needed() {
      const bits = final ? sequenceBits(following) + EXPANSION_BITS : sequenceBits(lengths[length]);
      return Math.ceil(sampleOf(lock, bits + MARGIN_BITS));
    },
    isPhased: () =>
      measureBurst(PHASING_CHARACTERS).isPhased ||
      (parameters.hasClicks && measureBurst(PHASING_CHARACTERS, true).isPhased),
    look(isLast) {
      const characters = lengths[isLast ? lengths.length - 1 : length];
      length++;
      const mayWait = !isLast && length < lengths.length;
      const decided = decideSending(characters, mayWait);
      if (decided === 'wait') return decided;
      if (!decided) return { lost: UNLIKELY };
      const { burst, observation, decision: single, nextLength } = decided;
      const isUnsure = !single || single.errorProbability >= SURE_DECISION;
      if (
        mayWait &&
        isUnsure &&
        (!single || single.unfinished > UNFINISHED_SHARE * single.errorProbability)
      ) {
        goesOn = characters;
        length = Math.max(
          length,
          lengths.findIndex((other) => other >= nextLength),
        );
        return 'wait';
      }
      if (!single) return { lost: 'it did not end' };
      const observed: ObservedBurst = {
        parameters,
        lock: burst.lock,
        time: timeOf(burst.lock, 0),
        logLikelihoods: observation.logLikelihoods,
        logEvidence: single.logEvidence,
      };
      const combined = isUnsure ? combiner.decideCombined(observed, SURE_DECISION) : undefined;
      combiner.remember(observed);
      const decision = combined?.decision ?? single;
      const lost = rejectionReason(burst, observation, decision);
      if (lost !== undefined) return { lost };
      const logLikelihoods = combined?.logLikelihoods ?? observation.logLikelihoods;
      const rating = rate(burst, observation, logLikelihoods, decision, combined?.sendings ?? 1);
      if (rating.certainty.every((value) => value < LEAST_CERTAINTY)) return { lost: NOTHING_CERTAIN };
      const call = readingOf(parameters, burst, (bit) => timeOf(burst.lock, bit), decision, rating);
      if (parameters.hasClicks) {
        // Clicks count for more noise than they are: of both ways to measure it, the clearer one.
        const signs = sentSigns(call.symbols, call.certainty);
        const snrDb = [false, true].map((without) => measureBurst(characters, without).snrDb(signs));
        call.snrDb = Math.max(...snrDb);
      }
      if (reports.isSplatter(call, strength)) return { lost: 'it is the splatter of a stronger signal' };
      final = call;
      following = informationLength(call.symbols);
      return call;
    },
    follow(call, isLast) {
      const behind = call.symbols.length + 1;
      const burst = measureBurst(following + CHARACTERS_AROUND / 2);
      const { logLikelihoods } = burst.noncoherent();
      const eos = call.symbols[call.symbols.length - 2];
      if (!expansionBegins(logLikelihoods, behind, eos)) return call;
      const {
        expansions,
        length: longer,
        isOver,
        moreFollowed,
      } = readTrailingExpansions(logLikelihoods, behind);
      if (!isOver && !isLast) {
        following++;
        return 'wait';
      }
      if (expansions.length === 0 && !moreFollowed) return call;
      const whole = decodeCall(call.symbols, { certainty: call.certainty, expansions });
      const end = timeOf(burst.lock, sequenceBits(behind + longer));
      return { ...call, end, expansions, moreFollowed, call: whole };
    },
    extent: (isLost = false) => ({
      parameters,
      centreHz: lock.centreHz,
      amplitude: strength / Math.sqrt(samplesPerBit),
      start: timeOf(lock, 0),
      end: isLost ? timeOf(lock, sequenceBits(PHASING_CHARACTERS)) : (final?.end ?? Infinity),
    }),
  };
}
