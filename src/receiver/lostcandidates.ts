/**
 * Candidates of which no call came: told, unless they are what a decoded call looks like beside its own place.
 */
import { LONG_DOTS } from '../frames/index.js';
import type { BandParameters } from './bandparameters.js';
import type { ReceiverEvent } from './types.js';

/** Where a candidate or a call lies. */
export interface Extent {
  readonly parameters: BandParameters;
  readonly centreHz: number;
  /** Of its tones, in the same unit at every bit rate. */
  readonly amplitude: number;
  /** Seconds to its phasing. */
  readonly start: number;
  /** Seconds to its end; of a call that is still being received, infinite. */
  readonly end: number;
}

type LostEvent = Extract<ReceiverEvent, { type: 'lost' }>;

/**
 * What a signal leaves of its amplitude in matched filters beside its tones, at most: measured at 0.05 one bit rate
 * away, falling with the distance.
 */
const LEAKAGE = 0.1;

/** Seconds after the end of its phasing that a candidate waits for a call that explains it: the search may find it later. */
const WAIT = 3.7;

/** Hertz between the nearest tones of two signals. */
function apart(a: Extent, b: Extent): number {
  const tones = ({ parameters, centreHz }: Extent) =>
    [-1, 1].map((side) => centreHz + (side * parameters.modulation.shiftHz) / 2);
  return Math.min(...tones(a).flatMap((one) => tones(b).map((other) => Math.abs(one - other))));
}

/** Whether a call makes a candidate that begins within it: at its own centre, or too weak to be anything else. */
function explains(call: Extent, lost: Extent): boolean {
  const dots = LONG_DOTS / call.parameters.modulation.baud;
  if (lost.end < call.start - dots || lost.start > call.end) return false;
  const isNear =
    lost.parameters === call.parameters &&
    Math.abs(lost.centreHz - call.centreHz) <= call.parameters.modulation.shiftHz;
  const widths =
    apart(lost, call) / Math.max(lost.parameters.modulation.baud, call.parameters.modulation.baud);
  return isNear || lost.amplitude <= (LEAKAGE * call.amplitude) / Math.max(1, widths);
}

/** Holds lost candidates until it is known whether a call explains them. */
export interface LostCandidates {
  /** Takes a candidate of which nothing came; its `end` is that of its phasing. */
  lose(extent: Extent, event: LostEvent): void;
  /** Takes a call that was decided. */
  decide(call: Extent): void;
  /**
   * Tells the lost candidates that no call explains.
   *
   * @param now - seconds of the stream; infinite at its end
   * @param open - the candidates that may still become calls
   */
  settle(now: number, open: readonly Extent[]): void;
}

/** @param tell - takes the lost candidates */
export function createLostCandidates(tell: (event: LostEvent) => void): LostCandidates {
  let waiting: { extent: Extent; event: LostEvent }[] = [];
  let calls: Extent[] = [];
  return {
    lose(extent, event) {
      waiting.push({ extent, event });
    },
    decide(call) {
      calls.push(call);
    },
    settle(now, open) {
      if (waiting.length > 0) {
        const explained = ({ extent }: { extent: Extent }) => calls.some((call) => explains(call, extent));
        const isOpen = ({ extent }: { extent: Extent }) =>
          now < extent.end + WAIT || open.some((other) => explains(other, extent));
        const left = waiting.filter((loss) => !explained(loss));
        waiting = left.filter(isOpen);
        for (const loss of left) if (!isOpen(loss)) tell(loss.event);
      }
      // The search finds candidates late.
      const earliest = Math.min(
        now - WAIT,
        ...waiting.map(({ extent }) => extent.start),
        ...open.map(({ start }) => start),
      );
      calls = calls.filter(({ end }) => end >= earliest);
    },
  };
}
