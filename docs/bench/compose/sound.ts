/**
 * The audio of a call.
 */
import { MODULATIONS, frameCall, modulate, type AirSequence, type Band, type Call } from 'dotphase';
import { encodeCall, encodeExpansions } from 'dotphase';

/** Samples per second of what is played. */
export const PLAYED_RATE = 48_000;

/** Which modulation a DSC frequency carries. */
export function bandOf(dscHz: number): Band {
  return dscHz > 100_000_000 ? 'vhf' : 'mf-hf';
}

/** A call as it goes on the air. */
export function airSequence(call: Call, band: Band, sendings = 1): AirSequence {
  return frameCall(encodeCall(call), { band, repeat: sendings, expansions: encodeExpansions(call) });
}

/** The sound of a sequence, full scale ±0.5. */
export function soundOf(sequence: AirSequence, sampleRate = PLAYED_RATE): Float32Array<ArrayBuffer> {
  const options = { sampleRate, modulation: MODULATIONS[sequence.band] };
  return modulate(sequence.bits, options) as Float32Array<ArrayBuffer>;
}
