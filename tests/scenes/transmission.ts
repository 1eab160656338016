/** Calls on the air: audio with silence around it, and what lies between. */
import { encodeCall, type Call } from '../../src/calls/index.js';
import { applyChannel, type ChannelStage } from '../../src/channel/index.js';
import { frameCall, type FramedCharacters, type FramingOptions } from '../../src/frames/index.js';
import { modulate, type ModulateOptions } from '../../src/modem/index.js';
import type { ReceivedCall } from '../../src/receiver/index.js';

/** The level of a tone of the amplitude that calls are modulated with here, 0.5. */
export const SIGNAL_LEVEL_DB = 20 * Math.log10(0.5 / Math.SQRT2);

/** How a call is sent. */
export interface TransmitOptions extends FramingOptions, Partial<ModulateOptions> {
  sampleRate: number;
  /** Seconds of silence before; default 0.5. */
  before?: number;
  /** Seconds of silence after; default 1. */
  after?: number;
}

/** Silence, the call, silence. */
export function transmit(characters: FramedCharacters, sending: TransmitOptions): Float32Array {
  const { sampleRate, before = 0.5, after = 1, ...options } = sending;
  return between(
    modulate(frameCall(characters, options), { ...options, sampleRate }),
    sampleRate,
    before,
    after,
  );
}

/** Audio with so many seconds of silence before and after it. */
export function between(
  audio: Float32Array,
  sampleRate: number,
  before: number,
  after: number,
): Float32Array {
  const whole = new Float32Array(
    Math.round(before * sampleRate) + audio.length + Math.round(after * sampleRate),
  );
  whole.set(audio, Math.round(before * sampleRate));
  return whole;
}

/** What the audio becomes on its way, its level being that of a call of amplitude 0.5. */
export function impair(
  audio: Float32Array,
  sampleRate: number,
  seed: number,
  stages: readonly ChannelStage[],
): Float32Array {
  return applyChannel(audio, { sampleRate, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages });
}

/** Several pieces of audio at once, each times its gain, from its second on. */
export function mix(
  sampleRate: number,
  parts: readonly { audio: Float32Array; gain?: number; at?: number }[],
): Float32Array {
  const from = ({ at = 0 }: { at?: number }) => Math.round(at * sampleRate);
  const sum = new Float32Array(Math.max(...parts.map((part) => from(part) + part.audio.length)));
  for (const part of parts) {
    const { audio, gain = 1 } = part;
    const start = from(part);
    for (let n = 0; n < audio.length; n++) sum[start + n] += gain * audio[n];
  }
  return sum;
}

/** The characters of each received call, as text that is easy to compare. */
export function spelled(calls: readonly ReceivedCall[]): string[] {
  return calls.map(({ symbols }) => symbols.join(' '));
}

/** The characters of a call. */
export function spell(call: Call): string {
  return encodeCall(call).symbols.join(' ');
}
