/**
 * Frames: characters to slots and bits, and back by the standard's own rules.
 *
 * @packageDocumentation
 */
export * from './expansions.js';
export * from './reading.js';
export * from './sequence.js';
