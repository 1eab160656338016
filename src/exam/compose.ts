/**
 * The audio of an exercise: its calls, each through its own path, and what else the receiver heard.
 */
import { encodeCall } from '../calls/index.js';
import { applyChannel, type ChannelStage } from '../channel/index.js';
import { atPlace } from '../data/index.js';
import { type Frame } from '../frames/index.js';
import { modulate } from '../modem/index.js';
import { BITS_PER_SYMBOL, BIT_RATE, type Band } from '../symbols/index.js';
import { lostCharacters } from './damage.js';
import { TAIL_SECONDS, airSequence, type TimedCallPlan } from './schedule.js';

/** Everything about a recording but its audio. */
export interface Scene {
  readonly band: Band;
  readonly sampleRate: number;
  readonly seed: number;
  readonly calls: readonly TimedCallPlan[];
  /** How long it lasts at least, seconds. */
  readonly seconds: number | undefined;
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
/** How far a lost character sinks, dB. */
const LOST_DB = -60;

/** The drop-outs that take both sendings of some characters away; the first format specifier is no character of its own. */
function dropOuts({ sendings, band }: Frame, lost: readonly number[]): ChannelStage[] {
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
  sequence: Frame,
  lost: readonly number[],
  scene: Scene,
  seed: number,
  place: string,
): Float32Array {
  const { sampleRate } = scene;
  const { levelDb = 0, path = [] } = plan;
  const clean = modulate(sequence, { sampleRate, level: PEAK });
  const stages: ChannelStage[] = [
    ...dropOuts(sequence, lost),
    ...path,
    ...(levelDb === 0 ? [] : [{ kind: 'gain' as const, gainDb: levelDb }]),
  ];
  return atPlace(`${place}.path`, () =>
    applyChannel(clean, { sampleRate, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages }),
  );
}

/**
 * Composes the audio of an exercise.
 *
 * @param place - the exercise's place in the plan, for errors
 */
export function compose(scene: Scene, place: string): { samples: Float32Array; sent: SentCall[] } {
  const { band, sampleRate, seed, calls, conditions, seconds = 0 } = scene;
  const parts = calls.map((plan, i) => {
    const sequence = airSequence(plan.call, band);
    const lost = lostCharacters(plan);
    const audio = receive(plan, sequence, lost, scene, plan.seed ?? seed + 1 + i, `${place}.calls[${i}]`);
    const at = Math.round(plan.startSeconds * sampleRate);
    const phasingSeconds = plan.startSeconds + sequence.sendings[0].dots / BIT_RATE[band];
    const symbols = encodeCall(plan.call).symbols;
    const expansions = encodeCall(plan.call).expansions;
    return { audio, at, sent: { plan, symbols, expansions, lost, phasingSeconds } };
  });
  const end = Math.max(...parts.map(({ audio, at }) => at + audio.length));
  const length = Math.max(end + Math.round(TAIL_SECONDS * sampleRate), Math.round(seconds * sampleRate));
  const mix = new Float32Array(length);
  for (const { audio, at } of parts) for (let n = 0; n < audio.length; n++) mix[at + n] += audio[n];
  const samples = atPlace(`${place}.conditions`, () =>
    applyChannel(mix, { sampleRate, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages: conditions }),
  );
  return { samples, sent: parts.map(({ sent }) => sent) };
}
