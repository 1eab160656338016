/**
 * Sendings that repeat: locked by the strongest of them, looked at together when the latest has ended.
 */
import { PHASING_DX_COUNT } from '../frames/index.js';
import { readAttempt } from './attempt.js';
import { isSending, lockSending } from './attemptlock.js';
import { WORKING_RATE, type BandParameters } from './bandparameters.js';
import { MARGIN_BITS, type Basebands } from './basebands.js';
import { EXPANSION_BITS } from './candidate.js';
import { SURE_DECISION, rate } from './confidence.js';
import { PAIR_BITS, PHASING_BITS } from './phasingsequence.js';
import { readingOf, type Place, type Reading, type Reports } from './reports.js';
import type { Found } from './search/detect.js';
import { MOST_SENDINGS } from './search/repetitions.js';
import { phasingStrength, type Lock } from './synchronise.js';

/** How much likelier (ln) than random bits an attempt must be, for all that was searched for it. */
const LEAST_ATTEMPT_EVIDENCE = 60;

/** Sendings that repeat. */
export interface AttemptCandidate {
  /** Working samples needed: by then the latest sending has been read by itself, if it can be. */
  readonly needed: number;
  /** Of the strongest sending, in units of amplitude. */
  readonly strength: number;
  /** What they say, and where each of them begins; nothing where that is not sure, or was given already. */
  read(): { call: Reading; members: Place[] } | undefined;
}

/** Opens an attempt where the two strongest of its sendings prove to be there. */
export function openAttempt(
  parameters: BandParameters,
  found: Found,
  { repetition, strongest: [strongest, second] }: NonNullable<Found['attempt']>,
  basebands: Basebands,
  reports: Reports,
): AttemptCandidate | undefined {
  const { bitSamples, decimation, modulation } = parameters;
  const { baud } = modulation;
  const samplesPerBit = bitSamples / decimation;
  const period = repetition.bits * bitSamples;
  const placeAt = (sample: number): Place => ({
    start: sample / WORKING_RATE,
    centreHz: found.centreHz,
    baud,
  });

  /** The baseband of a phasing, and the lock there of one that begins at working sample `start`. */
  const around = (start: number, centreHz: number) => {
    const { baseband, origin } = basebands.piece(parameters, start, PHASING_BITS, centreHz);
    const timing = { start: (start - origin) / decimation, samplesPerBit };
    return { baseband, origin, lock: { centreHz, inverted: found.inverted, timing } };
  };
  const rough = around(found.start - strongest * period, found.centreHz);
  const strength = phasingStrength(rough.baseband, parameters, rough.lock);
  if (reports.isKnownAt(placeAt(found.start - strongest * period), strength)) return undefined;
  const lock = lockSending(rough.baseband, parameters, rough.lock);
  if (!lock) return undefined;
  const start = rough.origin + lock.timing.start * decimation;
  const other = around(start + (strongest - second) * period, lock.centreHz);
  if (!isSending(other.baseband, parameters, other.lock)) return undefined;
  /** `start` in working samples of the stream. */
  const anchored: Lock = { ...lock, timing: { start, samplesPerBit } };

  /** Bits of a sending, from its phasing on. */
  const length = repetition.bits - repetition.dots;
  return {
    needed: Math.ceil(found.start + (length + EXPANSION_BITS + 2 * MARGIN_BITS) * bitSamples),
    strength,
    read() {
      if (reports.isSureAt(placeAt(found.start))) return undefined;
      // A sending of which less than half was received does not help.
      const before = Math.floor((found.start + (length / 2) * bitSamples) / period);
      const count = Math.min(MOST_SENDINGS, before + 1);
      const anchor = count - 1 - strongest;
      if (count < 2 || anchor < 0) return undefined;
      const { dots } = repetition;
      const oldest = found.start - (count - 1) * period - dots * bitSamples;
      const bits = (count - 1) * repetition.bits + dots + length + MARGIN_BITS;
      const { baseband, origin } = basebands.piece(parameters, oldest, bits, anchored.centreHz);
      const timing = { start: (start - origin) / decimation, samplesPerBit };
      const reading = readAttempt({
        baseband,
        parameters,
        anchored: { ...anchored, timing },
        anchor,
        repetition,
        count,
        characters: length / PAIR_BITS - PHASING_DX_COUNT,
      });
      if (!reading) return undefined;
      const { burst, observation, decision, logLikelihoods, sendings } = reading;
      if (decision.errorProbability >= SURE_DECISION || reading.logEvidence < LEAST_ATTEMPT_EVIDENCE)
        return undefined;
      const own = burst.lock.timing;
      const time = (bit: number) =>
        (origin + (own.start + bit * own.samplesPerBit) * decimation) / WORKING_RATE;
      const rating = rate(burst, observation, logLikelihoods, decision, sendings);
      const call = readingOf(parameters, burst, time, decision, rating);
      if (call.quality === 'doubtful' || reports.isSureAt(call) || reports.isSplatter(call, strength))
        return undefined;
      const members = reading.bitsBefore.map((ago) => ({ ...call, start: call.start - ago / baud }));
      return { call, members };
    },
  };
}
