/**
 * What lies between two virtual stations.
 */
import type { Position } from '../calls/index.js';
import { applyChannel, type ChannelStage, type FadingConditionName } from '../channel/index.js';
import { maritimeBand } from '../frequencies/index.js';
import { dbToAmplitude } from '../dsp/index.js';

/** How a signal gets from one station to another. */
export interface PathConditions {
  /** Level of the signal where it arrives, relative to how it was sent, dB: −100 to 20; default 0. */
  readonly levelDb?: number | undefined;
  /** Delay, 0 to 1000 ms; default 0. */
  readonly delayMs?: number | undefined;
  /** Fading by a condition of ITU-R F.1487; default none. */
  readonly fading?: FadingConditionName | undefined;
  /** Anything else that the `channel` room knows, for example an `offset`; default nothing. */
  readonly stages?: readonly ChannelStage[] | undefined;
}

/** Kilometres that light goes in a millisecond. */
const KM_PER_MS = 299.792458;
const EARTH_RADIUS_KM = 6371;
const KM_PER_NAUTICAL_MILE = 1.852;

/** Reach in nautical miles: common practice, no source. HF reaches everywhere. */
const VHF_REACH = 30;
const MF_REACH = 150;

/** The great-circle distance of two positions in kilometres. */
function distanceKm(a: Position, b: Position): number {
  const radians = Math.PI / 180;
  const [latA, latB] = [a.latitude * radians, b.latitude * radians];
  const longitudes = (b.longitude - a.longitude) * radians;
  const half =
    Math.sin((latB - latA) / 2) ** 2 + Math.cos(latA) * Math.cos(latB) * Math.sin(longitudes / 2) ** 2;
  return 2 * EARTH_RADIUS_KM * Math.asin(Math.min(1, Math.sqrt(half)));
}

function reachKm(frequencyHz: number): number {
  const band = maritimeBand(frequencyHz);
  if (band === 'VHF') return VHF_REACH * KM_PER_NAUTICAL_MILE;
  return band === '2 MHz' || band === '0.5 MHz' ? MF_REACH * KM_PER_NAUTICAL_MILE : Infinity;
}

/**
 * A path as it is by distance alone: within about 30 nautical miles on VHF and 150 on MF (common practice, no
 * source) and anywhere on HF, with the delay of a straight line over the globe and no loss.
 *
 * @param a - undefined where not known: then the other station is within reach
 * @param b - likewise
 * @returns undefined out of reach
 */
export function pathByDistance(
  a: Position | undefined,
  b: Position | undefined,
  frequencyHz: number,
): PathConditions | undefined {
  if (!a || !b) return {};
  const km = distanceKm(a, b);
  return km <= reachKm(frequencyHz) ? { delayMs: km / KM_PER_MS } : undefined;
}

/** Delays shorter than this are left out, milliseconds: a fraction of a sample that nobody hears. */
const LEAST_DELAY_MS = 0.05;

/**
 * A signal as it arrives.
 *
 * @param samples - as it was sent; not changed
 * @param seed - chooses the fading
 */
export function arriving(
  samples: Float32Array,
  path: PathConditions,
  sampleRate: number,
  seed: number,
): Float32Array {
  const { levelDb = 0, delayMs = 0, fading, stages = [] } = path;
  const chain: ChannelStage[] = [
    ...(delayMs >= LEAST_DELAY_MS ? [{ kind: 'delay' as const, delayMs }] : []),
    ...(fading === undefined ? [] : [{ kind: 'fading' as const, condition: fading }]),
    ...stages,
  ];
  const heard =
    chain.length > 0 ? applyChannel(samples, { sampleRate, seed, stages: chain }) : samples.slice();
  const gain = dbToAmplitude(levelDb);
  if (gain !== 1) for (let n = 0; n < heard.length; n++) heard[n] *= gain;
  return heard;
}
