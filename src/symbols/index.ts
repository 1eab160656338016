/**
 * Symbols: the ten-unit code, digit pairs, and what the symbols 100–127 mean in each field.
 *
 * @packageDocumentation
 */
export * from './code.js';
export * from './digits.js';
export * from './words.js';
