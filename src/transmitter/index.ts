/**
 * Transmitter: a typed call to the audio that goes on the air, in one step.
 *
 * @example
 * ```ts
 * import { callToAudio } from 'dotphase/transmitter';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = callToAudio(call, { band: 'mf-hf', sampleRate: 12000 });
 * console.log(audio.length / 12000); // 6.4
 * ```
 *
 * @packageDocumentation
 */
import { encodeCall, type Call } from '../calls/index.js';
import { frameCall, type FramingOptions } from '../frames/index.js';
import { modulate, type ModulateOptions } from '../modem/index.js';
import type { Band } from '../symbols/index.js';

export {
  BENCH_SIGNALS,
  benchSignal,
  withWrongCharacter,
  withWrongErrorCheck,
  type BenchSignal,
  type BenchSignalOptions,
  type CharacterFault,
} from './benchsignals.js';

/** How a call becomes audio. */
export interface CallAudioOptions extends Omit<FramingOptions, 'band'>, ModulateOptions {
  /** Which radio carries the call. */
  band: Band;
}

/**
 * The audio of a call with its expansions: encoded, framed and modulated (ITU-R M.493 Annex 1).
 *
 * @param call - a typed call, or JSON data of the same shape
 * @returns samples, full scale ±1
 * @throws DotphaseError when the call or an option is wrong
 */
export function callToAudio(call: Call, options: CallAudioOptions): Float32Array {
  return modulate(frameCall(encodeCall(call), options), options);
}
