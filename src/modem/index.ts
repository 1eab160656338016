/**
 * Modem: bits to audio and audio to likelihoods of bits.
 *
 * @example
 * ```ts
 * import { demodulate, modulateBits } from 'dotphase/modem';
 *
 * const sent = [0, 1, 0, 0, 1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 1, 1, 0, 0];
 * const audio = modulateBits(sent, { sampleRate: 12000 });
 * console.log(audio.length); // 2400
 * const { bits } = demodulate(audio, { sampleRate: 12000 });
 * console.log(bits.subarray(0, 12).join('')); // 010011101010
 * ```
 *
 * @packageDocumentation
 */
export { demodulate, type Demodulated, type DemodulateOptions } from './demodulate.js';
export type { Levels } from './likelihood.js';
export { modulate, modulateBits, type ModulateBitsOptions, type ModulateOptions } from './modulate.js';
export { MODULATIONS, SAMPLE_RATES, type Modulation } from './modulation.js';
