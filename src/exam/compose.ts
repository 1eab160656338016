/**
 * The audio of an exercise: its calls, each through its own path, and what the receiver heard besides.
 */
import { encodeCall, encodeExpansions, explainFields } from '../calls/index.js';
import { applyChannel, type ChannelStage } from '../channel/index.js';
import { BIT_RATE, type AirSequence, type Band } from '../frames/index.js';
import { MODULATIONS, modulate } from '../modem/index.js';
import { BITS_PER_SYMBOL } from '../symbols/index.js';
import { createDraw } from './draw/draw.js';
import { within } from './plan.js';
import { airSequence, type TimedCallPlan } from './schedule.js';

/** Everything about a recording but its audio. */
export interface Scene {
  readonly band: Band;
  readonly sampleRate: number;
  readonly seed: number;
  readonly calls: readonly TimedCallPlan[];
  readonly conditions: readonly ChannelStage[];
}

/** A call as it was put on the air. */
export interface SentCall {
  readonly plan: TimedCallPlan;
  /** Its characters, from one format specifier through the error check. */
  readonly symbols: readonly number[];
  /** The expansion sequences that follow it. */
  readonly expansions: readonly (readonly number[])[];
  /** Information characters that were lost in both sendings, by their number in {@link symbols}. */
  readonly lost: readonly number[];
  /** Seconds to its first phasing character. */
  readonly phasingSeconds: number;
}

/** Peak of a call of 0 dB. */
const PEAK = 0.2;
const SIGNAL_LEVEL_DB = 10 * Math.log10(PEAK ** 2 / 2);
/** Silence behind the last call, seconds. */
const TAIL_SECONDS = 1.2;
/** How far a lost character sinks, dB. */
const LOST_DB = -60;
/** Characters that are lost of a damaged field. */
const LOST_CHARACTERS = 2;

/** The characters that a damaged call loses: of each field two side by side; of a short one, the error check too. */
function drawLost({ call, damaged = [] }: TimedCallPlan, seed: number): number[] {
  const draw = createDraw(seed, 'damage');
  let at = 0;
  const fields = explainFields(encodeCall(call)).map(({ field, symbols }) => {
    const first = at;
    at += symbols.length;
    return { field, first, length: symbols.length };
  });
  const lost = damaged.flatMap((name) => {
    const { first, length } = fields.find(({ field }) => field === name) ?? { first: 0, length: 0 };
    const count = Math.min(LOST_CHARACTERS, length);
    const from = first + draw.integer(0, length - count);
    return Array.from({ length: count }, (_, i) => from + i);
  });
  return lost.length === 1 ? [...lost, at - 1] : lost;
}

/** The drop-outs that take both sendings of some characters away; the first format specifier is no character of its own. */
function dropOuts({ sendings, band }: AirSequence, lost: readonly number[]): ChannelStage[] {
  const [{ dots, slots }] = sendings;
  const timeOf = (slot: number) => (dots + slot * BITS_PER_SYMBOL) / BIT_RATE[band];
  return slots.flatMap(({ character }, slot): ChannelStage[] =>
    character !== undefined && lost.includes(character - 1)
      ? [{ kind: 'gain', gainDb: LOST_DB, startSeconds: timeOf(slot), stopSeconds: timeOf(slot + 1) }]
      : [],
  );
}

/** One call behind its path, at its level. */
function receive(
  plan: TimedCallPlan,
  sequence: AirSequence,
  lost: readonly number[],
  scene: Scene,
  seed: number,
  place: string,
): Float32Array {
  const { sampleRate, band } = scene;
  const { levelDb = 0, path = [] } = plan;
  const clean = modulate(sequence.bits, { sampleRate, modulation: MODULATIONS[band], level: PEAK });
  const stages: ChannelStage[] = [
    ...dropOuts(sequence, lost),
    ...path,
    ...(levelDb === 0 ? [] : [{ kind: 'gain' as const, gainDb: levelDb }]),
  ];
  return within(`${place}.path`, () =>
    applyChannel(clean, { sampleRate, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages }),
  );
}

/**
 * Composes the audio of an exercise.
 *
 * @param place - the exercise's place in the plan, for errors
 */
export function compose(scene: Scene, place: string): { samples: Float32Array; sent: SentCall[] } {
  const { band, sampleRate, seed, calls, conditions } = scene;
  const parts = calls.map((plan, i) => {
    const sequence = airSequence(plan.call, band);
    const lost = drawLost(plan, seed + 1 + i);
    const audio = receive(plan, sequence, lost, scene, seed + 1 + i, `${place}.calls[${i}]`);
    const at = Math.round(plan.startSeconds * sampleRate);
    const phasingSeconds = plan.startSeconds + sequence.sendings[0].dots / BIT_RATE[band];
    const symbols = encodeCall(plan.call);
    const expansions = encodeExpansions(plan.call);
    return { audio, at, sent: { plan, symbols, expansions, lost, phasingSeconds } };
  });
  const end = Math.max(...parts.map(({ audio, at }) => at + audio.length));
  const mix = new Float32Array(end + Math.round(TAIL_SECONDS * sampleRate));
  for (const { audio, at } of parts) for (let n = 0; n < audio.length; n++) mix[at + n] += audio[n];
  const samples = within(`${place}.conditions`, () =>
    applyChannel(mix, { sampleRate, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages: conditions }),
  );
  return { samples, sent: parts.map(({ sent }) => sent) };
}
