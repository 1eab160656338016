/**
 * Modem: bits to audio and audio to likelihoods of bits.
 *
 * @packageDocumentation
 */
export * from './modulate.js';
export * from './modulation.js';
