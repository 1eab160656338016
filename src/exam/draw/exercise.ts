/**
 * Exercises drawn by level.
 */
import type { Call, TableKind } from '../../calls/index.js';
import type { ChannelStage } from '../../channel/index.js';
import { maritimeBand, type MaritimeBand } from '../../frequencies/index.js';
import { cancellationOf, distressAcknowledgementOf } from '../../procedures/index.js';
import { LEVELS, SCENE_KINDS, type Level, type LevelDescription } from '../levels.js';
import type { CallPlan } from '../plan.js';
import { COAST_STATIONS } from '../scenario.js';
import { schedule } from '../schedule.js';
import { drawCall, frequencyFor } from './calls.js';
import type { Draw } from './draw.js';

/** What is drawn of an exercise. */
export interface DrawnExercise {
  readonly frequencyHz: number;
  readonly calls: readonly CallPlan[];
  readonly conditions: readonly ChannelStage[];
}

/** Signal over noise that VHF has more, dB: its bits are twelve times shorter. */
const VHF_SNR_DB = 10;
/** How much weaker a call is that another covers, dB. */
const COVERED_DB: readonly [number, number] = [-16, -12];

/** What lies between a sender and the receiver. */
function drawPath(draw: Draw, level: LevelDescription, band: MaritimeBand): ChannelStage[] {
  if (band === 'VHF') return [];
  const { fading, mistunedHz } = level;
  return [
    ...(fading.length > 0 ? [{ kind: 'fading' as const, condition: draw.pick(fading) }] : []),
    ...(mistunedHz > 0 ? [{ kind: 'offset' as const, offsetHz: draw.integer(-mistunedHz, mistunedHz) }] : []),
  ];
}

/** Something beside the calls, well off their tones. */
function drawDisturbance(draw: Draw): ChannelStage[] {
  return draw.pick<() => ChannelStage[]>([
    () => [{ kind: 'impulses', levelDb: draw.integer(-4, 2), ratePerSecond: draw.integer(1, 4) }],
    () => [
      { kind: 'carrier', frequencyHz: draw.pick([900, 1150, 2250, 2450]), levelDb: draw.integer(-10, -3) },
    ],
    () => [{ kind: 'nbdp', centreHz: draw.pick([800, 1000, 2400]), levelDb: draw.integer(-8, -2) }],
    () => [{ kind: 'voice', levelDb: draw.integer(-16, -11) }],
  ])();
}

function drawConditions(draw: Draw, level: LevelDescription, band: MaritimeBand): ChannelStage[] {
  const snrDb = draw.integer(...level.snrDb) + (band === 'VHF' ? VHF_SNR_DB : 0);
  return [
    ...(level.disturbed && band !== 'VHF' ? drawDisturbance(draw) : []),
    { kind: 'noise', snrDb },
    { kind: 'passband' },
    ...(level.disturbed ? [{ kind: 'agc' as const, decayMs: 800 }] : []),
  ];
}

/** What another station says to a call that the own ship only overhears, if anything. */
function drawAnswer(draw: Draw, call: Call): Call | undefined {
  if (call.kind !== 'distressAlert' || typeof call.self !== 'string') return undefined;
  const coast = draw.pick(COAST_STATIONS).identity;
  const { self, nature, position, time, followOn } = call;
  return draw.pick<() => Call>([
    () => distressAcknowledgementOf(call, coast),
    () => cancellationOf(call),
    () => ({
      kind: 'distressRelay',
      to: 'allShips',
      self: coast,
      casualty: self,
      nature,
      position,
      time,
      followOn,
    }),
  ])();
}

/** The field whose loss hurts most. */
const damageable = (call: Call): string =>
  'position' in call && call.position !== 'none' ? 'position' : 'casualty' in call ? 'casualty' : 'self';

/** One call of each kind, or, where there is one kind and the level has more to hear, a scene that it opens. */
function drawScene(
  draw: Draw,
  level: LevelDescription,
  kinds: readonly TableKind[],
  band: MaritimeBand,
): CallPlan[] {
  const plan = (call: Call, more: Partial<CallPlan> = {}): CallPlan => ({
    call,
    path: drawPath(draw, level, band),
    ...more,
  });
  const calls = kinds.map((kind) => drawCall(draw, kind, band));
  if (level.scene === 'call' || calls.length > 1) return calls.map((call) => plan(call));
  const answer = drawAnswer(draw, calls[0]);
  const another = drawCall(draw, draw.pick(SCENE_KINDS), band);
  const heard = [calls[0], ...(answer ? [answer] : []), another];
  if (level.scene === 'exchange') return heard.map((call) => plan(call));
  const damaged = { damaged: [damageable(calls[0])] };
  const timed = schedule(
    heard.map((call, i) => plan(call, i === 0 ? damaged : {})),
    band === 'VHF' ? 'vhf' : 'mf-hf',
  );
  const last = timed[timed.length - 1].startSeconds;
  const covered = plan(drawCall(draw, 'distressAlert', band), {
    startSeconds: last + draw.integer(10, 30) / 10,
    levelDb: draw.integer(...COVERED_DB),
    readable: false,
  });
  return [...timed, covered];
}

/**
 * Draws an exercise.
 *
 * @param kinds - the kinds of its calls; at levels with several calls a single kind opens a scene
 * @param frequencyHz - decides the band, where given
 */
export function drawExercise(
  draw: Draw,
  level: Level,
  kinds: readonly TableKind[],
  frequencyHz: number | undefined,
): DrawnExercise {
  const description = LEVELS[level];
  const given = frequencyHz === undefined ? undefined : maritimeBand(frequencyHz);
  const band = given ?? draw.pick(description.bands);
  const calls = drawScene(draw, description, kinds, band);
  return {
    frequencyHz: frequencyHz ?? frequencyFor(calls[0].call, band),
    calls,
    conditions: drawConditions(draw, description, band),
  };
}
