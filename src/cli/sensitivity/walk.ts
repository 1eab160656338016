/**
 * Test calls up and down a ladder of signal-to-noise ratios, through a sound port, and the acknowledgements that come.
 */
import type { Call } from '../../calls/index.js';
import { createChannel } from '../../channel/index.js';
import { DotphaseError, NOTHING } from '../../errors.js';
import type { Ladder, LadderTrial } from '../../measure/index.js';
import { createReceiver } from '../../receiver/index.js';
import type { Band } from '../../symbols/index.js';
import { callToAudio } from '../../transmitter/index.js';
import type { SoundPort } from '../sound/port.js';

/** How the ladder is walked. */
export interface WalkPlan {
  readonly ladder: Ladder;
  /** The call at each step, and whose acknowledgement counts. */
  readonly call: Extract<Call, { kind: 'testCall' }>;
  readonly band: Band;
  /** Peak level of all that is sent, dB below full scale; signal and noise share it. */
  readonly levelDb: number;
  /** Seconds waited for an acknowledgement behind each call, and then until the next. */
  readonly waitSeconds: number;
  readonly pauseSeconds: number;
  /** Seed of the noise; each call has its own. */
  readonly seed: number;
  /** Asks a person whether the set took the call, where no acknowledgement is looked for. */
  readonly ask?: (ratioDb: number) => Promise<boolean>;
  /** Told of each call when it is over. */
  readonly onTrial: (trial: LadderTrial) => Promise<void> | void;
  /** Whether to stop before the next call. */
  readonly isStopped: () => boolean;
}

/** Seconds of noise before and behind each call, for the set's gain control to settle. */
const NOISE_SECONDS = 1;
/** Signal and noise together stay below full scale: the root mean square lies so far below their peak, dB. */
const CREST_DB = 12;
const SEED_STEP = 7919;

/** The call in noise, at a ratio in 3 kHz. */
function noisyCall(
  { call, band, levelDb, seed, ladder }: Pick<WalkPlan, 'call' | 'band' | 'levelDb' | 'seed' | 'ladder'>,
  ratioDb: number,
  sampleRate: number,
): Float32Array {
  const amplitude = 0.5;
  const clean = callToAudio(call, { band, sampleRate, level: amplitude });
  const silence = Math.round(NOISE_SECONDS * sampleRate);
  const padded = new Float32Array(clean.length + 2 * silence);
  padded.set(clean, silence);
  const signalLevelDb = 20 * Math.log10(amplitude / Math.SQRT2);
  const channel = createChannel({
    sampleRate,
    seed: seed + SEED_STEP * ladder.trials.length,
    signalLevelDb,
    stages: [{ kind: 'noise', snrDb: ratioDb }],
  });
  const noisy = channel.push(padded);
  const rest = channel.flush();
  const whole = new Float32Array(noisy.length + rest.length);
  whole.set(noisy);
  whole.set(rest, noisy.length);
  const power = whole.reduce((sum, sample) => sum + sample * sample, 0) / whole.length;
  const gain = 10 ** ((levelDb - CREST_DB) / 20) / Math.sqrt(power);
  return whole.map((sample) => gain * sample);
}

/**
 * Walks the ladder to its end.
 *
 * @throws DotphaseError when the sound fails
 */
export async function walkLadder(port: SoundPort, plan: WalkPlan): Promise<void> {
  const { ladder, call, band, waitSeconds, pauseSeconds } = plan;
  const { sampleRate } = port;
  const receiver = createReceiver({ sampleRate, bands: [band] });
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
    const ratioDb = ladder.next();
    if (ratioDb === undefined) return;
    const audio = noisyCall(plan, ratioDb, sampleRate);
    const sending = { isOver: false, isWhole: false };
    port.play(audio, (isWhole) => {
      sending.isOver = true;
      sending.isWhole = isWhole;
    });
    await listenUntil(() => sending.isOver);
    if (!sending.isWhole) return;
    let isAcknowledged: boolean;
    if (plan.ask) isAcknowledged = await plan.ask(ratioDb);
    else isAcknowledged = await pass(waitSeconds);
    const trial = { ratioDb, isAcknowledged };
    ladder.record(trial);
    await plan.onTrial(trial);
    await pass(pauseSeconds);
  }
}
