/** What each step of the receiver gains: alerts whose place is known, decided in ways that each add a step. */
import { LONG_DOTS } from '../../src/frames/index.js';
import { createBasebandFilter } from '../../src/dsp/index.js';
import { sequenceBits, measure } from '../../src/receiver/demodulate.js';
import { informationLength } from '../../src/receiver/constraints.js';
import { decide } from '../../src/receiver/decode.js';
import { positionLogLikelihoods } from '../../src/receiver/loglikelihoods.js';
import { likeliest } from '../../src/receiver/trailingexpansions.js';
import { BAND_PARAMETERS, WORKING_RATE } from '../../src/receiver/bandparameters.js';
import { createWorkingStream } from '../../src/receiver/workingstream.js';
import { lockCentre, lockPhasing } from '../../src/receiver/synchronise.js';
import { SYMBOL_COUNT } from '../../src/symbols/index.js';
import type { ChannelName } from '../scenes/channels.js';
import { SAMPLE_RATE, send } from '../scenes/decode.js';

const PLAN = BAND_PARAMETERS['mf-hf'];
const MARGIN_BITS = 4;

/** The steps, each with those above it. */
export const STEPS = {
  hard: 'hard bits, the ten-unit check, DX else RX',
  soft: 'likelihoods instead, both sendings added, each character by itself',
  tables: 'the whole call at once, under the call tables and the error check',
  phase: 'the phase followed through the bits',
} as const;

/** One of them. */
export type Step = keyof typeof STEPS;

/** Alerts to send. */
export interface StepJob {
  channel: ChannelName;
  snrDb: number;
  count: number;
  seed: number;
}

/** How many alerts each way of deciding got right, however sure. */
export interface StepPoint extends StepJob {
  right: Record<Step, number>;
}

function decideInSteps(job: StepJob, seed: number): Record<Step, boolean> {
  const { audio, symbols, start, baud, centreHz } = send({ ...job, calls: 'alerts' }, seed);
  const stream = createWorkingStream(SAMPLE_RATE);
  stream.push(audio);
  stream.push(new Float32Array(SAMPLE_RATE / 10));
  const characters = informationLength(symbols);
  const margin = MARGIN_BITS * PLAN.bitSamples;
  const phasing = (start + LONG_DOTS / baud) * WORKING_RATE;
  const from = Math.round(phasing) - margin;
  const to = from + sequenceBits(characters) * PLAN.bitSamples + 2 * margin;
  const baseband = createBasebandFilter({ ...PLAN, sampleRate: WORKING_RATE }).apply(
    stream.slice(from, to),
    centreHz,
  );
  const samplesPerBit = baseband.rate / PLAN.modulation.baud;
  const rough = {
    centreHz,
    inverted: false,
    timing: { start: (phasing - from) / PLAN.decimation, samplesPerBit },
  };
  const { lock } = lockPhasing(baseband, PLAN, rough, WORKING_RATE / PLAN.period);
  const burst = measure(baseband, PLAN, lockCentre(baseband, PLAN, lock), characters);
  const alone = burst.noncoherent();
  const bySelf = symbols.map(
    (_, position) =>
      likeliest(positionLogLikelihoods(alone.logLikelihoods, position), 0, SYMBOL_COUNT - 1).symbol,
  );
  const isRight = (other: readonly number[] | undefined) => other?.join() === symbols.join();
  return {
    hard: alone.reading.checked && isRight(alone.reading.symbols),
    soft: isRight(bySelf),
    tables: isRight(decide(alone.logLikelihoods)?.symbols),
    phase: isRight(decide(burst.phaseTrellis().logLikelihoods)?.symbols),
  };
}

/** Sends the alerts of a job, each with a seed of its own. */
export function runStepJob(job: StepJob): StepPoint {
  const right = { hard: 0, soft: 0, tables: 0, phase: 0 };
  for (let i = 0; i < job.count; i++) {
    const decided = decideInSteps(job, job.seed + i);
    for (const step of Object.keys(STEPS) as Step[]) if (decided[step]) right[step]++;
  }
  return { ...job, right };
}
