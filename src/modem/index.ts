/**
 * Modem: bits to audio and audio to likelihoods of bits.
 *
 * @example
 * ```ts
 * import { demodulate, modulate } from 'dotphase/modem';
 *
 * const sent = [0, 1, 0, 0, 1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 1, 1, 0, 0];
 * const audio = modulate(sent, { sampleRate: 12000 });
 * console.log(audio.length); // 2400
 * const { bits } = demodulate(audio, { sampleRate: 12000 });
 * console.log(bits.subarray(0, 12).join('')); // 010011101010
 * ```
 *
 * @packageDocumentation
 */
export * from './modulate.js';
export * from './modulation.js';
export * from './kaiser.js';
export * from './resample.js';
export * from './tonebank.js';
export * from './baseband.js';
export * from './bessel.js';
export * from './energies.js';
export * from './likelihood.js';
export * from './phasetrellis.js';
export * from './demodulate.js';
