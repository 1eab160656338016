/**
 * Sendings of one call added up: five alerts in a row, or the same alert again minutes later.
 */
import { decide, type Decision } from './decide.js';
import { addEvidence, type CharacterEvidence } from './evidence.js';
import type { BandPlan } from './plan.js';
import type { Lock } from './synchronise.js';

/** A sending that was observed. */
export interface Sending {
  readonly plan: BandPlan;
  readonly lock: Lock;
  /** Seconds from the beginning of the stream to its phasing. */
  readonly time: number;
  readonly evidence: CharacterEvidence;
  /** Evidence of the decision from this sending alone. */
  readonly alone: number;
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
  readonly evidence: CharacterEvidence;
  readonly sendings: number;
}

/** Remembers sendings for as long as they may be repeated. */
export interface SendingMemory {
  remember(sending: Sending): void;
  /** The decision from this sending and earlier ones, where that is likelier than different calls and surer. */
  decideTogether(sending: Sending, surer: number): JointDecision | undefined;
}

/** An empty memory. */
export function createSendingMemory(): SendingMemory {
  let memories: Sending[] = [];
  return {
    remember(sending) {
      memories = [...memories, sending].slice(-REMEMBERED);
    },
    decideTogether(sending, surer) {
      const others = memories.filter(
        (memory) =>
          memory.plan === sending.plan &&
          memory.lock.inverted === sending.lock.inverted &&
          Math.abs(memory.lock.centreHz - sending.lock.centreHz) <=
            SAME_CENTRE * sending.plan.modulation.baud &&
          sending.time - memory.time <= SAME_CALL_SECONDS &&
          memory.evidence.count >= sending.evidence.count,
      );
      const recent = others.filter((memory) => sending.time - memory.time <= SAME_ATTEMPT_SECONDS);
      const groups = [...(recent.length > 1 ? [recent] : []), ...others.map((memory) => [memory])];
      for (const group of groups) {
        const evidence = addEvidence([sending.evidence, ...group.map((memory) => memory.evidence)]);
        const decision = decide(evidence);
        if (!decision || decision.errorProbability >= surer) continue;
        const apart = group.reduce((sum, memory) => sum + memory.alone, sending.alone);
        if (decision.evidence > apart + SAME_CALL_EVIDENCE) {
          return { decision, evidence, sendings: group.length + 1 };
        }
      }
      return undefined;
    },
  };
}
