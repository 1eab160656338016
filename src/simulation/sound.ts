/**
 * The audio of a call as a virtual transmitter sends it.
 */
import type { Call } from '../calls/index.js';
import { bandOf } from '../frequencies/index.js';
import { callToAudio } from '../transmitter/index.js';

/** Peak amplitude of every transmission where it is sent, so that several together stay within full scale. */
export const TRANSMIT_AMPLITUDE = 0.25;

/** How the audio of a call is made. */
export interface CallAudioOptions {
  /** Samples per second, 8000–192000. */
  readonly sampleRate: number;
  /** DSC frequency, hertz: 1200 Bd on VHF, 100 Bd elsewhere. */
  readonly frequencyHz: number;
  /** Sendings in a row; default 1. */
  readonly repeat?: number;
  /** Peak amplitude, 0–1; default 0.25. */
  readonly level?: number;
}

/**
 * The audio of a call with its expansions.
 *
 * @throws DotphaseError when the call or an option is wrong
 */
export function callAudio(call: Call, options: CallAudioOptions): Float32Array {
  const { sampleRate, frequencyHz, repeat = 1, level = TRANSMIT_AMPLITUDE } = options;
  return callToAudio(call, { band: bandOf(frequencyHz), sampleRate, repeat, level });
}
