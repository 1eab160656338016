/**
 * How far a receiver's oscillator is off, by the calls it received: each lies where its set and the receiver together put
 * it.
 */
import type { ReceivedCall } from '../receiver/index.js';

/** What of a call tells it. */
export interface PlacedCall extends Pick<ReceivedCall, 'call'> {
  /** Assigned frequency, hertz. */
  readonly frequencyHz: number;
  /** The middle of the tones as measured, hertz. */
  readonly measuredHz: number;
}

/** What calls tell of an oscillator. */
export interface OscillatorError {
  /** How much higher than it says the receiver was tuned, parts per million. */
  readonly ppm: number;
  /** Standard uncertainty, parts per million. */
  readonly uncertaintyPpm: number;
  readonly calls: number;
  /** Those that sent them. */
  readonly stations: number;
}

/** Fewer stations tell of themselves, not of the receiver. */
const LEAST_STATIONS = 3;

/** Sets are off by up to 10 Hz (M.493 Annex 1 §1.3): evenly spread, so that is their standard deviation. */
const SET_HZ = 10 / Math.sqrt(3);

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Who sent a call, as far as that was received. */
function senderOf({ call }: PlacedCall): string | undefined {
  const { self } = call as { readonly self?: unknown };
  return typeof self === 'string' ? self : undefined;
}

/**
 * Estimates how far the oscillator is off. Each station counts once, however often it called.
 *
 * @param calls - those that are sure, at 100 Bd
 * @param tunedHz - as the receiver said it
 * @returns undefined where fewer than three stations were heard
 */
export function oscillatorErrorOf(
  calls: readonly PlacedCall[],
  tunedHz: number,
): OscillatorError | undefined {
  const bySender = new Map<string, number[]>();
  let counted = 0;
  for (const call of calls) {
    const sender = senderOf(call);
    if (sender === undefined) continue;
    counted++;
    bySender.set(sender, [...(bySender.get(sender) ?? []), call.measuredHz - call.frequencyHz]);
  }
  if (bySender.size < LEAST_STATIONS) return undefined;
  const offsets = [...bySender.values()].map(mean);
  const offset = mean(offsets);
  const spread = offsets.reduce((sum, one) => sum + (one - offset) ** 2, 0) / (offsets.length - 1);
  const uncertainty = Math.sqrt(Math.max(spread, SET_HZ ** 2) / offsets.length);
  return {
    // A receiver that is tuned higher sees everything lower.
    ppm: (-offset / tunedHz) * 1e6,
    uncertaintyPpm: (uncertainty / tunedHz) * 1e6,
    calls: counted,
    stations: bySender.size,
  };
}
