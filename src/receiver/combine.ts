/**
 * Sendings of one call added up: five alerts in a row, or the same alert again minutes later.
 */
import { logOddsOfSame } from './agreement.js';
import { decide, type Decision } from './decode.js';
import { addLogLikelihoods, type CharacterLogLikelihoods } from './loglikelihoods.js';
import type { BandParameters } from './bandparameters.js';
import type { Lock } from './synchronise.js';

/** A burst that was observed. */
export interface ObservedBurst {
  readonly parameters: BandParameters;
  readonly lock: Lock;
  /** Seconds from the beginning of the stream to its phasing. */
  readonly time: number;
  readonly logLikelihoods: CharacterLogLikelihoods;
  /** ln of how much likelier than random bits the decision from this burst by itself is. */
  readonly logEvidence: number;
}

/** How much likelier (ln) it must be that sendings say the same than that each says something else. */
const SAME_CALL_EVIDENCE = 5;

/** Sendings are added up by pairs within this many seconds, all at once within the shorter time. */
const SAME_CALL_SECONDS = 300;
const SAME_ATTEMPT_SECONDS = 45;

/** And on centres no further apart than this, in bit rates. */
const SAME_CENTRE = 0.25;

const REMEMBERED = 12;

/** A decision on several sendings. */
export interface JointDecision {
  readonly decision: Decision;
  /** What all of them say. */
  readonly logLikelihoods: CharacterLogLikelihoods;
  readonly sendings: number;
}

/** Remembers sendings for as long as they may be repeated. */
export interface Combiner {
  remember(burst: ObservedBurst): void;
  /** The decision from this burst and earlier ones, where that is likelier than different calls and surer. */
  decideCombined(burst: ObservedBurst, surer: number): JointDecision | undefined;
}

/** The decision from a burst and those of a group that say the same as it, if any do. */
function decideOnSame(
  burst: ObservedBurst,
  group: readonly ObservedBurst[],
): (Pick<JointDecision, 'decision' | 'logLikelihoods'> & { members: readonly ObservedBurst[] }) | undefined {
  let members = group;
  while (members.length > 0) {
    const logLikelihoods = addLogLikelihoods([
      burst.logLikelihoods,
      ...members.map((memory) => memory.logLikelihoods),
    ]);
    const decision = decide(logLikelihoods);
    if (!decision) return undefined;
    const saysSame = (one: ObservedBurst) => logOddsOfSame(one.logLikelihoods, decision.symbols) >= 0;
    if (!saysSame(burst)) return undefined;
    const same = members.filter(saysSame);
    if (same.length === members.length) return { decision, logLikelihoods, members };
    members = same;
  }
  return undefined;
}

/** An empty memory. */
export function createCombiner(): Combiner {
  let memories: ObservedBurst[] = [];
  return {
    remember(burst) {
      memories = [...memories, burst].slice(-REMEMBERED);
    },
    decideCombined(burst, surer) {
      const others = memories.filter(
        (memory) =>
          memory.parameters === burst.parameters &&
          memory.lock.inverted === burst.lock.inverted &&
          Math.abs(memory.lock.centreHz - burst.lock.centreHz) <=
            SAME_CENTRE * burst.parameters.modulation.baud &&
          burst.time - memory.time <= SAME_CALL_SECONDS &&
          memory.logLikelihoods.count >= burst.logLikelihoods.count,
      );
      const recent = others.filter((memory) => burst.time - memory.time <= SAME_ATTEMPT_SECONDS);
      const groups = [...(recent.length > 1 ? [recent] : []), ...others.map((memory) => [memory])];
      for (const group of groups) {
        const joint = decideOnSame(burst, group);
        if (!joint || joint.decision.errorProbability >= surer) continue;
        const apart = joint.members.reduce((sum, memory) => sum + memory.logEvidence, burst.logEvidence);
        if (joint.decision.logEvidence > apart + SAME_CALL_EVIDENCE) {
          return { ...joint, sendings: joint.members.length + 1 };
        }
      }
      return undefined;
    },
  };
}
