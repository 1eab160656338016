/**
 * Test calls up and down a ladder, through a sound port, and the acknowledgements that come.
 */
import type { Call } from '../../calls/index.js';
import { DotphaseError, NOTHING } from '../../errors.js';
import { rungAudio, type Ladder, type LadderAir, type LadderTrial } from '../../measure/index.js';
import { createReceiver } from '../../receiver/index.js';
import type { SoundPort } from '../sound/port.js';

/** How the ladder is walked. */
export interface WalkPlan {
  readonly ladder: Ladder;
  /** The call at each step, and whose acknowledgement counts. */
  readonly call: Extract<Call, { kind: 'testCall' }>;
  /** What they go through, and what of it is stepped. */
  readonly air: LadderAir;
  /** Peak level of all that is sent, dB below full scale; signal and noise share it. */
  readonly levelDb: number;
  /** Seconds waited for an acknowledgement behind each call, and then until the next. */
  readonly waitSeconds: number;
  readonly pauseSeconds: number;
  /** Seed of the noise; each call has its own. */
  readonly seed: number;
  /** Asks a person whether the set took the call, where no acknowledgement is looked for; undefined: no answer comes. */
  readonly ask?: (value: number) => Promise<boolean | undefined>;
  /** Told of each call when it is over. */
  readonly onTrial: (trial: LadderTrial) => Promise<void> | void;
  /** Whether to stop before the next call. */
  readonly isStopped: () => boolean;
}

const SEED_STEP = 7919;

/**
 * Walks the ladder to its end.
 *
 * @throws DotphaseError when the sound fails
 */
export async function walkLadder(port: SoundPort, plan: WalkPlan): Promise<void> {
  const { ladder, call, air, waitSeconds, pauseSeconds, seed, levelDb } = plan;
  const { sampleRate } = port;
  const receiver = createReceiver({ sampleRate, bands: [air.band] });
  const blocks = port.blocks()[Symbol.asyncIterator]();
  let heard = 0;

  /** Listens until something is so; what is acknowledged meanwhile is told. */
  const listenUntil = async (isOver: () => boolean): Promise<boolean> => {
    let isAcknowledged = false;
    while (!isOver()) {
      const next = await blocks.next();
      if (next.done) throw new DotphaseError('input', NOTHING, 'sound until the ladder has ended');
      heard += next.value.length;
      for (const received of receiver.push(next.value)) {
        const { call: answer, quality } = received;
        if (quality === 'doubtful' || answer.kind !== 'testAcknowledgement') continue;
        if (answer.self === call.to.station) isAcknowledged = true;
      }
      if (isAcknowledged) return true;
    }
    return isAcknowledged;
  };
  const pass = (seconds: number) => {
    const until = heard + seconds * sampleRate;
    return listenUntil(() => heard >= until);
  };

  for (;;) {
    if (plan.isStopped()) return;
    const value = ladder.next();
    if (value === undefined) return;
    const own = { sampleRate, levelDb, seed: seed + SEED_STEP * ladder.trials.length };
    const { audio } = rungAudio(call, air, value, own);
    const sending = { isOver: false, isWhole: false };
    port.play(audio, (isWhole) => {
      sending.isOver = true;
      sending.isWhole = isWhole;
    });
    await listenUntil(() => sending.isOver);
    if (!sending.isWhole) return;
    let isAcknowledged: boolean | undefined;
    if (plan.ask) isAcknowledged = await plan.ask(value);
    else isAcknowledged = await pass(waitSeconds);
    if (isAcknowledged === undefined) return;
    const trial = { value, isAcknowledged };
    ladder.record(trial);
    await plan.onTrial(trial);
    await pass(pauseSeconds);
  }
}
