/**
 * Reading an attempt as a whole: all its sendings under one lock, those that say the same added up, one decision.
 */
import type { Baseband } from '../dsp/index.js';
import { logOddsOfSame } from './agreement.js';
import { lockAttempt } from './attemptlock.js';
import type { BandParameters, Repetition } from './bandparameters.js';
import { SURE_DECISION } from './confidence.js';
import { decide, sequenceLogLikelihood, type Decision } from './decode.js';
import { measureLocked, type Burst, type Observation } from './demodulate.js';
import { addLogLikelihoods, type CharacterLogLikelihoods } from './loglikelihoods.js';
import { integrateTones, type Lock } from './synchronise.js';

/** An attempt of which the latest sending has ended. */
export interface AttemptInput {
  /** All sendings that may be looked at, with a margin. */
  readonly baseband: Baseband;
  readonly parameters: BandParameters;
  /** Of one of the sendings, by itself. */
  readonly anchored: Lock;
  /** How many sendings lie before that one. */
  readonly anchor: number;
  readonly repetition: Repetition;
  /** Sendings that may lie in the baseband, at least partly, the latest among them. */
  readonly count: number;
  /** Information characters of a sending. */
  readonly characters: number;
}

/** What the latest sending says together with those before it that say the same. */
export interface AttemptReading {
  /** The latest sending, and what it says. */
  readonly burst: Burst;
  readonly observation: Observation;
  readonly decision: Decision;
  /** What all of them say. */
  readonly logLikelihoods: CharacterLogLikelihoods;
  readonly sendings: number;
  /** Bits from the phasing of each of them to that of the latest. */
  readonly bitsBefore: readonly number[];
  /** ln of how much likelier than random bits their phasing and characters are. */
  readonly logEvidence: number;
}

/** Below this agreement of the known bits there is no attempt: noise seldom has more than 5, one that can be read 15. */
const LEAST_AGREEMENT = 9;

/**
 * Energy of a bit over that of the noise, added up over all sendings, below which nothing can be read for sure: five
 * sendings at −19 dB in 3 kHz have 1.9.
 */
const LEAST_ENERGY = 1.5;

/** A sending whose known bits agree less than this is not read, unless it was cut off before them. */
const LEAST_OWN_AGREEMENT = 1;

/** How much likelier (ln) it must be that a sending says what the others say than that it says anything. */
const SAME_EVIDENCE = 3;

interface Sending {
  readonly burst: Burst;
  readonly observation: Observation;
  /** ln of how much likelier than random bits a call is, by this sending alone. */
  readonly alone: () => number;
}

function observe(bursts: readonly Burst[], by: (burst: Burst) => Observation): Sending[] {
  return bursts.map((burst) => {
    const observation = by(burst);
    let alone: number | undefined;
    return {
      burst,
      observation,
      alone: () => (alone ??= decide(observation.logLikelihoods)?.logEvidence ?? 0),
    };
  });
}

const joined = (sendings: readonly Sending[]) =>
  addLogLikelihoods(sendings.map(({ observation }) => observation.logLikelihoods));

/** The sendings that say the same as the latest, and the decision on them; none where the latest stands alone. */
function addUp(
  sendings: readonly Sending[],
): { decision: Decision; logLikelihoods: CharacterLogLikelihoods; members: readonly Sending[] } | undefined {
  const latest = sendings[sendings.length - 1];
  let members = sendings;
  while (members.length > 1) {
    const logLikelihoods = joined(members);
    const decision = decide(logLikelihoods);
    if (!decision) return undefined;
    const { symbols } = decision;
    const doubts = members.map(({ observation, alone }) =>
      Math.min(
        logOddsOfSame(observation.logLikelihoods, symbols),
        sequenceLogLikelihood(observation.logLikelihoods, symbols) - alone() - SAME_EVIDENCE,
      ),
    );
    if (Math.min(...doubts) >= 0) return { decision, logLikelihoods, members };
    const others = members.filter((_, i) => doubts[i] < 0);
    if (others.includes(latest) && others.length < members.length) {
      // The rest say something else: what is left may be like the latest.
      members = others;
      continue;
    }
    const least = Math.min(...doubts.slice(0, -1));
    const worst = doubts.indexOf(least);
    members = members.filter((_, i) => i !== worst);
  }
  return undefined;
}

/** Reads an attempt; nothing where it is none, or where the latest sending says what no other does. */
export function readAttempt(input: AttemptInput): AttemptReading | undefined {
  const { baseband, parameters, anchored, anchor, repetition, count, characters } = input;
  const { lock, agreements, agreement, energy } = lockAttempt(
    baseband,
    parameters,
    anchored,
    repetition,
    count,
    anchor,
  );
  if (agreement < LEAST_AGREEMENT || energy < LEAST_ENERGY) return undefined;
  const { start, samplesPerBit } = lock.timing;
  const tones = integrateTones(baseband, parameters, lock);
  const bursts = agreements.flatMap((own, sending) => {
    const timing = { start: start + sending * repetition.bits * samplesPerBit, samplesPerBit };
    const isCut = timing.start < 0;
    if (own < LEAST_OWN_AGREEMENT && !isCut && sending < count - 1) return [];
    return [measureLocked(baseband, parameters, { ...lock, timing }, characters, true, tones)];
  });
  const isSure = (decision: Decision | undefined) =>
    decision !== undefined && decision.errorProbability < SURE_DECISION;
  const quick = observe(bursts, (burst) => burst.noncoherent());
  let sum = isSure(decide(joined(quick))) ? addUp(quick) : undefined;
  if (!isSure(sum?.decision)) sum = addUp(observe(bursts, (burst) => burst.phaseTrellis()));
  if (!sum) return undefined;
  const { decision, logLikelihoods, members } = sum;
  const { burst, observation } = members[members.length - 1];
  const phasing = members.reduce((total, member) => total + member.burst.phasingEvidence, 0);
  return {
    burst,
    observation,
    decision,
    logLikelihoods,
    sendings: members.length,
    bitsBefore: members.map(
      (member) => (burst.lock.timing.start - member.burst.lock.timing.start) / samplesPerBit,
    ),
    logEvidence: decision.logEvidence + phasing,
  };
}
