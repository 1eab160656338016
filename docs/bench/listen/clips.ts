/**
 * The sound of each call, cut out of a stream that is not kept.
 */
import type { ReceivedCall } from 'dotphase';
import type { Clip } from './protocol.js';

/** A call is told a while after its end; with its dots it lasts up to about 20 s. */
const KEPT_SECONDS = 45;
/** 200 dots at 100 Bd, and a little. */
const BEFORE_SECONDS: Readonly<Record<number, number>> = { 100: 2.4, 1200: 0.3 };
const BEHIND_SECONDS = 0.4;

export interface Clips {
  push(samples: Float32Array): void;
  /** The sound of a call; undefined where it is gone. */
  cut(call: ReceivedCall): Clip | undefined;
}

export function createClips(sampleRate: number): Clips {
  const kept = new Int16Array(Math.round(KEPT_SECONDS * sampleRate));
  let taken = 0;
  return {
    push(samples) {
      for (const sample of samples) {
        kept[taken++ % kept.length] = Math.round(32_767 * Math.max(-1, Math.min(1, sample)));
      }
    },
    cut({ start, end, baud }) {
      const oldest = Math.max(0, taken - kept.length);
      const from = Math.max(oldest, Math.floor((start - (BEFORE_SECONDS[baud] ?? 1)) * sampleRate));
      const to = Math.min(taken, Math.ceil((end + BEHIND_SECONDS) * sampleRate));
      if (start * sampleRate < oldest || to <= from) return undefined;
      const samples = Int16Array.from({ length: to - from }, (_, n) => kept[(from + n) % kept.length]);
      return { samples, sampleRate, start: from / sampleRate };
    },
  };
}

/** A clip as samples, full scale ±1. */
export function clipSamples({ samples }: Clip): Float32Array<ArrayBuffer> {
  return Float32Array.from(samples, (sample) => sample / 32_768);
}
