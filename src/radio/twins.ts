/**
 * One call is heard in several places of a slice: in channels that overlap, as the image of itself on the other side of
 * the middle, and where a receiver is driven too hard. Each is told once.
 */
import type { SliceCall } from './slicecall.js';

/** The same call elsewhere comes out within this time. */
const HELD_SECONDS = 2;

/** Readings of one sending begin no further apart, seconds. */
const SAME_START = 0.1;

/** In channels that overlap it has one frequency, its image the mirrored one, as far as both are measured. */
const SAME_HZ = 20;

/** A call's side lobes, some of them with swapped tones, lie within this, hertz: five times the shift of 170 Hz. */
const SIDE_LOBE_HZ = 850;

/** What may be read wrongly out of the little that a strong call leaves beside it lies within this, hertz: two channels. */
const BESIDE_HZ = 3200;

/** So much weaker, dB, is a call's image or side lobe. */
const WEAKER_DB = 10;

/** And so much what an overdriven receiver makes of it elsewhere; two sets of one station differ by less. */
const FAR_WEAKER_DB = 30;

const isHeardTogether = (a: SliceCall, b: SliceCall) => Math.abs(a.start - b.start) <= SAME_START;

/** Whether one is the image of the other: mirrored about the slice's middle, its tones swapped. */
function isImage(weak: SliceCall, strong: SliceCall, tunedHz: number): boolean {
  return (
    weak.inverted !== strong.inverted &&
    Math.abs(weak.measuredHz + strong.measuredHz - 2 * tunedHz) <= SAME_HZ
  );
}

/** Whether the first is no call of its own. */
function isOfAnother(one: SliceCall, other: SliceCall, tunedHz: number): boolean {
  if (one === other || !isHeardTogether(one, other)) return false;
  const isWeaker = (decibels: number) => one.snrDb <= other.snrDb - decibels;
  if (isImage(one, other, tunedHz)) return isWeaker(WEAKER_DB);
  const apartHz = Math.abs(one.measuredHz - other.measuredHz);
  if (one.symbols.join() === other.symbols.join())
    return (
      isWeaker(apartHz <= SIDE_LOBE_HZ ? WEAKER_DB : FAR_WEAKER_DB) ||
      (apartHz <= SAME_HZ && isLessSure(one, other))
    );
  if (one.quality !== 'doubtful') return false;
  return apartHz <= SIDE_LOBE_HZ ? isLessSure(one, other) : apartHz <= BESIDE_HZ && isWeaker(FAR_WEAKER_DB);
}

const isLessSure = (one: SliceCall, other: SliceCall) =>
  one.errorProbability > other.errorProbability ||
  (one.errorProbability === other.errorProbability && one.frequencyHz > other.frequencyHz);

/** Holds calls back that may be another one's. */
export interface Twins {
  /** Takes calls as they come out, `seconds` of the slice having been heard, and gives those that are told now. */
  sort(calls: readonly SliceCall[], seconds: number): SliceCall[];
}

/** @param areAllHeld - whether channels overlap; else only what has swapped tones can be another call's */
export function createTwins(tunedHz: number, areAllHeld: boolean): Twins {
  let held: SliceCall[] = [];
  let told: SliceCall[] = [];
  return {
    sort(calls, seconds) {
      held.push(...calls);
      const all = [...told, ...held];
      held = held.filter((one) => !all.some((other) => isOfAnother(one, other, tunedHz)));
      const isReady = (call: SliceCall) =>
        (!areAllHeld && !call.inverted) || call.end + HELD_SECONDS <= seconds;
      const ready = held.filter(isReady);
      held = held.filter((call) => !isReady(call));
      told = [...told, ...ready].filter(({ end }) => end + 2 * HELD_SECONDS > seconds);
      return ready;
    },
  };
}
