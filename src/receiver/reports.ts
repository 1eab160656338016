/**
 * What was decided and given lately: so that nothing is given twice, by its splatter, or after something better.
 */
import type { BandParameters } from './bandparameters.js';
import type { Burst } from './demodulate.js';
import { sequenceBits } from './demodulate.js';
import { informationLength } from './constraints.js';
import { decodeCall } from '../calls/index.js';
import type { rate } from './confidence.js';
import type { Decision } from './decode.js';
import { createAttemptNumbering } from './sendings.js';
import { sentSigns } from './snr.js';
import type { ReceivedCall } from './types.js';

/** A received call before it is known which attempt it belongs to. */
export type Reading = Omit<ReceivedCall, 'attempt'>;

/** Where a call begins. */
export type Place = Pick<Reading, 'start' | 'centreHz' | 'baud'>;

/** Calls that begin within this many bits of each other are one. */
export const SAME_CALL_BITS = 10;

/** A signal this many times stronger in amplitude splatters its own call elsewhere. */
const SPLATTER = 3;

const DECIDED_KEPT = 12;
const GIVEN_KEPT = 32;

/** Whether a call lies where another begins. */
export const isThere = (call: Place, { start, centreHz, baud }: Place) =>
  call.baud === baud &&
  Math.abs(call.start - start) * baud < SAME_CALL_BITS &&
  Math.abs(call.centreHz - centreHz) < baud;

/**
 * What a decision on a burst says.
 *
 * @param time - seconds of the stream to a bit of the burst, counted from its phasing
 */
export function readingOf(
  { modulation }: BandParameters,
  burst: Burst,
  time: (bit: number) => number,
  { symbols }: Decision,
  rating: ReturnType<typeof rate>,
): Reading {
  const { centreHz, inverted } = burst.lock;
  return {
    start: time(0),
    end: time(sequenceBits(informationLength(symbols))),
    baud: modulation.baud,
    centreHz,
    inverted,
    symbols,
    expansions: [],
    moreFollowed: false,
    call: decodeCall(symbols, { certainty: rating.certainty }),
    snrDb: burst.snrDb(sentSigns(symbols, rating.certainty)),
    ...rating,
  };
}

/** The calls decided and given lately. Strengths are amplitudes. */
export interface Reports {
  /** Notes a call that is decided, whatever may follow it. */
  decide(call: Reading, strength: number): void;
  /** Gives a call with all that follows it. */
  give(call: Reading): ReceivedCall;
  /** Whether the same characters were just decided at the same time from a stronger signal. */
  isSplatter(call: Reading, strength: number): boolean;
  /** Whether a call that is sure was given there, or will be when it is known what follows it. */
  isSureAt(place: Place): boolean;
  /** Whether a sending was read for sure already, or is the splatter of a stronger one that was. */
  isKnownAt(place: Place, strength: number): boolean;
  /** Takes back what was given as doubtful at any of the places, and returns it. */
  takeBack(places: readonly Place[]): Reading[];
}

export function createReports(): Reports {
  const attemptOf = createAttemptNumbering();
  let decided: { call: Reading; strength: number }[] = [];
  let given: Reading[] = [];
  const isSure = (call: Reading) => call.quality !== 'doubtful';
  return {
    decide(call, strength) {
      decided = [...decided, { call, strength }].slice(-DECIDED_KEPT);
    },
    give(call) {
      given = [...given, call].slice(-GIVEN_KEPT);
      return { ...call, attempt: attemptOf(call) };
    },
    isSplatter: (call, strength) =>
      decided.some(
        (other) =>
          other.strength > SPLATTER * strength &&
          other.call.baud === call.baud &&
          Math.abs(other.call.start - call.start) * call.baud < 1 &&
          other.call.symbols.join() === call.symbols.join(),
      ),
    isSureAt: (place) =>
      [...given, ...decided.map(({ call }) => call)].some((call) => isSure(call) && isThere(call, place)),
    isKnownAt: (place, strength) =>
      decided.some(
        ({ call, strength: other }) =>
          isSure(call) &&
          isThere({ ...call, centreHz: other > SPLATTER * strength ? place.centreHz : call.centreHz }, place),
      ),
    takeBack(places) {
      const back = given.filter((call) => !isSure(call) && places.some((place) => isThere(call, place)));
      given = given.filter((call) => !back.includes(call));
      return back;
    },
  };
}
