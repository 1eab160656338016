/**
 * Modem: bits to audio and audio to likelihoods of bits.
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
